"""A station with a larger or smaller battery or panel of the same make.

A scaled part is for a trial; a resized one is to be kept, and tells what it is.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any, TypeVar

import numpy as np

from model.engine.fleet import Fleet, fleet_of_one
from model.engine.inputs import Inputs
from model.scenario.declare import Source
from model.scenario.station import Battery, Panel, Station
from model.station.chemistry import Floats
from model.station.panel_curve import PanelCurve, controller_output_w

# What a note of a source may hold.
NOTE_LIMIT = 400
SCALED = ("capacity_ah", "rated_w", "mass_kg", "resistance_ohm", "charge_limit_a",
          "discharge_limit_a")  # fmt: skip
Resizable = TypeVar("Resizable", Battery, Panel)


def resized_battery(battery: Battery, by: float) -> Battery:
    """Return a battery of ``by`` times the Ah, to be kept: its name says its size.

    See ``_retold`` for its sources.
    """
    scaled = scaled_battery(battery, by)
    return _retold(scaled, f"{battery.chemistry}, {round(scaled.capacity_ah, 2):g} Ah")


def resized_panel(panel: Panel, by: float) -> Panel:
    """Return a panel of ``by`` times the watts, to be kept: its name says its size.

    See ``_retold`` for its sources.
    """
    scaled = scaled_panel(panel, by)
    return _retold(scaled, f"panel, {round(scaled.rated_w, 1):g} W")


def _retold(part: Resizable, name: str) -> Resizable:
    """Return a resized part with its name, and with what its numbers rest on now.

    A number that was scaled is a guess, whatever it was scaled from; the note says that. What
    belongs to the make, such as volts and efficiency, keeps its source.
    """
    sources = tuple(
        (key, _scaled_source(source) if key in SCALED else source) for key, source in part.sources
    )
    return part.model_copy(update={"name": name, "sources": sources})


def _scaled_source(source: Source) -> Source:
    if source.origin == "guess":
        return source
    on = f" on {source.on}" if source.on else ""
    told = f"scaled from another size: {source.origin}{on}"
    note = f"{told}; {source.note}" if source.note else told
    return Source(origin="guess", note=note[:NOTE_LIMIT])


def scaled_battery(battery: Battery, by: float) -> Battery:
    """Return a battery of ``by`` times the Ah: mass and limits grow alike, resistance shrinks."""
    changes: dict[str, Any] = {
        "capacity_ah": battery.capacity_ah * by,
        "mass_kg": battery.mass_kg * by,
        "resistance_ohm": battery.resistance_ohm / by,
    }
    for limit in ("charge_limit_a", "discharge_limit_a"):
        present = getattr(battery, limit)
        if present is not None:
            changes[limit] = present * by
    return battery.model_copy(update=changes)


def scaled_panel(panel: Panel, by: float) -> Panel:
    """Return a panel of ``by`` times the watts at the same volts; mass grows alike."""
    return panel.model_copy(update={"rated_w": panel.rated_w * by, "mass_kg": panel.mass_kg * by})


def scaled_station(station: Station, *, battery_by: float = 1.0, panel_by: float = 1.0) -> Station:
    """Return a station with its battery and its panel scaled."""
    changes: dict[str, Any] = {}
    if battery_by != 1.0:
        changes["battery"] = scaled_battery(station.battery, battery_by)
    if panel_by != 1.0 and station.panel is not None:
        changes["panel"] = scaled_panel(station.panel, panel_by)
    return station.model_copy(update=changes)


def scaled_fleet(
    inputs: Inputs,
    *,
    battery_by: Floats | None = None,
    panel_by: Floats | None = None,
) -> Fleet:
    """Return a station with its battery, its panel or both scaled, as a fleet.

    Parameters
    ----------
    inputs : of the station itself; its charge at the start is kept as a fraction.
    battery_by, panel_by : shape (members,).
    """
    given = battery_by if battery_by is not None else panel_by
    assert given is not None
    has_panel = panel_by is not None and inputs.curve is not None
    course = _panel_course(inputs, panel_by) if has_panel and panel_by is not None else {}
    fleet = fleet_of_one(inputs, given.size, course=course)
    return fleet if battery_by is None else with_batteries_scaled(fleet, battery_by)


def with_batteries_scaled(fleet: Fleet, by: Floats) -> Fleet:
    """Return a fleet with each member's battery scaled, shape of ``by`` (members,)."""
    limits, course = dict(fleet.limits), dict(fleet.course)
    for name in ("full_ah", "rated_a", "charge_limit_a", "discharge_limit_a"):
        limits[name] = limits[name] * by
    course["resistance_ohm"] = _per_member(fleet, course["resistance_ohm"]) / by
    course["floor_ah"] = _per_member(fleet, course["floor_ah"]) * by
    return replace(fleet, limits=limits, course=course, start_ah=fleet.start_ah * by)


def _per_member(fleet: Fleet, values: Floats) -> Floats:
    return values[:, None] if values.ndim == 1 else np.asarray(fleet.each(values))


def _panel_course(inputs: Inputs, by: Floats) -> dict[str, Floats]:
    """Scale the panel's currents; what its leads lose grows with their square."""
    curve, bounds = inputs.curve, inputs.bounds
    assert curve is not None
    wide = PanelCurve(**{name: values[:, None] for name, values in vars(curve).items()})
    output_w, _ = controller_output_w(wide, bounds.panel_lead_ohm, bounds.controller_efficiency, by)
    return {
        "panel_w": output_w,
        "short_a": np.outer(curve.short_circuit_a, by),
        "saturation_a": np.outer(curve.saturation_a, by),
    }
