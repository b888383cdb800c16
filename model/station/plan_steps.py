"""The plan laid on the run's steps: which block covers which share of which step."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from model.scenario.declare import MINUTES_A_DAY, minutes_of
from model.scenario.scenario import Block, Site
from model.sky.timeline import Timeline, timeline
from model.sky.trip import Dates, Stretch, dates_of
from model.station.chemistry import Floats
from model.support.cache import kept_within


@dataclass(frozen=True, eq=False)
class Coverage:
    """Shares of steps, as a list of entries; several may fall in one step.

    Attributes
    ----------
    steps : number of steps of the run.
    step : step of each entry, shape (entries,).
    row : what covers it, shape (entries,).
    share : share of that step, in 0..1, shape (entries,). [1]
    """

    steps: int
    step: NDArray[np.int64]
    row: NDArray[np.int64]
    share: Floats

    def mean(self, of_row: Floats) -> Floats:
        """Return the mean over each step of a quantity known per row, shape (steps,)."""
        weights = self.share * of_row[self.row]
        return np.bincount(self.step, weights, self.steps).astype(np.float64)


@dataclass(frozen=True, eq=False)
class Agenda:
    """A plan on a timeline.

    Attributes
    ----------
    coverage : rows are the plan's blocks; the last row, len(plan), is time without a block.
    starts : elapsed minutes at which a block begins, with its row [min].
    """

    coverage: Coverage
    starts: tuple[tuple[float, int], ...]

    def block_of_step(self) -> NDArray[np.int64]:
        """Return the row that covers most of each step, shape (steps,)."""
        order = np.argsort(self.coverage.share, kind="stable")
        rows = np.empty(self.coverage.steps, dtype=np.int64)
        rows[self.coverage.step[order]] = self.coverage.row[order]
        return rows


def agenda(site: Site, trip: Stretch, plan: tuple[Block, ...], step_min: float = 1.0) -> Agenda:
    """Lay a plan on the run's steps; it repeats each local day by the wall clock.

    Parameters
    ----------
    site : the place, whose wall clock counts.
    trip : date, start hour and days.
    plan : blocks of the local day.
    step_min : length of a step [min].

    Returns
    -------
    Share of each step that each block covers, and where blocks start.
    """
    return _agenda(site, dates_of(trip), plan, step_min)


@kept_within(4_000_000)
def _agenda(site: Site, dates: Dates, plan: tuple[Block, ...], step_min: float) -> Agenda:
    clock = timeline(site, dates, step_min)
    spans, starts = [], []
    for row, block in enumerate(plan):
        for begin, end, is_start in _elapsed(clock, *block.minutes):
            spans.append((begin, end, row))
            if is_start:
                starts.append((begin, row))
    whole = _with_gaps(sorted(spans), clock.days * MINUTES_A_DAY, len(plan))
    return Agenda(_coverage(whole, clock), tuple(sorted(starts)))


def hours_share(
    site: Site, trip: Stretch, hours: tuple[tuple[str, str], ...] | str, step_min: float = 1.0
) -> Floats:
    """Return the share of each step that lies in set hours of the wall clock.

    Parameters
    ----------
    site : the place, whose wall clock counts.
    trip : date, start hour and days.
    hours : pairs of start and end; a word for always.
    step_min : length of a step [min].

    Returns
    -------
    Share, 0..1, shape (steps,) [1].
    """
    return _hours_share(site, dates_of(trip), hours, step_min)


@kept_within(4_000_000)
def _hours_share(
    site: Site, dates: Dates, hours: tuple[tuple[str, str], ...] | str, step_min: float
) -> Floats:
    clock = timeline(site, dates, step_min)
    if isinstance(hours, str):
        return np.ones(clock.steps)
    spans = []
    for start, end in hours:
        first, last = minutes_of(start), minutes_of(end)
        last = last if last > first else last + MINUTES_A_DAY
        spans += [(begin, stop, 0) for begin, stop, _ in _elapsed(clock, first, last)]
    share = _coverage(spans, clock).mean(np.ones(1)) if spans else np.zeros(clock.steps)
    return np.minimum(share, 1.0)


def opening_share(
    site: Site, trip: Stretch, starts: tuple[float, ...], length_min: float, step_min: float
) -> Floats:
    """Return the share of each step within some time after an instant.

    Parameters
    ----------
    site : the place.
    trip : date, start hour and days.
    starts : the instants, elapsed from the start of the run [min].
    length_min : how long after each [min].
    step_min : length of a step [min].

    Returns
    -------
    Share, 0..1, shape (steps,) [1].
    """
    clock = timeline(site, trip, step_min)
    total = clock.days * MINUTES_A_DAY
    spans = [(begin, min(begin + length_min, total), 0) for begin in starts]
    spans = [span for span in spans if span[1] > span[0]]
    if not spans:
        return np.zeros(clock.steps)
    return np.minimum(_coverage(spans, clock).mean(np.ones(1)), 1.0)


def _elapsed(clock: Timeline, start_min: int, end_min: int) -> list[tuple[float, float, bool]]:
    """Return elapsed spans in which the wall clock lies in a daily window.

    A skipped hour shortens the window and a repeated one lengthens it. The flag says whether the
    span begins at the window's own start.
    """
    spans = []
    for begin, end, wall in clock.wall_segments():
        first_day = int((wall - end_min) // MINUTES_A_DAY)
        last_day = int((wall + end - begin) // MINUTES_A_DAY) + 1
        for day_index in range(first_day, last_day + 1):
            opens = begin + start_min + day_index * MINUTES_A_DAY - wall
            closes = opens + end_min - start_min
            if min(closes, end) > max(opens, begin):
                spans.append((max(opens, begin), min(closes, end), opens >= begin))
    return spans


def _with_gaps(
    spans: list[tuple[float, float, int]], total_min: float, gap_row: int
) -> list[tuple[float, float, int]]:
    filled, at = [], 0.0
    for begin, end, row in spans:
        if begin > at:
            filled.append((at, begin, gap_row))
        # A repeated hour may lay a block over itself or its neighbour: the first one keeps it.
        if end > at:
            filled.append((max(begin, at), end, row))
            at = end
    if at < total_min:
        filled.append((at, total_min, gap_row))
    return filled


def _coverage(spans: list[tuple[float, float, int]], clock: Timeline) -> Coverage:
    steps, rows, shares = [], [], []
    for begin, end, row in spans:
        first, last = begin / clock.step_min, end / clock.step_min
        index = np.arange(int(first), min(int(np.ceil(last)), clock.steps))
        steps.append(index)
        rows.append(np.full(index.size, row))
        shares.append(np.minimum(last, index + 1) - np.maximum(first, index))
    return Coverage(
        clock.steps, np.concatenate(steps), np.concatenate(rows), np.concatenate(shares)
    )
