"""Parts of the step rule that only some steps need, for one kit on plain floats."""

from __future__ import annotations

from model.engine.power_limit import lower_power, reduced_load_a
from model.engine.step_values import (
    CAUSE_OVER_VOLTS,
    CAUSE_SAG,
    Bounds,
    Course,
    KitSending,
    Reduced,
    Trace,
)
from model.engine.sub_rules import PLAIN, receive_fails


def doubtful_load_a(
    course: Course,
    bounds: Bounds,
    trace: Trace,
    step: int,
    how: KitSending | None,
    rest_v: float,
    ohm: float,
    given_a: float,
    power_w: float,
    ceiling_v: float,
) -> float | None:
    """Return the load of a step whose planned one may not hold, None where it does.

    Where the radio cannot even receive it is off, where it cannot send as planned it sends less;
    the trace is told. Called only where a sure limit leaves a doubt.

    Parameters
    ----------
    course, bounds, step : inputs of each step, what stays the same, and which step.
    trace : where what is found is told.
    how : how the step is sent, None where that is not in doubt.
    rest_v : of the battery [V].
    ohm : of the battery with its lead [ohm].
    given_a, power_w : what panel and chargers give as current [A]; constant power of all loads less
        the panel's [W].
    ceiling_v : as far as the bus can rise, inf where nothing feeds it [V].

    Returns
    -------
    Constant current of all loads [A].
    """
    other_a, out_a = course.other_a[step], course.amplifier_out_a[step]
    if rest_v < bounds.receiving_above_v:
        beside_a = other_a + out_a - given_a
        sags, over = receive_fails(bounds, rest_v, ohm, beside_a, power_w, ceiling_v, PLAIN)
        if sags or over:
            trace.radio_off.append((step, CAUSE_SAG if sags else CAUSE_OVER_VOLTS))
            return other_a + bounds.off_a + out_a
    if how is None:
        return None
    lowered = lower_power(
        how, bounds, rest_v, ohm, other_a - given_a, power_w, out_a, ceiling_v, PLAIN
    )
    if lowered is None:
        return None
    _, sqrt_w, amplified = lowered
    trace.reduced.append(Reduced(step, sqrt_w, amplified))
    load_a: float = other_a + reduced_load_a(
        how,
        sqrt_w,
        amplified,
        send_share=course.send_share[step],
        radio_rest_a=course.radio_rest_a[step],
        listening_a=bounds.listening_a,
        amplifier_rest_a=course.amplifier_rest_a[step],
        amplifier_out_a=out_a,
        by=PLAIN,
    )
    return load_a


def laptop_takes_w(
    bounds: Bounds, laptop_wh: float, step_h: float, *, spare_w: float, sun_w: float
) -> float:
    """Return what the laptop's own battery takes of what would be spilled.

    Parameters
    ----------
    bounds : what it takes at most.
    laptop_wh : what it holds [Wh].
    step_h : length of a step [h].
    spare_w : what the station's battery does not take [W].
    sun_w : what of it comes from the panel: a charger is not there for it [W].

    Returns
    -------
    Power into it, 0 or less for none [W].
    """
    # Comparisons take a third of the time of ``min``.
    taken_w = (spare_w if spare_w < sun_w else sun_w) * bounds.laptop_efficiency
    if taken_w > bounds.laptop_charge_w:
        taken_w = bounds.laptop_charge_w
    room_w = (bounds.laptop_full_wh - laptop_wh) / step_h
    return room_w if room_w < taken_w else taken_w


def charging_limit_a(
    bounds: Bounds, stored_ah: float, rest_v: float, ohm: float, step_h: float, bears_a: float
) -> float:
    """Return the most that a battery takes in one step.

    A copy of ``sub_rules.charging_limits_a``: what serves arrays too costs six per cent of a run.

    Parameters
    ----------
    bounds : of the battery.
    stored_ah : charge at the start of the step [Ah].
    rest_v : at that charge [V].
    ohm : of the battery without its lead [ohm].
    step_h : length of the step [h].
    bears_a : what the cells bear at this temperature, 0 in frost [A].

    Returns
    -------
    Current [A].
    """
    room_v = bounds.absorption_v - rest_v
    if room_v <= 0.0:
        return 0.0
    room_ah = bounds.full_ah - stored_ah
    limit_a = bounds.charge_limit_a
    if bears_a < limit_a:
        limit_a = bears_a
    filling_a = room_ah / (bounds.charge_efficiency * step_h)
    if filling_a < limit_a:
        limit_a = filling_a
    if bounds.acceptance_h and room_ah / bounds.acceptance_h < limit_a:
        limit_a = room_ah / bounds.acceptance_h
    if ohm * limit_a > room_v:
        limit_a = room_v / ohm
    return limit_a
