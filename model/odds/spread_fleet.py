"""A fleet of drawn kits under drawn weather, assembled at once.

A test holds it equal to kits assembled one by one.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from functools import partial

import numpy as np
from numpy.typing import NDArray

from model.engine.fleet import Each, Fleet, fleet_of_one, keyed_by, sent_by
from model.engine.inputs import Inputs, station_inputs
from model.odds.drawn_weather import DrawnWeather
from model.scenario.kinds import KINDS, kind_of
from model.scenario.scenario import Block, Site
from model.scenario.station import Extra, Laptop, Panel, Station
from model.sky.irradiance import PanelLight
from model.sky.trip import Trip
from model.station.cell_temperature import floor_drawn_fraction
from model.station.chemistry import Floats
from model.station.conductors import conductor_mm2, copper_ohm_per_m
from model.station.loads import StationLoads, station_loads
from model.station.panel_curve import PanelCurve, controller_output_w, panel_curve
from model.station.part_loads import LOADS, converter_w, drawn_by_number, hour_of
from model.station.plan_steps import hours_share

Factors = Mapping[str, Floats]
By = Callable[[str], Each]

# So many steps of a panel's curves are worked out at once.
STEPS_AT_ONCE = 16
# Factor on the share of its blocks that a trip transmits.
PLAN_KEPT = "plan.kept"
# What the cells of a member give in hard cold beyond their curve, of the capacity, not a factor.
COLD = "battery.cold"
MOVED_BY_PLAN = ("load_a", "send_share", "radio_rest_a", "amplifier_rest_a")

# Limits that are one number of the station, by the number's path.
LIMIT_OF = {
    "charge_efficiency": "battery.charge_efficiency",
    "cutoff_v": "battery.cutoff_v",
    "radio_min_v": "radio.supply_min_v",
    "radio_max_v": "radio.supply_max_v",
    "receive_min_v": "radio.receive_min_v",
    "amplifier_min_v": "amplifier.supply_min_v",
    "controller_efficiency": "controller.efficiency",
    "laptop_efficiency": "laptop.converter_efficiency",
    "off_a": "radio.off_a",
}


def drawn_fleet(
    site: Site,
    trip: Trip,
    plan: tuple[Block, ...],
    station: Station,
    shared: tuple[Extra, ...],
    factors: Factors,
    weather: DrawnWeather,
) -> Fleet:
    """Return a station with its numbers, the plan's transmit share and the weather drawn.

    Parameters
    ----------
    trip : what all members share: dates, start and length; its skies decide nothing.
    factors : by path from the station on, and ``PLAN_KEPT`` and ``COLD``, shape (members,);
        numbers left out are the station's.
    weather : one trip for each member.

    Returns
    -------
    One member for each trip.
    """
    step_min = weather.step_min
    inputs = station_inputs(site, trip, plan, station, shared, step_min)
    members = weather.index.shape[1]
    by = partial(_factor, factors)
    limits = _limits(inputs, weather.air_c.mean(axis=0), by)
    loads = _kept_loads(site, trip, plan, station, shared, inputs, by, step_min)
    full_ah = np.broadcast_to(limits["full_ah"], (members,))
    cells, held = weather.cells(station.battery), station.battery
    ohm = held.resistance_ohm / held.count * by("battery.resistance_ohm")
    battery = {
        "resistance_ohm": cells.resistance_factor * ohm,
        "floor_ah": full_ah
        * floor_drawn_fraction(held.chemistry, cells.cold_floor_fraction, factors.get(COLD, 0.0)),
        "rate_excess": cells.rate_excess + (held.peukert_exponent - 1),
        "charge_rate_per_h": cells.charge_rate_per_h,
    }
    panel = _panel(station, weather, limits, by)
    fleet = fleet_of_one(
        inputs,
        members,
        limits=limits,
        course={name: _flat(rows) for name, rows in (loads | battery | panel).items()},
        start_ah=station.start_fraction * by("start_fraction") * full_ah,
    )
    radio_by, amplifier_by = by("radio.key_down"), by("amplifier.key_down")
    return replace(
        fleet,
        sendings=tuple(sent_by(how, radio_by, amplifier_by) for how in fleet.sendings),
        full_power=keyed_by(fleet.full_power, radio_by, amplifier_by),
        reduced_power=keyed_by(fleet.reduced_power, radio_by, amplifier_by),
    )


def _factor(factors: Factors, path: str) -> Each:
    return factors.get(path, 1.0)


def _flat(rows: Floats) -> Floats:
    """Return what is the same for all members in the form of one value a step."""
    return rows[:, 0] if rows.ndim == 2 and rows.shape[1] == 1 else rows


def _limits(inputs: Inputs, wire_c: Floats, by: By) -> dict[str, Each]:
    bounds = inputs.bounds
    limits: dict[str, Each] = {
        "full_ah": bounds.full_ah * by("battery.capacity_ah") * by("battery.tested_fraction"),
        "rated_a": bounds.rated_a * by("battery.capacity_ah"),
        "listening_a": bounds.listening_a * by("radio.receive_a"),
    }
    for feeds in ("battery", "radio", "amplifier", "panel"):
        limits[f"{feeds}_lead_ohm"] = _path_ohm(inputs.station, feeds, wire_c, by)
    for name, path in LIMIT_OF.items():
        limits[name] = getattr(bounds, name) * by(path)
    if bounds.tied:
        limits["controller_efficiency"] = bounds.controller_efficiency
    return limits


def _path_ohm(station: Station, feeds: str, wire_c: Floats, by: By) -> Each:
    total: Each = 0.0
    for index, lead in enumerate(station.leads):
        if lead.feeds != feeds:
            continue
        size_mm2, where = conductor_mm2(lead), f"leads.{index}."
        per_m = copper_ohm_per_m(size_mm2, wire_c) if size_mm2 else 0.0
        length_m = lead.one_way_m * by(where + "one_way_m")
        joints_ohm = lead.joints_mohm / 1000 * by(where + "joints_mohm")
        total = total + 2 * length_m * per_m / by(where + "size_mm2") + joints_ohm
    return total


def _kept_loads(
    site: Site,
    trip: Trip,
    plan: tuple[Block, ...],
    station: Station,
    shared: tuple[Extra, ...],
    inputs: Inputs,
    by: By,
    step_min: float,
) -> dict[str, Floats]:
    """Return the loads with the plan's transmit share kept as far as is drawn.

    All of a load is linear in the share: two plans give the line.
    """
    whole = drawn_loads(site, trip, plan, station, shared, inputs, by, step_min)
    kept = by(PLAN_KEPT)
    if np.ndim(kept) == 0:
        return whole
    half_plan = tuple(
        block.model_copy(update={"transmit_share": block.transmit_share / 2.0}) for block in plan
    )
    half = drawn_loads(site, trip, half_plan, station, shared, inputs, by, step_min)
    more = 2.0 * (np.asarray(kept) - 1.0)
    return whole | {
        name: whole[name] + more * (whole[name] - half[name])
        for name in MOVED_BY_PLAN
        if name in whole
    }


def drawn_loads(
    site: Site,
    trip: Trip,
    plan: tuple[Block, ...],
    station: Station,
    shared: tuple[Extra, ...],
    inputs: Inputs,
    by: By,
    step_min: float,
) -> dict[str, Floats]:
    """Return the loads of all members.

    Parameters
    ----------
    inputs : of the kit.
    by : the factor of each number, by its path from the station on.
    step_min : length of a step [min].

    Returns
    -------
    By the name in the course, shape (steps, members) or (steps, 1) each [A], [W], [1].
    """
    loads = station_loads(site, trip, plan, station, shared, step_min)

    def of(values: Floats, *paths: str) -> Floats:
        factor: Each = 1.0
        for path in paths:
            factor = factor * by(path)
        return values[:, None] * factor

    linear_a, linear_w = _others(site, trip, station, shared, by, step_min)
    other_a = (
        _tuner_a(station, loads, by)
        + linear_a
        + of(np.asarray(loads.drawn["laptop"].current_a), "laptop.converter_idle_a")
    )
    radio_rest_a = of(loads.receive_a, "radio.receive_a") + of(loads.off_a, "radio.off_a")
    rest_a, out_a = _amplifier_rest(site, trip, plan, station, shared, loads, by, step_min)
    sends_a = of(loads.radio_send_a, "radio.key_down")
    amplifier_sends_a = of(loads.amplifier_send_a, "amplifier.key_down")
    laptop = _laptop(station.laptop, loads, by, step_min, own=bool(inputs.course.laptop_w))
    return {
        "send_share": loads.send_share[:, None],
        "load_a": other_a + (radio_rest_a + sends_a + rest_a + amplifier_sends_a),
        "other_a": other_a,
        "radio_rest_a": radio_rest_a,
        "amplifier_rest_a": rest_a,
        "amplifier_out_a": out_a,
        "load_w": linear_w + laptop.pop("supply_w", np.zeros((1, 1))),
    } | laptop


def _others(
    site: Site, trip: Trip, station: Station, shared: tuple[Extra, ...], by: By, step_min: float
) -> tuple[Floats, Floats]:
    """Return currents and powers of what is linear in its numbers: (steps, members or 1)."""
    hour = hour_of(site, trip, step_min)
    held = [
        *(each for kind in KINDS for each in kind.held_by(station)),
        *((f"shared.{index}", extra) for index, extra in enumerate(shared)),
    ]
    steps = hours_share(site, trip, "always", step_min).size
    amperes, watts = np.zeros((steps, 1)), np.zeros((steps, 1))
    for path, part in held:
        key = kind_of(part).key
        if key in LOADS and key not in ("tuner", "laptop"):
            for number, drawn in drawn_by_number(part, hour):
                factor = by(f"{path}.{number}")
                amperes = amperes + np.asarray(drawn.current_a)[..., None] * factor
                watts = watts + np.asarray(drawn.power_w)[..., None] * factor
    return amperes, watts


def _tuner_a(station: Station, loads: StationLoads, by: By) -> Floats:
    tuner, drawn_a = station.tuner, np.asarray(loads.drawn["tuner"].current_a)
    if tuner is None:
        return np.zeros((drawn_a.size, 1))
    idle_a = tuner.idle_a * by("tuner.idle_a")
    more_a = tuner.tuning_a - tuner.idle_a
    tuning = (drawn_a - tuner.idle_a) / more_a if more_a > 0 else np.zeros(drawn_a.size)
    return idle_a + tuning[:, None] * np.maximum(tuner.tuning_a - idle_a, 0.0)


def _amplifier_rest(
    site: Site,
    trip: Trip,
    plan: tuple[Block, ...],
    station: Station,
    shared: tuple[Extra, ...],
    loads: StationLoads,
    by: By,
    step_min: float,
) -> tuple[Floats, Floats]:
    """Return what the amplifier draws without sending, and where it is not needed after all."""
    amplifier = station.amplifier
    if amplifier is None:
        return loads.amplifier_rest_a[:, None], loads.amplifier_out_a[:, None]
    # With the amplifier off outside nets, what is left is drawn between transmissions.
    within = station.model_copy(
        update={"amplifier": amplifier.model_copy(update={"out_of_session": "off"})}
    )
    gaps_a = station_loads(site, trip, plan, within, shared, step_min).amplifier_rest_a
    in_by = by(f"amplifier.{amplifier.in_session}_a")
    out_by = by(f"amplifier.{amplifier.out_of_session}_a")
    outside_a = loads.amplifier_rest_a - gaps_a
    rest_a = gaps_a[:, None] * in_by + outside_a[:, None] * out_by
    return rest_a, loads.amplifier_out_a[:, None] * out_by


def _laptop(
    laptop: Laptop | None, loads: StationLoads, by: By, step_min: float, *, own: bool
) -> dict[str, Floats]:
    """Return the laptop's power, or what its converter takes once its own battery is used up."""
    if laptop is None or laptop.runs == "never":
        return {}
    power_w = laptop.power_w * by("laptop.power_w")
    asked_w = np.ones((loads.laptop_w.size, 1)) * power_w
    if laptop.runs == "data":
        sleep_w, more_w = laptop.sleep_w * by("laptop.sleep_w"), laptop.power_w - laptop.sleep_w
        in_use = (loads.laptop_w - laptop.sleep_w) / more_w if more_w else 0.0 * loads.laptop_w
        asked_w = sleep_w + (power_w - sleep_w) * in_use[:, None]
    if own:
        return {"laptop_w": asked_w}
    efficiency = laptop.converter_efficiency * by("laptop.converter_efficiency")
    return {"supply_w": converter_w(laptop, asked_w, step_min / 60, efficiency)}


def _panel(
    station: Station, weather: DrawnWeather, limits: Mapping[str, Each], by: By
) -> dict[str, Floats]:
    """Return the curves of all members' panels, each of shape (steps, members).

    A few steps at once: what is worked out between stays in the processor's own memory. One dark
    step stands for all of them.
    """
    panel = station.panel
    if panel is None:
        return {}
    light = weather.light(panel)
    is_lit = np.asarray(light.irradiance_w_m2.any(axis=1))
    dark = np.flatnonzero(~is_lit)
    steps = np.concatenate([dark[:1], np.flatnonzero(is_lit)])
    found: dict[str, Floats] = {}
    for first in range(0, steps.size, STEPS_AT_ONCE):
        these = steps[first : first + STEPS_AT_ONCE]
        for name, values in _panel_at(panel, light, these, limits, by).items():
            if name not in found:
                found[name] = np.empty(light.cell_c.shape)
            found[name][these] = values
    for values in found.values():
        values[dark] = values[dark[:1]]
    return found


def _panel_at(
    panel: Panel, light: PanelLight, steps: NDArray[np.intp], limits: Mapping[str, Each], by: By
) -> dict[str, Floats]:
    """Return the curves in some steps, each of shape (steps, members).

    Each step of each member is one entry of the light that ``panel_curve`` is asked for, and the
    panel's numbers are arrays of as many entries.
    """
    members = light.cell_c.shape[1]
    each_step = (light.irradiance_w_m2, light.plane_w_m2, light.cell_c)
    wide = PanelLight(*(values[steps].ravel() for values in each_step))
    every = {
        name: np.tile(
            np.broadcast_to(getattr(panel, name) * by(f"panel.{name}"), members), steps.size
        )
        for name in ("rated_w", "other_losses", "power_per_c")
    }
    curve = panel_curve(panel.model_copy(update=every), wide)
    each = PanelCurve(
        **{name: values.reshape(steps.size, members) for name, values in vars(curve).items()}
    )
    output_w, _ = controller_output_w(
        each, limits["panel_lead_ohm"], limits["controller_efficiency"]
    )
    return {
        "panel_w": output_w,
        "open_v": each.open_circuit_v,
        "best_v": each.maximum_power_v,
        "short_a": each.short_circuit_a,
        "saturation_a": each.saturation_a,
        "knee_v": each.knee_v,
    }
