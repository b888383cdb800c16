"""The smallest size that holds: two grids of coarse steps, then runs of one-minute steps."""

from __future__ import annotations

from collections.abc import Callable
from math import ceil, floor, log, log1p

import numpy as np

from model.engine.batch_notes import Booleans, Outcomes
from model.scenario.station import Station
from model.sizing.criterion import Shortfall, Trial, nearest, shortfall
from model.station.chemistry import Floats
from model.support.progress import Search, within

# One step of the proof: the answer holds, and a share this much smaller does not.
STEP_SHARE = 5e-4
FIRST_GRID, SECOND_GRID = 96, 48

Sized = Callable[[float], Station]
Tried = Callable[[Floats], Search[tuple[Booleans, Outcomes]]]


def search_least(
    asked: Trial, station: Sized, tried: Tried, low: float, high: float
) -> Search[tuple[float | None, Shortfall | None]]:
    """Narrow in with two grids of coarse steps, then prove with runs of fine steps.

    Parameters
    ----------
    asked : what the station goes through.
    station : makes the station of a size over its own.
    tried : tries sizes over its own with coarse steps.
    low, high : sizes to look between, over its own [1].

    Returns
    -------
    Smallest size over the station's own [1], with why the next smaller fails (None where even the
    smallest holds); or None, with why the size fails that comes nearest.
    """
    near, far = low, high
    for grid_size, share in ((FIRST_GRID, 0.2), (SECOND_GRID, 0.4)):
        grid = np.geomspace(near, far, grid_size)
        flags, outcomes = yield from within(tried(grid), share - 0.2, share)
        if not flags.any():
            near, far = low, high
            start = float(grid[nearest(outcomes)])
            break
        first = int(np.argmax(flags))
        near, far = float(grid[max(first - 1, 0)]), float(grid[first])
        start = far
    ladder = _Ladder(asked, station, start, low, high)
    while not ladder.settled:
        ladder.try_next()
        yield ladder.progress
    if ladder.holds_at is None:
        return None, shortfall(asked, station(start))
    return ladder.size(ladder.holds_at), ladder.failure


class _Ladder:
    """Sizes one small step apart, tried by runs of fine steps until two neighbours are known."""

    def __init__(self, asked: Trial, station: Sized, start: float, low: float, high: float) -> None:
        self._asked, self._station, self._start = asked, station, start
        self._bottom = ceil(log(low / start) / log1p(STEP_SHARE))
        self._top = floor(log(high / start) / log1p(STEP_SHARE))
        self.holds_at: int | None = None
        self.failure: Shortfall | None = None
        self._fails_at: int | None = None
        self._stride, self._tries = 1, 0

    def size(self, rung: int) -> float:
        return self._start * (1 + STEP_SHARE) ** rung

    @property
    def progress(self) -> float:
        return min(0.4 + 0.04 * self._tries, 0.99)

    @property
    def settled(self) -> bool:
        if self.holds_at is None:
            return self._fails_at == self._top
        return self.holds_at == self._bottom or self.holds_at - 1 == self._fails_at

    def try_next(self) -> None:
        rung = self._next_rung()
        failure = shortfall(self._asked, self._station(self.size(rung)))
        self._tries += 1
        if failure is None:
            self.holds_at = rung
        else:
            self._fails_at, self.failure = rung, failure

    def _next_rung(self) -> int:
        if self.holds_at is None and self._fails_at is None:
            return min(max(0, self._bottom), self._top)
        if self.holds_at is not None and self._fails_at is not None:
            return (self.holds_at + self._fails_at) // 2
        stride, self._stride = self._stride, self._stride * 4
        if self.holds_at is None:
            assert self._fails_at is not None
            return min(self._fails_at + stride, self._top)
        return max(self.holds_at - stride, self._bottom)
