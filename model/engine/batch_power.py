"""The limits of ``power_limit`` on arrays of kits: the same arithmetic in the same order."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import numpy as np

from model.engine.fleet import Each, Fleet, FleetSending, KeyDown
from model.station.chemistry import Floats

Flags = np.ndarray


def holds(rest_v: Floats, ohm: Each, at_least_v: Each, constant_a: Each, power_w: Each) -> Flags:
    """Return whose bus stays at or above a voltage, shape (members,)."""
    held: Flags = at_least_v * (rest_v - at_least_v - ohm * constant_a) >= ohm * power_w
    return held | (np.asarray(at_least_v) <= 0.0)


def highest_sqrt_w(
    rest_v: Floats,
    ohm: Each,
    beside_a: Each,
    power_w: Each,
    laws: tuple[Each, Each, Each, Each],
    limits: Mapping[str, Each],
    ceiling_v: Each,
) -> Floats:
    """Return the square root of the highest power at which every limit holds, shape (members,).

    Negative where none does. Derived in ``model.engine.power_limit.highest_sqrt_w``. [sqrt(W)]
    """
    radio_bias, radio_root, amplifier_bias, amplifier_root = laws
    slope = radio_root + amplifier_root
    base_a = beside_a + radio_bias + amplifier_bias
    best = np.full(rest_v.size, np.inf)
    none = np.zeros(rest_v.size, dtype=bool)
    for least_v, lead_ohm, bias_a, root_a in (
        (limits["radio_min_v"], limits["radio_lead_ohm"], radio_bias, radio_root),
        (limits["amplifier_min_v"], limits["amplifier_lead_ohm"], amplifier_bias, amplifier_root),
    ):
        if not np.any(least_v) or not (np.any(bias_a) or np.any(root_a)):
            continue
        start_v, rise = least_v + lead_ohm * bias_a, lead_ohm * root_a
        spare_v = rest_v - start_v - ohm * base_a
        constant = start_v * spare_v - ohm * power_w
        none |= (constant < 0.0) | (start_v > ceiling_v)
        if np.any(rise):
            risen = np.divide(
                ceiling_v - start_v,
                rise,
                where=np.asarray(rise) > 0.0,
                out=np.full(rest_v.size, np.inf),
            )
            best = np.minimum(best, risen)
        linear = start_v * (rise + ohm * slope) - rise * spare_v
        square = rise * (rise + ohm * slope)
        best = np.minimum(best, _upper_root(square, linear, constant))
    limit_a = limits["discharge_limit_a"]
    if np.all(np.isfinite(limit_a)):
        loaded_v = rest_v - ohm * limit_a
        carried_a = np.where(loaded_v > 0.0, power_w / loaded_v, 0.0)
        spare_a = limit_a - base_a - carried_a
        none |= spare_a < 0.0
        if np.any(slope):
            best = np.minimum(best, spare_a / slope)
    best[none] = -1.0
    return best


def _upper_root(square: Each, linear: Floats, constant: Floats) -> Floats:
    """Return where ``square * s² + linear * s = constant``, inf where nothing limits s."""
    bent = np.asarray(square) > 0.0
    if bent.all():
        root: Floats = (np.sqrt(linear * linear + 4.0 * square * constant) - linear) / (
            2.0 * square
        )
        return root
    curved = (np.sqrt(linear * linear + 4.0 * square * constant) - linear) / (2.0 * square)
    return np.where(bent, curved, np.where(linear > 0.0, constant / linear, np.inf))


def lower_power(
    how: FleetSending,
    limits: Mapping[str, Each],
    rest_v: Floats,
    ohm: Each,
    beside_a: Each,
    power_w: Each,
    amplifier_out_a: Each,
    ceiling_v: Each,
) -> tuple[Flags, Floats, Flags] | None:
    """Return the highest power that holds, where the planned one does not; None where all do.

    Returns
    -------
    Who sends less than planned, the square root of the power [sqrt(W)], 0 where none holds, and
    whether the amplifier makes it; each of shape (members,).
    """
    best = np.zeros(rest_v.size)
    amplified = np.zeros(rest_v.size, dtype=bool)
    if how.amplified:
        root = highest_sqrt_w(rest_v, ohm, beside_a, power_w, how.laws, limits, ceiling_v)
        lowered: Flags = ~(root >= how.sqrt_w)
        if not lowered.any():
            return None
        amplified = root >= how.lowest_sqrt_w
        best = np.where(amplified, root, 0.0)
    root = highest_sqrt_w(
        rest_v, ohm, beside_a + amplifier_out_a, power_w, how.bare_laws, limits, ceiling_v
    )
    if not how.amplified:
        lowered = ~(root >= how.sqrt_w)
        if not lowered.any():
            return None
    root = np.minimum(np.minimum(root, how.sqrt_w), how.bare_highest_sqrt_w)
    alone = (root >= np.minimum(how.bare_lowest_sqrt_w, how.sqrt_w)) & (root > best)
    return lowered, np.where(alone, root, best), amplified & ~alone


def reduced_load_a(
    how: FleetSending,
    limits: Mapping[str, Each],
    now: Mapping[str, Any],
    sqrt_w: Floats,
    amplified: Flags,
) -> Floats:
    """Return the mean current of radio and amplifier at less than the planned power. [A]

    Parameters
    ----------
    now : the course of this step, by name.
    """
    share, resting_a, out_a = now["send_share"], now["radio_rest_a"], now["amplifier_out_a"]
    listening = resting_a + share * limits["listening_a"] + out_a
    bias_a, root_a, _, _ = how.bare_laws
    load_a = resting_a + share * (bias_a + how.current_factor * root_a * sqrt_w) + out_a
    if amplified.any():
        bias_a, root_a, amplifier_bias_a, amplifier_root_a = how.laws
        radio_a = bias_a + how.current_factor * root_a * sqrt_w
        amplifier_a = amplifier_bias_a + how.current_factor * amplifier_root_a * sqrt_w
        both = resting_a + share * (radio_a + amplifier_a) + now["amplifier_rest_a"]
        load_a = np.where(amplified, both, load_a)
    sent: Floats = np.where(sqrt_w <= 0.0, listening, load_a)
    return sent


def surely_stays_v(fleet: Fleet, least_v: Each, current_a: Each) -> Each:
    """Return rest volts from which a member's bus stays at ``least_v`` in every step. [V]

    With its greatest resistance and loads of any step, ``current_a`` added, and without sun; inf
    where the battery's own limit may be passed. One value, or shape (members,).
    """
    limits, most = fleet.limits, fleet.most
    ohm = most["resistance_ohm"] * max(fleet.shared.charge_resistance_factor)
    laptop_w = most.get("laptop_w", 0.0) + limits["laptop_charge_w"]
    power_w = most["load_w"] + laptop_w / limits["laptop_efficiency"]
    most_a = most["other_a"] + most["amplifier_out_a"] + current_a + power_w / least_v
    stays_v = least_v + (ohm + limits["battery_lead_ohm"]) * most_a
    return np.where(most_a > limits["discharge_limit_a"], np.inf, stays_v)


def surely_holds_v(fleet: Fleet, key: KeyDown) -> Each:
    """Return rest volts from which a member cannot fail with the key down; inf for none. [V]"""
    limits = fleet.limits
    least_v = limits["radio_min_v"] + limits["radio_lead_ohm"] * key.radio_a
    if key.amplified:
        lost_v = limits["amplifier_lead_ohm"] * key.amplifier_a
        least_v = np.maximum(least_v, limits["amplifier_min_v"] + lost_v)
    possible = (np.asarray(least_v) > 0.0) & (least_v <= limits["absorption_v"])
    stays_v = surely_stays_v(fleet, np.maximum(least_v, 1e-9), key.radio_a + key.amplifier_a)
    return np.where(possible, stays_v, np.inf)


def surely_receives_v(fleet: Fleet) -> Each:
    """Return rest volts from which a radio cannot fail to receive; inf where it may. [V]"""
    limits = fleet.limits
    listening_a = limits["listening_a"]
    at_radio_v = limits["radio_lead_ohm"] * listening_a
    most_v = np.maximum(limits["absorption_v"], max(fleet.shared.rest_table_v))
    stays_v: Each = 0.0
    if np.any(limits["receive_min_v"]):
        stays_v = surely_stays_v(fleet, limits["receive_min_v"] + at_radio_v, listening_a)
    return np.where(most_v > limits["radio_max_v"] + at_radio_v, np.inf, stays_v)


def key_down_holds(
    key: KeyDown,
    limits: Mapping[str, Each],
    now: Mapping[str, Any],
    rest_v: Floats,
    ohm: Each,
    source_a: Each,
    power_w: Each,
    ceiling_v: Each,
) -> Flags:
    """Return who holds with the key down, as the clocks test it, shape (members,).

    Parameters
    ----------
    source_a, power_w : what the panel gives as a current; all loads less the panel's power.
    ceiling_v : as far as the bus can rise, inf where nothing feeds it.
    """
    constant_a = now["other_a"] + key.radio_a + key.amplifier_a - source_a - now["charger_a"]
    if not key.amplified:
        constant_a = constant_a + now["amplifier_out_a"]
    open_v = rest_v - ohm * constant_a
    square = open_v * open_v
    square -= 4.0 * ohm * power_w
    bus_v = np.sqrt(np.maximum(square, 0.0))
    bus_v += open_v
    bus_v *= 0.5
    carried = (square >= 0.0) & (bus_v > 0.0)
    capped_v = np.minimum(bus_v, ceiling_v)
    held: Flags = carried & (
        capped_v - limits["radio_lead_ohm"] * key.radio_a >= limits["radio_min_v"]
    )
    if key.amplified:
        at_amplifier_v = capped_v - limits["amplifier_lead_ohm"] * key.amplifier_a
        held &= at_amplifier_v >= limits["amplifier_min_v"]
    limit_a = limits["discharge_limit_a"]
    if np.all(np.isinf(limit_a)):
        return held
    current_a = constant_a + np.where(np.asarray(power_w) == 0.0, 0.0, power_w / capped_v)
    held &= ~(current_a > limit_a)
    return held
