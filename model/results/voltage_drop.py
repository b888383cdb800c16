"""The chain from the battery's cells to the sets: what each link costs in volts.

On receive and with the key down, at any minute of a run or at any charge.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import inf
from typing import Literal

import numpy as np

from model.engine.inputs import Inputs
from model.engine.power_limit import highest_sqrt_w
from model.engine.run import StationRun
from model.engine.step_values import Bounds
from model.engine.sub_rules import bus_v, key_down
from model.scenario.station import Lead, Station
from model.sky.weather import air_c
from model.station.chemistry import TABLE_STEPS, Floats
from model.station.conductors import conductor_mm2, copper_ohm_per_m
from model.station.transmit_path import (
    SendingWay,
    alone,
    highest_planned_w,
    idle_amplifier_a,
    way_for,
)
from model.support.figures import entered, unbroken

LinkKind = Literal["cells", "conductors", "joints"]
Branch = Literal["battery", "radio", "amplifier"]


@dataclass(frozen=True)
class Link:
    """One resistance in the chain, with the volts behind it.

    Attributes
    ----------
    kind : the battery's inside, the copper of a lead, or its plugs, clamps and fuse holder.
    branch : what the current through it feeds; "battery" is common to all.
    lead_index : place of the lead in the station; None for the cells.
    words : what it is.
    resistance_mohm : both conductors together [mohm].
    receive_a, key_down_a : current through it [A].
    receive_v, key_down_v : at its far end [V].
    weakest : whether it loses most of all with the key down.
    """

    kind: LinkKind
    branch: Branch
    lead_index: int | None
    words: str
    resistance_mohm: float
    receive_a: float
    key_down_a: float
    receive_v: float
    key_down_v: float
    weakest: bool

    @property
    def lost_v(self) -> float:
        """Volts lost in it with the key down [V]."""
        return self.resistance_mohm / 1000 * self.key_down_a


@dataclass(frozen=True)
class FullPowerEnd:
    """The charge at which full power ends by day or night without sun.

    Attributes
    ----------
    fraction : charge over tested capacity, 0 where it holds to the end, 1 where it never holds [1].
    rest_v : of the battery at that charge [V].
    """

    fraction: float
    rest_v: float


@dataclass(frozen=True)
class Chain:
    """The whole chain at one moment.

    Attributes
    ----------
    fraction, rest_v : of the battery [1], [V].
    links : from the cells outwards.
    bus_receive_v, bus_key_down_v : where the loads join [V].
    rf_w : power asked about: the highest planned, or what the station can give [W].
    is_planned : whether the plan sends at all.
    holds : whether that power holds.
    holding_w : the highest power that holds, 0 where none does [W].
    full_power_end : the charge at which full power ends, cells as cold as now, without sun.
    """

    fraction: float
    rest_v: float
    links: tuple[Link, ...]
    bus_receive_v: float
    bus_key_down_v: float
    rf_w: float
    is_planned: bool
    holds: bool
    holding_w: float
    full_power_end: FullPowerEnd

    @property
    def weakest(self) -> Link | None:
        """The link that loses most with the key down; None where nothing is lost."""
        return next((link for link in self.links if link.weakest), None)

    def at_set_v(self, branch: Branch) -> tuple[float, float]:
        """Return volts at radio or amplifier, on receive and with the key down [V]."""
        ends = [link for link in self.links if link.branch == branch]
        if not ends:
            return self.bus_receive_v, self.bus_key_down_v
        return ends[-1].receive_v, ends[-1].key_down_v


@dataclass(frozen=True)
class _AtStep:
    """Battery and everything beside radio and amplifier, at one moment; arrays where noted.

    ``rest_v`` and ``cells_ohm`` may be arrays over charge fractions; ``ceiling_v`` is as far as
    the bus can rise while it is fed.
    """

    rest_v: Floats
    cells_ohm: Floats
    constant_a: float
    constant_w: float
    ceiling_v: float = inf


def chain_at(run: StationRun, step: int = 0) -> Chain:
    """Return the chain at a step of a run, with the sun and the other loads of that step."""
    flow, inputs = run.flow, run.inputs
    moment = _AtStep(
        np.array([flow.rest_v[step]]),
        np.array([flow.resistance_ohm[step]]),
        float(inputs.loads.other_a[step] - flow.panel_source_a[step] - flow.charger_able_a[step]),
        float(inputs.loads.other_w[step] + flow.laptop_supply_w[step] - flow.panel_source_w[step]),
        float(flow.ceiling_v[step]),
    )
    return _chain(run, step, moment, float(run.fraction[step]))


def chain_at_charge(run: StationRun, fraction: float, step: int = 0) -> Chain:
    """Return the chain at a charge, without sun, with the loads and the cold of a step."""
    rest_v, cells_ohm = _battery_at(run.inputs, step, np.array([fraction]))
    return _chain(run, step, _without_sun(run.inputs, step, rest_v, cells_ohm), fraction)


def _battery_at(inputs: Inputs, step: int, fraction: Floats) -> tuple[Floats, Floats]:
    bounds = inputs.bounds
    grid = np.linspace(0.0, 1.0, TABLE_STEPS + 1)
    factor = np.interp(fraction, grid, bounds.charge_resistance_factor)
    return (
        np.interp(fraction, grid, bounds.rest_table_v),
        inputs.course.resistance_ohm[step] * factor,
    )


def _without_sun(inputs: Inputs, step: int, rest_v: Floats, cells_ohm: Floats) -> _AtStep:
    loads = inputs.loads
    constant_w = float(loads.other_w[step] + inputs.static_laptop_w[step])
    return _AtStep(rest_v, cells_ohm, float(loads.other_a[step]), constant_w)


def _chain(run: StationRun, step: int, moment: _AtStep, fraction: float) -> Chain:
    station, bounds = run.station, run.inputs.bounds
    planned_w = highest_planned_w(station, run.plan)
    way, rf_w = way_for(station, planned_w or inf)
    idle_a = _idle_amplifier_a(station, way)
    radio_a, amplifier_a = way.radio.current_a(rf_w), way.amplifier.current_a(rf_w)
    receive = (bounds.listening_a, idle_a)
    key_down = (radio_a, amplifier_a if way.amplified else idle_a)
    receive_v, receive_battery_a = _bus(moment, bounds, sum(receive))
    key_down_v, key_down_battery_a = _bus(moment, bounds, sum(key_down))
    links = _links(
        run,
        float(moment.cells_ohm[0]),
        {"battery": receive_battery_a, "radio": receive[0], "amplifier": receive[1]},
        {"battery": key_down_battery_a, "radio": key_down[0], "amplifier": key_down[1]},
        receive_v,
        key_down_v,
    )
    return Chain(
        fraction=fraction,
        rest_v=float(moment.rest_v[0]),
        links=links,
        bus_receive_v=receive_v,
        bus_key_down_v=key_down_v,
        rf_w=rf_w,
        is_planned=planned_w > 0,
        holds=bool(_holds(moment, bounds, way, rf_w, idle_a)[0]),
        holding_w=_holding_w(moment, bounds, station, way, rf_w),
        full_power_end=full_power_end(run, step),
    )


def _idle_amplifier_a(station: Station, way: SendingWay) -> float:
    """Return what the amplifier draws between transmissions of the block in question [A]."""
    amplifier = station.amplifier
    if amplifier is None:
        return 0.0
    return idle_amplifier_a(
        station, amplifier.in_session if way.amplified else amplifier.out_of_session
    )


def _bus(moment: _AtStep, bounds: Bounds, sets_a: float) -> tuple[float, float]:
    """Return volts where the loads join and the battery's current, out positive [V], [A]."""
    at_bus_v, _ = _bus_v(moment, bounds, sets_a)
    volts = float(at_bus_v[0])
    ohm = float(moment.cells_ohm[0]) + bounds.battery_lead_ohm
    if ohm > 0:
        return volts, (float(moment.rest_v[0]) - volts) / ohm
    return volts, moment.constant_a + sets_a + moment.constant_w / volts


def _bus_v(moment: _AtStep, bounds: Bounds, sets_a: float) -> tuple[Floats, np.ndarray]:
    """Return volts where the loads join, and whether any volts carry the loads."""
    ohm = moment.cells_ohm + bounds.battery_lead_ohm
    open_v = moment.rest_v - ohm * (moment.constant_a + sets_a)
    volts, carried = bus_v(open_v, ohm, moment.constant_w)
    volts = np.minimum(volts, moment.ceiling_v)
    return np.where(carried, volts, 0.0), carried


def _holds(
    moment: _AtStep, bounds: Bounds, way: SendingWay, rf_w: float, idle_a: float
) -> np.ndarray:
    """Return whether a power holds; shape of the moment's rest volts."""
    radio_a = way.radio.current_a(rf_w)
    amplifier_a = way.amplifier.current_a(rf_w) if way.amplified else idle_a
    # The amplifier that idles is no part of what is tested: it counts beside.
    held, _, _, _ = key_down(
        bounds,
        radio_a,
        amplifier_a,
        amplified=way.amplified,
        rest_v=moment.rest_v,
        ohm=moment.cells_ohm + bounds.battery_lead_ohm,
        beside_a=moment.constant_a,
        power_w=moment.constant_w,
        ceiling_v=moment.ceiling_v,
    )
    return np.asarray(held)


def _holding_w(
    moment: _AtStep, bounds: Bounds, station: Station, way: SendingWay, rf_w: float
) -> float:
    """Return the highest power up to ``rf_w`` that holds, by amplifier or without it [W]."""
    ohm = float(moment.cells_ohm[0]) + bounds.battery_lead_ohm
    rest_v = float(moment.rest_v[0])
    bare = alone(station)
    best_w = 0.0
    for each in {way, bare}:
        idle_a = 0.0 if each.amplified else _idle_amplifier_a(station, bare)
        if each is bare and each.highest_w <= 0:
            continue
        root = highest_sqrt_w(
            rest_v,
            ohm,
            moment.constant_a + idle_a,
            moment.constant_w,
            _laws(each),
            bounds,
            moment.ceiling_v,
        )
        power_w = min(root**2 if root > 0 else 0.0, rf_w, each.highest_w)
        if power_w >= min(each.lowest_w, rf_w) * (1 - 1e-12):
            best_w = max(best_w, power_w)
    return best_w


def _laws(way: SendingWay) -> tuple[float, float, float, float]:
    return (way.radio.bias_a, way.radio.root_a, way.amplifier.bias_a, way.amplifier.root_a)


def full_power_end(run: StationRun, step: int, bounds: Bounds | None = None) -> FullPowerEnd:
    """Return the charge at which full power ends without sun, with the cold and loads of a step.

    Parameters
    ----------
    bounds : other leads than the run's own; none takes those.
    """
    bounds = bounds or run.inputs.bounds
    fractions = np.linspace(0.0, 1.0, TABLE_STEPS + 1)
    rest_v, cells_ohm = _battery_at(run.inputs, step, fractions)
    moment = _without_sun(run.inputs, step, rest_v, cells_ohm)
    way, rf_w = way_for(run.station, highest_planned_w(run.station, run.plan) or inf)
    holds = _holds(moment, bounds, way, rf_w, _idle_amplifier_a(run.station, way))
    fails = np.flatnonzero(~holds)
    if not fails.size:
        return FullPowerEnd(0.0, float(rest_v[0]))
    at = min(int(fails[-1]) + 1, TABLE_STEPS)
    return FullPowerEnd(float(fractions[at]), float(rest_v[at]))


def _links(
    run: StationRun,
    cells_ohm: float,
    receive_a: dict[Branch, float],
    key_down_a: dict[Branch, float],
    receive_bus_v: float,
    key_down_bus_v: float,
) -> tuple[Link, ...]:
    found = list(_resistances(run, cells_ohm))
    lost_v = [ohm * key_down_a[branch] for _, branch, _, _, ohm in found]
    most = max(range(len(found)), key=lambda place: lost_v[place])
    rest = {
        "receive": receive_bus_v + receive_a["battery"] * _common_ohm(found),
        "key": key_down_bus_v + key_down_a["battery"] * _common_ohm(found),
    }
    links = []
    at: dict[Branch, tuple[float, float]] = {"battery": (rest["receive"], rest["key"])}
    for place, (kind, branch, lead_index, words, ohm) in enumerate(found):
        before = at.get(branch, at["battery"])
        # Where no volts carry the loads there are none at the end of the chain.
        volts = (
            max(before[0] - ohm * receive_a[branch], 0.0),
            max(before[1] - ohm * key_down_a[branch], 0.0),
        )
        at[branch] = volts
        links.append(
            Link(
                kind,
                branch,
                lead_index,
                words,
                1000 * ohm,
                receive_a[branch],
                key_down_a[branch],
                volts[0],
                volts[1],
                weakest=place == most and lost_v[place] > 0,
            )
        )
    return tuple(links)


_Resistance = tuple[LinkKind, Branch, int | None, str, float]


def _common_ohm(found: list[_Resistance]) -> float:
    return sum(ohm for _, branch, _, _, ohm in found if branch == "battery")


def _resistances(run: StationRun, cells_ohm: float) -> Iterator[_Resistance]:
    battery = run.station.battery
    inside = "inside the battery" if battery.count == 1 else f"inside {battery.count} batteries"
    yield "cells", "battery", None, inside, cells_ohm
    at_c = wire_c(run)
    for branch in ("battery", "radio", "amplifier"):
        for index, lead in enumerate(run.station.leads):
            if lead.feeds == branch and not (branch == "amplifier" and not run.station.amplifier):
                name = lead.name or f"lead to the {branch}"
                yield (
                    "conductors",
                    branch,
                    index,
                    f"{name}: {size_words(lead)}",
                    _copper_ohm(lead, at_c),
                )
                joints = "joints and fuse" if lead.fuse_a else "joints"
                yield "joints", branch, index, f"{name}: {joints}", lead.joints_mohm / 1000


def wire_c(run: StationRun) -> float:
    """Return the temperature at which a run takes its leads [°C]."""
    return float(air_c(run.site, run.trip, run.clock.step_min).mean())


def _copper_ohm(lead: Lead, at_c: float) -> float:
    size_mm2 = conductor_mm2(lead)
    return 2 * lead.one_way_m * copper_ohm_per_m(size_mm2, at_c) if size_mm2 else 0.0


def size_words(lead: Lead) -> str:
    """Return length and conductor of a lead, such as "2 m of 4 mm²"."""
    length = entered(lead.one_way_m, "m")
    if lead.size_mm2 is not None:
        return f"{length} of {entered(lead.size_mm2, 'mm²')}"
    return length if lead.awg is None else unbroken(f"{length} of AWG {lead.awg}")
