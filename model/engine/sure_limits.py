"""Limits of a run that spare the step rule a closer look at most of its steps.

Each holds for certain in every step: it takes the greatest resistance and the greatest loads of
any step, and no sun. On one kit or on a fleet: values are numbers or arrays of shape (members,).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from math import inf
from typing import Any

from model.engine.step_values import Bounds, KitSending
from model.engine.sub_rules import PLAIN, Arithmetic
from model.station.chemistry import TABLE_STEPS, Floats

# Up to this share of the capacity a moderate current meets none of the limits of charging.
EASY_SHARE = 0.9
# Of a course, what the limits ask for.
ASKED = ("resistance_ohm", "load_w", "laptop_w", "other_a", "amplifier_out_a")


def most_of(*courses: Mapping[str, Floats]) -> dict[str, float]:
    """Return the greatest of each number of a course in any step that a limit asks for.

    Parameters
    ----------
    courses : parts of it by name, shape (steps,) [unit of each in ``Course``].

    Returns
    -------
    By name [unit of each in ``Course``].
    """
    found = {name: part[name] for part in courses for name in ASKED if name in part}
    return {name: float(values.max(initial=0.0)) for name, values in found.items()}


def with_sure_limits(bounds: Bounds, most: Mapping[str, float], step_h: float) -> Bounds:
    """Return the bounds of one kit with what holds for certain in every step of a course.

    Parameters
    ----------
    bounds : of the kit.
    most : see ``most_of`` [unit of each in ``Course``].
    step_h : length of a step [h].

    Returns
    -------
    The bounds, with volts [V], charge [Ah] and current [A] that are sure.
    """
    return replace(
        bounds,
        receiving_above_v=receiving_above_v(bounds, most, PLAIN),
        easy_charge_ah=EASY_SHARE * bounds.full_ah,
        easy_charge_a=_easy_charge_a(bounds, most, step_h),
    )


def with_sure_power(how: KitSending, bounds: Bounds, most: Mapping[str, float]) -> KitSending:
    """Return how a block is sent with the volts above which its power surely holds.

    Parameters
    ----------
    how : how the block is sent.
    bounds : of the kit.
    most : see ``most_of`` [unit of each in ``Course``].

    Returns
    -------
    The same with ``holds_above_v`` [V].
    """
    radio_bias, radio_root, amplifier_bias, amplifier_root = how.laws
    above_v = key_down_above_v(
        bounds,
        most,
        radio_bias + radio_root * how.sqrt_w,
        amplifier_bias + amplifier_root * how.sqrt_w,
        PLAIN,
        amplified=how.amplified,
    )
    return replace(how, holds_above_v=above_v)


def _easy_charge_a(bounds: Bounds, most: Mapping[str, float], step_h: float) -> float:
    """Return a current that no limit of charging stands against while there is room [A].

    Below ``EASY_SHARE`` of the capacity: see ``step_parts.charging_limit_a``.
    """
    room_ah = (1.0 - EASY_SHARE) * bounds.full_ah
    room_v = bounds.absorption_v - max(bounds.rest_table_v[: int(EASY_SHARE * TABLE_STEPS) + 2])
    if room_v <= 0.0:
        return 0.0
    most_ohm = most["resistance_ohm"] * max(bounds.charge_resistance_factor)
    return min(
        bounds.charge_limit_a,
        room_ah / (bounds.charge_efficiency * step_h),
        room_ah / bounds.acceptance_h if bounds.acceptance_h else inf,
        room_v / most_ohm if most_ohm else inf,
    )


def receiving_above_v(bounds: Bounds, most: Mapping[str, Any], by: Arithmetic) -> Any:
    """Return rest volts above which no step can find the radio unable to receive.

    Parameters
    ----------
    bounds : of one kit, or each number of shape (members,).
    most : the greatest of each number of the course in any step, by name.
    by : arithmetic of plain floats or of arrays.

    Returns
    -------
    Volts, inf where over-voltage is possible, so that every step is tested in full [V].
    """
    at_radio_v = bounds.radio_lead_ohm * bounds.listening_a
    most_v = by.most(bounds.absorption_v, max(bounds.rest_table_v))
    stays_v: Any = 0.0
    if by.any(bounds.receive_min_v):
        least_v = bounds.receive_min_v + at_radio_v
        stays_v = _stays_above_v(bounds, most, by.most(least_v, 1e-9), bounds.listening_a, by)
    return by.choose(most_v > bounds.radio_max_v + at_radio_v, inf, stays_v)


def key_down_above_v(
    bounds: Bounds,
    most: Mapping[str, Any],
    radio_a: Any,
    amplifier_a: Any,
    by: Arithmetic,
    *,
    amplified: bool,
) -> Any:
    """Return rest volts above which nobody can fail with the key down.

    Parameters
    ----------
    bounds : of one kit, or each number of shape (members,).
    most : the greatest of each number of the course in any step, by name.
    radio_a, amplifier_a : with the key down, number or shape (members,) [A].
    by : arithmetic of plain floats or of arrays.
    amplified : whether the amplifier works.

    Returns
    -------
    Volts, inf for none [V].
    """
    least_v = bounds.radio_min_v + bounds.radio_lead_ohm * radio_a
    if amplified:
        lost_v = bounds.amplifier_lead_ohm * amplifier_a
        least_v = by.most(least_v, bounds.amplifier_min_v + lost_v)
    possible = (least_v > 0.0) & (least_v <= bounds.absorption_v)
    current_a = radio_a + amplifier_a
    stays_v = _stays_above_v(bounds, most, by.most(least_v, 1e-9), current_a, by)
    return by.choose(possible, stays_v, inf)


def _stays_above_v(
    bounds: Bounds, most: Mapping[str, Any], least_v: Any, current_a: Any, by: Arithmetic
) -> Any:
    """Return rest volts from which the bus stays at ``least_v`` with ``current_a`` added [V].

    inf where the battery's own limit may be passed.
    """
    ohm = most["resistance_ohm"] * max(bounds.charge_resistance_factor) + bounds.battery_lead_ohm
    laptop_w = most.get("laptop_w", 0.0) + bounds.laptop_charge_w
    power_w = most["load_w"] + laptop_w / bounds.laptop_efficiency
    most_a = most["other_a"] + most["amplifier_out_a"] + current_a + power_w / least_v
    return by.choose(most_a > bounds.discharge_limit_a, inf, least_v + ohm * most_a)
