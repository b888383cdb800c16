"""What each member of a fleet would have to weigh: with the smallest battery that holds.

From full, at ten-minute steps, with its own panel; ``model.sizing.smallest`` proves single answers.
"""

from __future__ import annotations

import numpy as np

from model.engine.batch import search_batch
from model.engine.batch_notes import Booleans
from model.engine.fleet import Fleet, repeated
from model.engine.scaling import with_batteries_scaled
from model.sizing.criterion import holding
from model.station.chemistry import Floats
from model.support.progress import Search, within

SMALLEST_BY, LARGEST_BY = 1 / 64, 64.0
SIZES, PASSES = 16, 3


def search_needed_battery_by(fleet: Fleet) -> Search[Floats]:
    """Find for each member the smallest battery that holds.

    Parameters
    ----------
    fleet : kits, each with a battery of its own.

    Returns
    -------
    Gives the share done, 0..1, and at its end sizes over their own, right to half a percent, nan
    for none, shape (members,) [1].
    """
    low = np.full(fleet.members, SMALLEST_BY)
    high = np.full(fleet.members, LARGEST_BY)
    held: Booleans = np.zeros(fleet.members, dtype=bool)
    for turn in range(PASSES):
        sizes = np.geomspace(low, high, SIZES, axis=1)
        tried = _search_holds(fleet, sizes)
        flags = yield from within(tried, turn / PASSES, (turn + 1) / PASSES)
        held = np.asarray(flags.any(axis=1))
        first, rows = np.argmax(flags, axis=1), np.arange(fleet.members)
        low = np.where(held, sizes[rows, np.maximum(first - 1, 0)], low)
        high = np.where(held, sizes[rows, first], high)
    return np.where(held, high, np.nan)


def _search_holds(fleet: Fleet, sizes: Floats) -> Search[Booleans]:
    """Find which sizes hold, shape (members, sizes)."""
    wide = with_batteries_scaled(repeated(fleet, sizes.shape[1]), sizes.ravel())
    outcomes = yield from search_batch(wide)
    return holding(outcomes).reshape(sizes.shape)
