"""Panels tied to their batteries, on arrays of kits; derived in ``model.step.settled_tied_a``."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import numpy as np

from model.batch_notes import Flags
from model.cells import Floats
from model.fleet import Each
from model.step import TIED_SETTLED_V, TIED_STEPS_LIMIT

CURVE = ("open_v", "short_a", "saturation_a", "knee_v")
LIMITS = ("controller_efficiency", "panel_lead_ohm", "output_limit_a")


def settled_tied_a(
    now: Mapping[str, Any],
    limits: Mapping[str, Each],
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
    who = np.flatnonzero(tied)
    open_v, short_a, saturation_a, knee_v = (_of(now[name], who) for name in CURVE)
    share, lead_ohm, limit_a = (_of(limits[name], who) for name in LIMITS)
    ohm, constant_a, power_w = (_of(value, who) for value in (ohm, constant_a, power_w))
    rest = rest_v[who]
    panel_v, source_a = rest, np.zeros(who.size)
    going = np.ones(who.size, dtype=bool)
    for _ in range(TIED_STEPS_LIMIT):
        lost = saturation_a * np.expm1(panel_v / knee_v)
        panel_a = np.maximum(short_a - lost, 0.0)
        source_a = np.where(going, np.minimum(panel_a * share, limit_a), source_a)
        open_bus_v = rest - ohm * (constant_a - source_a)
        square = open_bus_v * open_bus_v - 4.0 * ohm * power_w
        going &= (square > 0.0) & (open_bus_v > 0.0)
        bus_v = 0.5 * (open_bus_v + np.sqrt(np.maximum(square, 0.0)))
        slope_a = (saturation_a + lost) / knee_v
        slope_ohm = lead_ohm + share * ohm / np.maximum(1.0 - ohm * power_w / (bus_v * bus_v), 0.1)
        change_v = (panel_v - lead_ohm * panel_a - bus_v) / (1.0 + slope_ohm * slope_a)
        panel_v = np.where(going, np.minimum(panel_v - change_v, open_v), panel_v)
        going &= np.abs(change_v) >= TIED_SETTLED_V
        if not going.any():
            break
    given = np.zeros(tied.size)
    given[who] = source_a
    return given


def _of(value: Any, who: np.ndarray) -> Any:
    """Return the members asked for of what may be one value for all."""
    return value[who] if np.ndim(value) else value
