"""The highest power that volts and the battery's limit allow at one moment."""

from __future__ import annotations

from math import inf, sqrt

from model.engine.step_values import Bounds, Course, Laws, Sending


def holds(rest_v: float, ohm: float, at_least_v: float, constant_a: float, power_w: float) -> bool:
    """Return whether the bus stays at or above a voltage.

    The bus volts V are the upper root of V² - (rest_v - ohm*constant_a)*V + ohm*power_w = 0;
    a voltage lies between the roots where the expression below is not negative.
    """
    if at_least_v <= 0.0:
        return True
    return at_least_v * (rest_v - at_least_v - ohm * constant_a) >= ohm * power_w


def highest_sqrt_w(
    rest_v: float,
    ohm: float,
    beside_a: float,
    power_w: float,
    laws: Laws,
    bounds: Bounds,
    ceiling_v: float = inf,
) -> float:
    """Return the square root of the highest power at which every limit holds; negative for none.

    ``ceiling_v`` is as far as the bus can rise, however much feeds it [V].

    Notes
    -----
    The currents are linear in the root s of the power, and so are the bus volts n(s) that a set
    needs. The bus holds while n*(rest_v - n - ohm*I(s)) >= ohm*power_w, a quadratic in s; the
    battery's limit L is met while I(s) + power_w/(rest_v - ohm*L) <= L.
    """
    radio_bias, radio_root, amplifier_bias, amplifier_root = laws
    slope = radio_root + amplifier_root
    base_a = beside_a + radio_bias + amplifier_bias
    best = inf
    for least_v, lead_ohm, bias_a, root_a in (
        (bounds.radio_min_v, bounds.radio_lead_ohm, radio_bias, radio_root),
        (bounds.amplifier_min_v, bounds.amplifier_lead_ohm, amplifier_bias, amplifier_root),
    ):
        if least_v <= 0.0 or not (bias_a or root_a):
            continue
        start_v, rise = least_v + lead_ohm * bias_a, lead_ohm * root_a
        spare_v = rest_v - start_v - ohm * base_a
        constant = start_v * spare_v - ohm * power_w
        if constant < 0.0 or start_v > ceiling_v:
            return -1.0
        if rise > 0.0:
            best = min(best, (ceiling_v - start_v) / rise)
        linear = start_v * (rise + ohm * slope) - rise * spare_v
        square = rise * (rise + ohm * slope)
        if square > 0.0:
            root = (sqrt(linear * linear + 4.0 * square * constant) - linear) / (2.0 * square)
            best = min(best, root)
        elif linear > 0.0:
            best = min(best, constant / linear)
    limit_a = bounds.discharge_limit_a
    if limit_a < inf:
        loaded_v = rest_v - ohm * limit_a
        spare_a = limit_a - base_a - (power_w / loaded_v if loaded_v > 0.0 else 0.0)
        if spare_a < 0.0:
            return -1.0
        if slope > 0.0:
            best = min(best, spare_a / slope)
    return best


def lower_power(
    how: Sending,
    bounds: Bounds,
    rest_v: float,
    ohm: float,
    beside_a: float,
    power_w: float,
    amplifier_out_a: float,
    ceiling_v: float = inf,
) -> tuple[float, bool] | None:
    """Return the highest power that holds where the planned one does not, else None.

    Returns
    -------
    Square root of the power [sqrt(W)], 0 where none holds, and whether the amplifier makes it.
    """
    best = (0.0, False)
    if how.amplified:
        root = highest_sqrt_w(rest_v, ohm, beside_a, power_w, how.laws, bounds, ceiling_v)
        if root >= how.sqrt_w:
            return None
        if root >= how.lowest_sqrt_w:
            best = (root, True)
    root = highest_sqrt_w(
        rest_v, ohm, beside_a + amplifier_out_a, power_w, how.bare_laws, bounds, ceiling_v
    )
    if root >= how.sqrt_w and not how.amplified:
        return None
    root = min(root, how.sqrt_w, how.bare_highest_sqrt_w)
    if root >= min(how.bare_lowest_sqrt_w, how.sqrt_w) and root > best[0]:
        best = (root, False)
    return best


def reduced_load_a(
    course: Course, bounds: Bounds, step: int, how: Sending, sqrt_w: float, *, amplified: bool
) -> float:
    """Return the mean current of radio and amplifier at less than the planned power [A]."""
    share = course.send_share[step]
    resting_a = course.radio_rest_a[step]
    if sqrt_w <= 0.0:
        return resting_a + share * bounds.listening_a + course.amplifier_out_a[step]
    bias_a, root_a, amplifier_bias_a, amplifier_root_a = how.laws if amplified else how.bare_laws
    radio_a = bias_a + how.current_factor * root_a * sqrt_w
    if not amplified:
        return resting_a + share * radio_a + course.amplifier_out_a[step]
    amplifier_a = amplifier_bias_a + how.current_factor * amplifier_root_a * sqrt_w
    return resting_a + share * (radio_a + amplifier_a) + course.amplifier_rest_a[step]
