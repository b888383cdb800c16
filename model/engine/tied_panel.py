"""Panels tied to their batteries: the volts that panel, battery and loads settle at.

For one kit on plain floats, and on arrays of kits, where only those that still move are carried on;
``tests/unit/test_batch.py`` holds the two equal.
"""

from __future__ import annotations

from collections.abc import Mapping
from math import expm1, sqrt
from typing import TYPE_CHECKING, Any

import numpy as np

from model.engine.step_values import Bounds, Course
from model.engine.sub_rules import bus_v
from model.station.chemistry import Floats

if TYPE_CHECKING:
    from model.engine.batch_notes import Booleans
    from model.engine.fleet import Each

# Newton steps in which a tied panel's volts and the battery's settle: three are usual, a dozen the
# most seen, where a great panel meets a battery of some ohms.
TIED_STEPS_LIMIT = 40
TIED_SETTLED_V = 1e-11
CURVE = ("open_v", "short_a", "saturation_a", "knee_v")
LIMITS = ("controller_efficiency", "panel_lead_ohm", "output_limit_a")


# Where fewer than this share still move, only they are carried on.
FEW_SHARE = 0.6


def settled_tied_a(
    course: Course,
    bounds: Bounds,
    step: int,
    rest_v: float,
    ohm: float,
    constant_a: float,
    power_w: float,
) -> float:
    """Return the current of a tied panel at the volts that it and the loads settle at.

    Parameters
    ----------
    course, bounds, step : inputs of each step, what stays the same, and which step.
    rest_v : of the battery [V].
    ohm : of the battery with its lead [ohm].
    constant_a, power_w : all loads less what the chargers give, as current [A] and as power [W].

    Returns
    -------
    Current at the bus [A].

    Notes
    -----
    With the panel's current I(V) = short_a - saturation_a * expm1(V / knee_v), find V where the
    panel's volts less its lead's drop are the bus volts. The miss is convex in V and rises, so
    Newton's steps from above come down to it without passing.
    """
    open_v, knee_v = course.open_v[step], course.knee_v[step]
    short_a, saturation_a = course.short_a[step], course.saturation_a[step]
    share, lead_ohm = bounds.controller_efficiency, bounds.panel_lead_ohm
    limit_a = bounds.output_limit_a
    panel_v, source_a = rest_v, 0.0
    for _ in range(TIED_STEPS_LIMIT):
        lost = saturation_a * expm1(panel_v / knee_v)
        panel_a = short_a - lost
        if panel_a < 0.0:
            panel_a = 0.0
        source_a = panel_a * share
        if source_a > limit_a:
            source_a = limit_a
        open_bus_v = rest_v - ohm * (constant_a - source_a)
        square = open_bus_v * open_bus_v - 4.0 * ohm * power_w
        if square <= 0.0 or open_bus_v <= 0.0:
            break
        bus_v = 0.5 * (open_bus_v + sqrt(square))
        slope_a = (saturation_a + lost) / knee_v
        give = 1.0 - ohm * power_w / (bus_v * bus_v)
        slope_ohm = lead_ohm + share * ohm / (give if give > 0.1 else 0.1)
        change_v = (panel_v - lead_ohm * panel_a - bus_v) / (1.0 + slope_ohm * slope_a)
        panel_v -= change_v
        if panel_v > open_v:
            panel_v = open_v
        if -TIED_SETTLED_V < change_v < TIED_SETTLED_V:
            break
    return source_a


def settled_tied_each_a(
    now: Mapping[str, Any],
    bounds: Any,
    tied: Booleans,
    rest_v: Floats,
    ohm: Each,
    constant_a: Each,
    power_w: Each,
) -> Floats:
    """Return the current of tied panels at the volts they and the loads settle at.

    With no resistance, loads or power it is the current at given bus volts.

    Parameters
    ----------
    now : the course of this step, by name.
    bounds : limits, each one number or of shape (members,).
    tied : whose panel is tied, shape (members,); the others get 0.
    rest_v : of the batteries, shape (members,) [V].
    ohm : of the battery with its lead, number or shape (members,) [ohm].
    constant_a, power_w : all loads less what the chargers give, as current [A] and as power [W],
        number or shape (members,) each.

    Returns
    -------
    Current at the bus, shape (members,) [A].
    """
    given = np.zeros(tied.size)
    who = np.flatnonzero(tied)
    source_a = np.zeros(who.size)
    if not np.any(power_w):
        power_w = 0.0
    values = (
        *(now[name] for name in CURVE), *(getattr(bounds, name) for name in LIMITS),
        ohm, constant_a, power_w, rest_v,
    )  # fmt: skip
    if who.size < tied.size:
        values = tuple(of_those(value, who) for value in values)
    panel_v = values[-1]
    going, moving = np.ones(who.size, dtype=bool), int(who.size)
    for _ in range(TIED_STEPS_LIMIT):
        new_a, next_v, goes_on = _newton_step(panel_v, *values)
        if moving == going.size:
            source_a, panel_v, going = new_a, next_v, goes_on
        else:
            source_a = np.where(going, new_a, source_a)
            panel_v = np.where(going, next_v, panel_v)
            going &= goes_on
        moving = int(np.count_nonzero(going))
        if not moving:
            break
        if moving < FEW_SHARE * going.size:
            given[who] = source_a
            still = np.flatnonzero(going)
            values = tuple(of_those(value, still) for value in values)
            who, panel_v, source_a = who[still], panel_v[still], source_a[still]
            going = going[still]
    given[who] = source_a
    return given


def _newton_step(
    panel_v: Floats,
    open_v: Each,
    short_a: Each,
    saturation_a: Each,
    knee_v: Each,
    share: Each,
    lead_ohm: Each,
    limit_a: Each,
    ohm: Each,
    constant_a: Each,
    power_w: Each,
    rest_v: Floats,
) -> tuple[Floats, Floats, Booleans]:
    """Return the current at a panel's volts, the next volts, and whether they are to be tried."""
    # Not expm1, which is several times slower on arrays: a saturation current is too small for the
    # last digit of the difference to count.
    grown_a = saturation_a * np.exp(panel_v / knee_v)
    panel_a = np.maximum(short_a + saturation_a - grown_a, 0.0)
    source_a = np.minimum(panel_a * share, limit_a)
    open_bus_v = rest_v - ohm * (constant_a - source_a)
    solved_v, carried = open_bus_v, open_bus_v > 0.0
    bus_ohm = share * ohm
    if isinstance(power_w, np.ndarray) or power_w:
        solved_v, solved = bus_v(open_bus_v, ohm, power_w)
        carried &= solved
        bus_ohm = bus_ohm / np.maximum(1.0 - ohm * power_w / (solved_v * solved_v), 0.1)
    slope = (lead_ohm + bus_ohm) * (grown_a / knee_v)
    change_v = (panel_v - lead_ohm * panel_a - solved_v) / (1.0 + slope)
    return (
        source_a,
        np.minimum(panel_v - change_v, open_v),
        carried & (np.abs(change_v) >= TIED_SETTLED_V),
    )


def of_those(value: Any, who: np.ndarray) -> Any:
    """Return the members asked for of what may be one value for all."""
    return value[who] if isinstance(value, np.ndarray) else value
