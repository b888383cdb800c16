"""Limits of a run that spare the step rule a closer look at most of its steps."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from math import inf

from model.engine.step_values import Bounds
from model.station.chemistry import TABLE_STEPS, Floats

# Up to this share of the capacity a moderate current meets none of the limits of charging.
EASY_SHARE = 0.9


def with_sure_limits(bounds: Bounds, course: Mapping[str, Floats], step_h: float) -> Bounds:
    """Return the bounds with what holds for certain in every step of a course.

    Parameters
    ----------
    course : the arrays of a course by name, each of shape (steps,).
    step_h : length of a step [h].
    """
    return replace(
        bounds,
        receiving_above_v=_receiving_above_v(bounds, course),
        easy_charge_ah=EASY_SHARE * bounds.full_ah,
        easy_charge_a=_easy_charge_a(bounds, course, step_h),
    )


def _receiving_above_v(bounds: Bounds, course: Mapping[str, Floats]) -> float:
    """Return rest volts above which no step can find the radio unable to receive [V].

    With the greatest resistance and the greatest loads of any step; inf where over-voltage is
    possible, so that every step is tested in full.
    """
    at_radio_v = bounds.radio_lead_ohm * bounds.listening_a
    if max(bounds.absorption_v, bounds.rest_table_v[-1]) > bounds.radio_max_v + at_radio_v:
        return inf
    if bounds.receive_min_v <= 0.0:
        return 0.0
    least_v = bounds.receive_min_v + at_radio_v
    most_ohm = _most_ohm(bounds, course) + bounds.battery_lead_ohm
    laptop_w = _most(course["laptop_w"]) / bounds.laptop_efficiency
    most_a = (
        _most(course["other_a"])
        + _most(course["amplifier_out_a"])
        + bounds.listening_a
        + (_most(course["load_w"]) + laptop_w) / least_v
    )
    return least_v + most_ohm * most_a


def _easy_charge_a(bounds: Bounds, course: Mapping[str, Floats], step_h: float) -> float:
    """Return a current that no limit of charging stands against while there is room [A].

    Below ``EASY_SHARE`` of the capacity, with the greatest resistance of any step: see
    ``charging_limit_a``.
    """
    room_ah = (1.0 - EASY_SHARE) * bounds.full_ah
    room_v = bounds.absorption_v - max(bounds.rest_table_v[: int(EASY_SHARE * TABLE_STEPS) + 2])
    if room_v <= 0.0:
        return 0.0
    most_ohm = _most_ohm(bounds, course)
    return min(
        bounds.charge_limit_a,
        room_ah / (bounds.charge_efficiency * step_h),
        room_ah / bounds.acceptance_h if bounds.acceptance_h else inf,
        room_v / most_ohm if most_ohm else inf,
    )


def _most_ohm(bounds: Bounds, course: Mapping[str, Floats]) -> float:
    return _most(course["resistance_ohm"]) * max(bounds.charge_resistance_factor)


def _most(values: Floats) -> float:
    return float(values.max(initial=0.0))
