"""The highest power that volts and the battery's limit allow at one moment, and its current."""

from __future__ import annotations

from math import inf
from typing import Any

from model.engine.step_values import Bounds
from model.engine.sub_rules import NOT_ZERO, PLAIN, Arithmetic
from model.station.emission import mean_a


def highest_sqrt_w(
    rest_v: Any,
    ohm: Any,
    beside_a: Any,
    power_w: Any,
    laws: tuple[Any, Any, Any, Any],
    bounds: Bounds,
    ceiling_v: Any = inf,
    by: Arithmetic = PLAIN,
) -> Any:
    """Return the square root of the highest power at which every limit holds.

    Parameters
    ----------
    rest_v, ohm : of the battery with its lead, number or shape (members,) [V], [ohm].
    beside_a, power_w : all other loads less what the sources give [A], [W].
    laws : bias and root of the radio, bias and root of the amplifier [A], [A/sqrt(W)].
    bounds, ceiling_v : limits; as far as the bus can rise, however much feeds it [V].
    by : arithmetic of plain floats or of arrays.

    Returns
    -------
    Root of the power, negative where none holds, number or shape (members,) [sqrt(W)].

    Notes
    -----
    The currents are linear in the root s of the power, and so are the bus volts n(s) that a set
    needs. The bus holds while n*(rest_v - n - ohm*I(s)) >= ohm*power_w, which is
    ``bend * s² + linear * s <= constant``; its root is taken in the form that also holds for
    ``bend = 0``. The battery's limit L is met while I(s) + power_w/(rest_v - ohm*L) <= L.
    """
    radio_bias, radio_root, amplifier_bias, amplifier_root = laws
    slope = radio_root + amplifier_root
    base_a = beside_a + radio_bias + amplifier_bias
    best: Any = inf
    fails: Any = False
    for least_v, lead_ohm, bias_a, root_a in (
        (bounds.radio_min_v, bounds.radio_lead_ohm, radio_bias, radio_root),
        (bounds.amplifier_min_v, bounds.amplifier_lead_ohm, amplifier_bias, amplifier_root),
    ):
        if not by.any(least_v) or not (by.any(bias_a) or by.any(root_a)):
            continue
        start_v, rise = least_v + lead_ohm * bias_a, lead_ohm * root_a
        spare_v = rest_v - start_v - ohm * base_a
        constant = start_v * spare_v - ohm * power_w
        fails = fails | (constant < 0.0) | (start_v > ceiling_v)
        best = by.least(best, by.over(ceiling_v - start_v, rise))
        loses = rise + ohm * slope
        linear, bend = start_v * loses - rise * spare_v, rise * loses
        middle = by.root(linear * linear + 4.0 * bend * constant)
        best = by.least(best, by.over(2.0 * constant, linear + middle))
    limit_a = bounds.discharge_limit_a
    if by.all(limit_a < inf):
        spare_a, loaded_v = limit_a - base_a, rest_v - ohm * limit_a
        if by.any(power_w):
            steady_a = power_w / (by.most(loaded_v, 0.0) + NOT_ZERO)
            spare_a = spare_a - by.choose(loaded_v > 0.0, steady_a, 0.0)
        fails = fails | (spare_a < 0.0)
        best = by.least(best, by.over(spare_a, slope))
    return by.choose(fails, -1.0, best)


def lower_power(
    how: Any,
    bounds: Bounds,
    rest_v: Any,
    ohm: Any,
    beside_a: Any,
    power_w: Any,
    amplifier_out_a: Any,
    ceiling_v: Any,
    by: Arithmetic,
) -> tuple[Any, Any, Any] | None:
    """Return the highest power that holds where the planned one does not; None where it does.

    Parameters
    ----------
    how : ``Sending`` of one kit or of many.
    bounds : limits of volts and current.
    rest_v : of the battery, number or shape (members,) [V].
    ohm : of the battery with its lead [ohm].
    beside_a, power_w : all other loads less what the sources give, as current [A] and as power [W].
    amplifier_out_a : what the amplifier draws where it is not used [A].
    ceiling_v : as far as the bus can rise, however much feeds it [V].
    by : arithmetic of plain floats or of arrays.

    Returns
    -------
    Who sends less than planned, the square root of the power [sqrt(W)], 0 where none holds, and
    whether the amplifier makes it.
    """
    best: Any = 0.0
    amplified: Any = False
    if how.amplified:
        root = highest_sqrt_w(rest_v, ohm, beside_a, power_w, how.laws, bounds, ceiling_v, by)
        lowered = root < how.sqrt_w
        if not by.any(lowered):
            return None
        amplified = root >= how.lowest_sqrt_w
        best = by.choose(amplified, root, 0.0)
    root = highest_sqrt_w(
        rest_v, ohm, beside_a + amplifier_out_a, power_w, how.bare_laws, bounds, ceiling_v, by
    )
    if not how.amplified:
        lowered = root < how.sqrt_w
        if not by.any(lowered):
            return None
    root = by.least(by.least(root, how.sqrt_w), how.bare_highest_sqrt_w)
    alone = (root >= by.least(how.bare_lowest_sqrt_w, how.sqrt_w)) & (root > best)
    return lowered, by.choose(alone, root, best), amplified > alone


def reduced_load_a(
    how: Any,
    sqrt_w: Any,
    amplified: Any,
    *,
    send_share: Any,
    radio_rest_a: Any,
    listening_a: Any,
    amplifier_rest_a: Any,
    amplifier_out_a: Any,
    by: Arithmetic,
) -> Any:
    """Return the mean current of radio and amplifier at less than the planned power.

    Parameters
    ----------
    how : ``Sending`` of one kit or of many.
    sqrt_w : root of the power sent, 0 where none is [sqrt(W)].
    amplified : whether the amplifier makes it.
    send_share : share of the step spent sending [1].
    radio_rest_a, listening_a, amplifier_rest_a, amplifier_out_a : of the step, see ``StationLoads``
        [A].
    by : arithmetic of plain floats or of arrays.

    Returns
    -------
    Mean over the step, number or shape (members,) [A].
    """
    bias_a, root_a, _, _ = how.bare_laws
    sends_a = mean_a(bias_a, root_a * sqrt_w, how.current_factor)
    rest_a = radio_rest_a + amplifier_out_a
    if by.any(amplified):
        bias_a, root_a, amplifier_bias_a, amplifier_root_a = how.laws
        both_a = mean_a(
            bias_a + amplifier_bias_a, (root_a + amplifier_root_a) * sqrt_w, how.current_factor
        )
        sends_a = by.choose(amplified, both_a, sends_a)
        rest_a = by.choose(amplified, radio_rest_a + amplifier_rest_a, rest_a)
    return rest_a + send_share * by.choose(sqrt_w > 0.0, sends_a, listening_a)
