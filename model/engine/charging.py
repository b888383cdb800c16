"""How much current a battery takes: what limits it, and the volts it then stands at."""

from __future__ import annotations

import numpy as np

from model.engine.step_values import Bounds
from model.station.chemistry import Floats


def charging_limit_a(
    bounds: Bounds, stored_ah: float, rest_v: float, ohm: float, step_h: float
) -> float:
    """Return the most that a battery warm enough takes in one step [A].

    Its own limit, the charge left to full, lead's acceptance, and the volts that absorption allows
    through its resistance.
    """
    room_v = bounds.absorption_v - rest_v
    if room_v <= 0.0:
        return 0.0
    room_ah = bounds.full_ah - stored_ah
    limit_a = bounds.charge_limit_a
    filling_a = room_ah / (bounds.charge_efficiency * step_h)
    if filling_a < limit_a:
        limit_a = filling_a
    if bounds.acceptance_h and room_ah / bounds.acceptance_h < limit_a:
        limit_a = room_ah / bounds.acceptance_h
    if ohm * limit_a > room_v:
        limit_a = room_v / ohm
    return limit_a


def charging_limits_a(
    bounds: Bounds,
    stored_ah: Floats,
    rest_v: Floats,
    ohm: Floats,
    may_charge: np.ndarray,
    step_h: float,
) -> Floats:
    """Return the same for every step, 0 where the cells are too cold, shape (steps,). [A]"""
    room_v = np.maximum(bounds.absorption_v - rest_v, 0.0)
    room_ah = bounds.full_ah - stored_ah
    limit = np.minimum(bounds.charge_limit_a, room_ah / (bounds.charge_efficiency * step_h))
    if bounds.acceptance_h:
        limit = np.minimum(limit, room_ah / bounds.acceptance_h)
    over = ohm * limit > room_v
    limit = np.where(over, np.divide(room_v, ohm, out=np.zeros(ohm.size), where=ohm > 0), limit)
    return np.where(may_charge & (room_v > 0), limit, 0.0)
