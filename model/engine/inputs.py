"""Assemble the step rule's inputs from a station, its loads, its panel and its battery."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, fields, replace
from functools import lru_cache
from math import inf
from typing import TYPE_CHECKING, Any, TypeVar

import numpy as np

from model.engine.course_parts import Part, part_of_battery, part_of_loads, part_of_panel
from model.engine.step_values import Bounds, Course, KitSending, Sending, State
from model.engine.sure_limits import most_of, with_sure_limits, with_sure_power
from model.scenario.power import Battery
from model.scenario.scenario import Block, Site
from model.scenario.station import Extra, Station
from model.sky.irradiance import panel_light
from model.sky.trip import Trip
from model.sky.weather import air_c
from model.station.cell_temperature import CellClimate, cell_climate
from model.station.chemistry import (
    Floats,
    absorption_v,
    charge_resistance_factor,
    rest_lines_v,
    rest_table_v,
)
from model.station.conductors import path_ohm
from model.station.loads import BlockSending, StationLoads, station_loads
from model.station.panel_curve import PanelCurve
from model.station.part_loads import own_store
from model.station.transmit_path import alone

if TYPE_CHECKING:
    from _typeshed import DataclassInstance


@dataclass(frozen=True, eq=False)
class Inputs:
    """All that a run of one station needs; arrays of shape (steps,), step means.

    Attributes
    ----------
    station : what is run.
    loads : currents [A], mean squares [A²] and powers [W] that do not depend on charge.
    climate : temperature of the cells [degC] and what it makes of the battery.
    curve : the panels' [W], [V], [A]; None without a panel.
    panel_output_w : what an mppt controller could put out [W].
    panel_lead_w : lost in the panel's leads at that output [W].
    irradiance_w_m2 : light that enters the cells, 0 without a panel [W/m2].
    static_laptop_w : into the laptop's converter, where its battery is no part of the state [W].
    bounds : limits that stay the same.
    course : inputs of each step as lists, to run on.
    kept_course : the same as views of arrays, in a quarter of the memory.
    start : state before the first step.
    step_min : length of a step [min].
    """

    station: Station
    loads: StationLoads
    climate: CellClimate
    curve: PanelCurve | None
    panel_output_w: Floats
    panel_lead_w: Floats
    irradiance_w_m2: Floats
    static_laptop_w: Floats
    bounds: Bounds
    course: Course
    kept_course: Course
    start: State
    step_min: float

    @property
    def steps(self) -> int:
        """Number of steps."""
        return self.loads.send_share.size

    @property
    def load_w(self) -> Floats:
        """Constant power of all loads, without a laptop that is part of the state [W]."""
        return self.loads.other_w + self.static_laptop_w

    def part(self, first: int, last: int) -> Inputs:
        """Return the steps from one up to another; the start stays that of the run."""
        whole = self.loads
        drawn = {use: _part_of(each, first, last) for use, each in whole.drawn.items()}
        return replace(
            _part_of(self, first, last),
            loads=replace(_part_of(whole, first, last), drawn=drawn),
            climate=_part_of(self.climate, first, last),
            curve=None if self.curve is None else _part_of(self.curve, first, last),
            course=self.course.part(first, last),
            kept_course=self.kept_course.part(first, last),
        )


Values = TypeVar("Values", bound="DataclassInstance")


def _part_of(values: Values, first: int, last: int) -> Values:
    """Return the same with every array of its own cut to the steps from one up to another."""
    named = ((each.name, getattr(values, each.name)) for each in fields(values))
    cut = {name: value[first:last] for name, value in named if isinstance(value, np.ndarray)}
    return replace(values, **cut)


def station_inputs(
    site: Site,
    trip: Trip,
    plan: tuple[Block, ...],
    station: Station,
    shared: tuple[Extra, ...] = (),
    step_min: float = 1.0,
) -> Inputs:
    """Return the inputs of a run.

    Parameters
    ----------
    site, trip : the place; date, start hour, days and weather.
    plan, station : what is worked and what is run; units stand on the fields.
    shared : extras of other stations that all carry.
    step_min : length of a step [min].

    Returns
    -------
    Arrays of shape (steps,), and the same as the rule's course.
    """
    loads = station_loads(site, trip, plan, station, shared, step_min)
    climate = cell_climate(site, trip, station.battery, step_min)
    wire_c = float(air_c(site, trip, step_min).mean())
    bounds = _bounds(station, wire_c)
    light = panel_light(site, trip, station.panel, step_min) if station.panel else None
    steps = loads.send_share.size
    panel = part_of_panel(
        station.panel, light, steps, bounds.panel_lead_ohm, bounds.controller_efficiency
    )
    laptop = station.laptop
    in_state = laptop is not None and laptop.charge_w > 0 and laptop.own_battery_wh > 0
    load = part_of_loads(loads, laptop, step_min, in_state=in_state)
    parts = (load.part, panel.part, _battery_part(station.battery, climate, bounds.full_ah))
    most = most_of(*(part.values for part in parts))
    bounds = with_sure_limits(bounds, most, step_min / 60)
    ways = [
        with_sure_power(how, bounds, most) if how else None
        for how in (_sending(station, each) for each in loads.sendings)
    ]
    course, kept_course = _courses(loads, parts, [*ways, None])
    start = State(
        station.start_fraction * station.battery.full_ah,
        laptop.own_battery_wh if laptop and in_state else 0.0,
    )
    return Inputs(
        station=station,
        loads=loads,
        climate=climate,
        curve=panel.curve,
        panel_output_w=panel.output_w,
        panel_lead_w=panel.lead_w,
        irradiance_w_m2=light.irradiance_w_m2 if light else np.zeros(steps),
        static_laptop_w=load.static_laptop_w,
        bounds=bounds,
        course=course,
        kept_course=kept_course,
        start=start,
        step_min=step_min,
    )


@lru_cache(maxsize=128)
def _bounds(station: Station, wire_c: float) -> Bounds:
    battery, radio, amplifier = station.battery, station.radio, station.amplifier
    cell = battery.cell
    controller, laptop, store = station.controller, station.laptop, own_store(station)
    tied = station.panel is not None and (controller is None or controller.kind == "pwm")
    rest_start_v, rest_rise_v = rest_lines_v(battery.chemistry, battery.cells_in_series)
    heeds_rate = battery.peukert_exponent > 1 or bool(cell.cold_rate_excess)
    return Bounds(
        full_ah=battery.full_ah,
        rest_start_v=rest_start_v,
        rest_rise_v=rest_rise_v,
        rest_table_v=rest_table_v(battery.chemistry, battery.cells_in_series),
        charge_resistance_factor=charge_resistance_factor(battery.chemistry),
        battery_lead_ohm=path_ohm(station, "battery", wire_c),
        radio_lead_ohm=path_ohm(station, "radio", wire_c),
        amplifier_lead_ohm=path_ohm(station, "amplifier", wire_c),
        charge_efficiency=battery.charge_efficiency,
        charge_limit_a=(battery.charge_limit_a or inf) * battery.count,
        discharge_limit_a=(battery.discharge_limit_a or inf) * battery.count,
        absorption_v=absorption_v(battery),
        acceptance_h=cell.acceptance_h,
        rated_a=battery.capacity_ah * battery.count / 20 if heeds_rate else inf,
        cutoff_v=battery.cutoff_v,
        reconnect_v=battery.reconnect_v,
        radio_min_v=radio.supply_min_v or 0.0,
        amplifier_min_v=(amplifier.supply_min_v or 0.0) if amplifier else 0.0,
        receive_min_v=radio.receive_min_v or 0.0,
        radio_max_v=radio.supply_max_v or inf,
        output_limit_a=(controller.output_limit_a or inf) if controller else inf,
        start_margin_v=controller.start_margin_v if controller else 0.0,
        tied=tied,
        controller_efficiency=controller.efficiency if controller and not tied else 1.0,
        panel_lead_ohm=path_ohm(station, "panel", wire_c),
        starts_from_dead=bool(controller and controller.starts_from_dead),
        laptop_efficiency=laptop.converter_efficiency if laptop else 1.0,
        laptop_charge_w=laptop.charge_w if laptop and laptop.runs != "never" else 0.0,
        laptop_full_wh=laptop.own_battery_wh if laptop else 0.0,
        store_idle_per_h=store.idle_per_h if store else 0.0,
        store_per_ah=store.per_ah if store else 0.0,
        off_a=radio.off_a,
        listening_a=radio.receive_a,
    )


def _battery_part(battery: Battery, climate: CellClimate, full_ah: float) -> Part:
    """Return what the batteries and the temperature of their cells give to a course."""
    ohm, exponent = battery.resistance_ohm / battery.count, battery.peukert_exponent
    return part_of_battery(climate, ohm, full_ah, exponent)


def _courses(
    loads: StationLoads, parts: Sequence[Part], ways: Sequence[KitSending | None]
) -> tuple[Course, Course]:
    """Return the course to run on, and the same in a quarter of its memory, to keep."""
    sending = np.array(ways, dtype=object)[loads.send_row].tolist()
    lists: dict[str, Any] = {}
    views: dict[str, Any] = {}
    for part in parts:
        lists |= part.plain
        views |= {name: values.data for name, values in part.values.items()}
    return Course(**lists, sending=sending), Course(**views, sending=sending)


def _sending(station: Station, how: BlockSending) -> KitSending | None:
    if how.way is None:
        return None
    bare, way = alone(station), how.way
    return Sending(
        sqrt_w=how.rf_w**0.5,
        current_factor=how.emission.current_factor,
        amplified=way.amplified,
        laws=(
            way.radio.bias_a,
            way.radio.root_a,
            way.amplifier.bias_a,
            way.amplifier.root_a,
        ),
        lowest_sqrt_w=min(way.lowest_w, how.rf_w) ** 0.5,
        bare_laws=(bare.radio.bias_a, bare.radio.root_a, 0.0, 0.0),
        bare_lowest_sqrt_w=bare.lowest_w**0.5,
        bare_highest_sqrt_w=bare.highest_w**0.5,
    )
