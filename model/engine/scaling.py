"""A station with its battery, its panel or both scaled, as a fleet that is run at once."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from model.engine.fleet import Fleet, fleet_of_one
from model.engine.inputs import Inputs
from model.station.chemistry import Floats
from model.station.panel_curve import PanelCurve, controller_output_w


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
    battery_by, panel_by : factors on its capacity, on its power, shape (members,) [1].

    Returns
    -------
    One member for each factor.
    """
    given = battery_by if battery_by is not None else panel_by
    assert given is not None
    has_panel = panel_by is not None and inputs.curve is not None
    course = _panel_course(inputs, panel_by) if has_panel and panel_by is not None else {}
    fleet = fleet_of_one(inputs, given.size, course=course)
    return fleet if battery_by is None else with_batteries_scaled(fleet, battery_by)


def with_batteries_scaled(fleet: Fleet, by: Floats) -> Fleet:
    """Return a fleet with each member's battery scaled.

    Capacity, limits of current and charge held by cold grow with it, resistance falls: more of the
    same cells in parallel.

    Parameters
    ----------
    fleet : as it was.
    by : factor for each member, shape (members,) [1].

    Returns
    -------
    The fleet, its charge at the start kept as a fraction.
    """
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
