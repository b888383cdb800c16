"""Panels tied to their batteries, on arrays of kits; derived in ``step.settled_tied_a``."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import numpy as np

from model.engine.batch_notes import Flags
from model.engine.fleet import Each
from model.engine.step import TIED_SETTLED_V, TIED_STEPS_LIMIT
from model.engine.sub_rules import bus_v
from model.station.chemistry import Floats

CURVE = ("open_v", "short_a", "saturation_a", "knee_v")
LIMITS = ("controller_efficiency", "panel_lead_ohm", "output_limit_a")


# Where fewer than this share still move, only they are carried on.
FEW_SHARE = 0.6


def settled_tied_a(
    now: Mapping[str, Any],
    bounds: Any,
    tied: Flags,
    rest_v: Floats,
    ohm: Each,
    constant_a: Each,
    power_w: Each,
) -> Floats:
    """Return the current of tied panels at the volts they and the loads settle at. [A]

    With no resistance, loads or power it is the current at given bus volts.

    Parameters
    ----------
    now : the course of this step, by name.
    tied : whose panel is tied; the others get 0.
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
) -> tuple[Floats, Floats, Flags]:
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
