"""What each step brings to a fleet, in the form in which the batch walks through it."""

from __future__ import annotations

from typing import Any

import numpy as np

from model.engine.batch_notes import Booleans
from model.engine.fleet import Fleet
from model.station.chemistry import Floats

# How a step is lit: dark for all; all take the controller's full power; to be looked at singly.
DARK, PLAIN, MIXED = range(3)


def kinds_of_light(fleet: Fleet) -> list[int]:
    """Return DARK, PLAIN or MIXED for each step."""
    limits, shape = fleet.limits, (fleet.steps, -1)
    open_v, best_v, panel_w = (
        fleet.course[name].reshape(shape) for name in ("open_v", "best_v", "panel_w")
    )
    lowest_v, highest_v = min(fleet.shared.rest_table_v), max(fleet.shared.rest_table_v)
    lit = open_v.min(axis=1) - np.max(limits["start_margin_v"]) > highest_v
    free = (best_v.min(axis=1) >= highest_v) & (not fleet.shared.tied)
    within = panel_w.max(axis=1) <= np.min(limits["output_limit_a"]) * lowest_v
    dark = open_v.max(axis=1) <= 0.0
    kinds: list[int] = np.where(dark, DARK, np.where(lit & free & within, PLAIN, MIXED)).tolist()
    return kinds


def rows(values: Floats) -> list[Any]:
    """Return one entry a step.

    Parameters
    ----------
    values : one list of a course, shape (steps,) or (steps, members) [its unit].

    Returns
    -------
    A plain number, or shape (members,), for each step.
    """
    return values.tolist() if values.ndim == 1 else list(values)


def sent(row: Any) -> list[tuple[int, Booleans | None]]:
    """Return the blocks sent in a step and by whom; None stands for all."""
    if np.ndim(row) == 0:
        return [(int(row), None)] if row >= 0 else []
    present = np.unique(row[row >= 0]).tolist()
    return [(one, row == one) for one in present]
