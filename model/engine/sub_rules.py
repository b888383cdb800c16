"""Sub-rules of a step: each stands once, for one kit on plain floats and for many on arrays.

They are made of operators that both know. Where these differ the caller passes what it works
with, ``PLAIN`` or ``ARRAYS``.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from math import inf, sqrt
from operator import not_
from typing import Any

import numpy as np

from model.engine.step_values import Bounds

# Added to a divisor that may be 0; too small to change any other.
NOT_ZERO = 1e-300


@dataclass(frozen=True)
class Arithmetic:
    """What plain floats and arrays do by different names.

    Attributes
    ----------
    least, most : of two, member by member.
    choose : the second where the first holds, else the third.
    over : a quotient, inf where the divisor is not above 0.
    root : square root, 0 for what is negative.
    no : what does not hold.
    any, all : whether something holds for any member, for all.
    """

    least: Callable[[Any, Any], Any]
    most: Callable[[Any, Any], Any]
    choose: Callable[[Any, Any, Any], Any]
    over: Callable[[Any, Any], Any]
    root: Callable[[Any], Any]
    no: Callable[[Any], Any]
    any: Callable[[Any], Any]
    all: Callable[[Any], Any]


PLAIN = Arithmetic(
    min,
    max,
    lambda holds, one, other: one if holds else other,
    lambda above, below: above / below if below > 0.0 else inf,
    lambda square: sqrt(square) if square > 0.0 else 0.0,
    not_,
    bool,
    bool,
)
ARRAYS = Arithmetic(
    np.minimum,
    np.maximum,
    np.where,
    lambda above, below: np.where(np.asarray(below) > 0.0, above / np.asarray(below), inf),
    lambda square: np.sqrt(np.maximum(square, 0.0)),
    np.logical_not,
    np.any,
    np.all,
)


def panel_offer(
    rest_v: Any, open_v: Any, best_v: Any, panel_w: Any, bounds: Bounds
) -> tuple[Any, Any, Any]:
    """Return how a panel feeds the bus: tied, with a controller's full current, with its power.

    Parameters
    ----------
    rest_v, open_v, best_v : of the battery; of the panel unloaded and at its best point, number or
        shape (n,) [V].
    panel_w : what the controller could put out [W].
    bounds : of the controller.

    Returns
    -------
    Three flags of which one at most holds: none where the panel's volts do not start the
    controller.
    """
    lit = open_v - bounds.start_margin_v > rest_v
    tied = lit & (bounds.tied | (best_v < rest_v))
    steady = lit > tied
    limited = steady & (panel_w > bounds.output_limit_a * rest_v)
    return tied, limited, steady > limited


def charging_limits_a(
    bounds: Bounds, stored_ah: Any, rest_v: Any, ohm: Any, step_h: float, rate_per_h: Any
) -> Any:
    """Return the most that batteries take in one step, on arrays.

    Their own limit, what cells so cold bear, the charge left to full, lead's acceptance, and the
    volts that absorption allows through their resistance. The rule for one kit has a copy,
    ``step_parts.charging_limit_a``.

    Parameters
    ----------
    bounds : of the batteries, each one number or of shape (n,).
    stored_ah : charge at the start of the step, shape (n,) [Ah].
    rest_v : at that charge, shape (n,) [V].
    ohm : without the lead, number or shape (n,) [ohm].
    step_h : length of the step [h].
    rate_per_h : most current over the capacity at this temperature, number or shape (n,) [1/h].

    Returns
    -------
    Current, shape (n,) [A].
    """
    room_ah = bounds.full_ah - stored_ah
    limit_a = np.minimum(bounds.charge_limit_a, room_ah / (bounds.charge_efficiency * step_h))
    limit_a = np.minimum(limit_a, rate_per_h * bounds.full_ah)
    if np.any(bounds.acceptance_h):
        limit_a = np.minimum(limit_a, room_ah / bounds.acceptance_h)
    limit_a = np.minimum(limit_a, (bounds.absorption_v - rest_v) / (ohm + NOT_ZERO))
    return np.maximum(limit_a, 0.0)


def holds(rest_v: Any, ohm: Any, at_least_v: Any, constant_a: Any, power_w: Any) -> Any:
    """Return whether the bus stays at or above a voltage.

    The bus volts V are the upper root of V² - (rest_v - ohm*constant_a)*V + ohm*power_w = 0;
    a voltage lies between the roots where the expression below is not negative.

    Parameters
    ----------
    rest_v : of the battery, number or shape (n,) [V].
    ohm : of the battery with its lead [ohm].
    at_least_v : the voltage asked about [V].
    constant_a, power_w : all loads less what the sources give, as current [A] and as power [W].

    Returns
    -------
    Booleans, of their common shape.
    """
    return (at_least_v <= 0.0) | (
        at_least_v * (rest_v - at_least_v - ohm * constant_a) >= ohm * power_w
    )


def receive_fails(
    bounds: Bounds,
    rest_v: Any,
    ohm: Any,
    beside_a: Any,
    power_w: Any,
    ceiling_v: Any,
    by: Arithmetic,
) -> tuple[Any, Any]:
    """Return whether the radio cannot even receive: its volts too low, or too high.

    Parameters
    ----------
    bounds : volts that the radio needs and bears.
    rest_v : of the battery, number or shape (n,) [V].
    ohm : of the battery with its lead [ohm].
    beside_a, power_w : all loads but the radio less what the sources give [A], [W].
    ceiling_v : as far as the bus can rise, inf where nothing feeds it [V].
    by : arithmetic of plain floats or of arrays.

    Returns
    -------
    Booleans of too low and of too high, of their common shape.
    """
    constant_a = beside_a + bounds.listening_a
    at_radio_v = bounds.radio_lead_ohm * bounds.listening_a
    least_v, highest_v = bounds.receive_min_v + at_radio_v, bounds.radio_max_v + at_radio_v
    sags = by.no(holds(rest_v, ohm, least_v, constant_a, power_w))
    # A charge that the battery refuses does not lift the bus.
    sags = sags | ((bounds.receive_min_v > 0.0) & (ceiling_v < least_v))
    over = (ceiling_v > highest_v) & holds(rest_v, ohm, highest_v, constant_a, power_w)
    return sags, over


def bus_v(open_v: Any, ohm: Any, power_w: Any) -> tuple[Any, Any]:
    """Return volts where the loads join, and where any volts carry them: True for everywhere.

    The upper root of V² - open_v*V + ohm*power_w = 0, on arrays. The rule for one kit has a copy
    of its own, as a call costs a twentieth of a run; ``tests/unit/test_batch.py`` holds it equal.

    Parameters
    ----------
    open_v : rest volts less what the constant currents lose in ``ohm``, shape (n,) [V].
    ohm : of the battery with its lead, number or shape (n,) [ohm].
    power_w : loads at constant power, less the sources at constant power [W].

    Returns
    -------
    Volts, shape (n,) [V], and where they mean something.
    """
    square = open_v * open_v
    square -= 4.0 * ohm * power_w
    rooted: Any = True
    if not (square.min() >= 0.0 and open_v.min() > 0.0):
        rooted = square >= 0.0
        np.maximum(square, 0.0, out=square)
    volts = np.sqrt(square, out=square)
    volts += open_v
    volts *= 0.5
    return volts, rooted if rooted is True else rooted & (volts > 0.0)


def key_down(
    bounds: Bounds,
    radio_a: Any,
    amplifier_a: Any,
    *,
    amplified: bool,
    rest_v: Any,
    ohm: Any,
    beside_a: Any,
    power_w: Any,
    ceiling_v: Any,
) -> tuple[Any, Any, Any, Any]:
    """Return where a power holds with the key down, on arrays.

    Parameters
    ----------
    bounds : limits of volts and current.
    radio_a, amplifier_a : with the key down, number or shape (n,) [A].
    amplified : whether the amplifier works.
    rest_v : of the battery, shape (n,) [V].
    ohm : of the battery with its lead, number or shape (n,) [ohm].
    beside_a, power_w : all other loads less what the sources give, as current [A] and as power [W].
    ceiling_v : as far as the bus can rise, inf where nothing feeds it [V].

    Returns
    -------
    Whether it holds, whether the battery's protection trips, the radio's volts [V], and whether any
    volts carry the loads: the radio's mean nothing where none do.
    """
    constant_a = beside_a + radio_a + amplifier_a
    volts, carried = bus_v(rest_v - ohm * constant_a, ohm, power_w)
    volts = np.minimum(volts, ceiling_v)
    radio_v = volts - bounds.radio_lead_ohm * radio_a
    held = carried & (radio_v >= bounds.radio_min_v)
    if amplified:
        at_amplifier_v = volts - bounds.amplifier_lead_ohm * amplifier_a
        held = held & (at_amplifier_v >= bounds.amplifier_min_v)
    if np.all(np.isinf(bounds.discharge_limit_a)):
        return held, False, radio_v, carried
    with np.errstate(divide="ignore", invalid="ignore"):
        current_a = constant_a + np.where(np.equal(power_w, 0.0), 0.0, power_w / volts)
    trips = current_a > bounds.discharge_limit_a
    return held & ~trips, trips, radio_v, carried
