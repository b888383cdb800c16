"""Put sections of different heights into columns: in order where that fits, else as they fit."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import combinations_with_replacement, islice, pairwise

import numpy as np

Placing = tuple[int, ...]
# Of the ways that fit, so many are looked at for the one with the least disorder.
CANDIDATES = 60


def placed(heights: Sequence[float], columns: int, room: float, gap: float) -> Placing | None:
    """Return the column of each section so that no column is higher than the room, or None.

    Read from top to bottom and left to right, sections stand in order where such a placing fits;
    otherwise within each column, with as little disorder between columns as can be had.
    """
    tall = [height + gap for height in heights]
    space = room + gap + 1e-6
    if sum(tall) > columns * space or any(height > space for height in tall):
        return None
    return _in_order(tall, columns, space) or _as_it_fits(tall, columns, space)


def _in_order(tall: Sequence[float], columns: int, space: float) -> Placing | None:
    """Return the most even placing that is read straight through."""
    best: Placing | None = None
    least = space
    for cuts in combinations_with_replacement(range(len(tall) + 1), columns - 1):
        edges = (0, *cuts, len(tall))
        highest = max(sum(tall[low:high]) for low, high in pairwise(edges))
        if highest <= least:
            least = highest
            best = tuple(sum(number >= cut for cut in cuts) for number in range(len(tall)))
    return best


def _as_it_fits(tall: Sequence[float], columns: int, space: float) -> Placing | None:
    """Try sets of sections for each column, the fullest first."""
    sets = np.arange(2 ** len(tall))
    filled = sum(
        (np.where(sets >> number & 1, height, 0.0) for number, height in enumerate(tall)),
        np.zeros(sets.size),
    )
    divisions = islice(_divisions(sets, filled, sets.size - 1, columns, space), CANDIDATES)
    placings = [
        tuple(
            next(column for column, chosen in enumerate(division) if chosen >> number & 1)
            for number in range(len(tall))
        )
        for division in divisions
    ]
    return min(placings, key=_disorder, default=None)


def _divisions(
    sets: np.ndarray, filled: np.ndarray, rest: int, columns: int, space: float
) -> Iterator[tuple[int, ...]]:
    """Yield ways to divide the sections in ``rest`` among columns, as sets of bits."""
    if columns == 1:
        if filled[rest] <= space:
            yield (rest,)
        return
    room_after = (columns - 1) * space
    fits = ((sets & ~rest) == 0) & (filled <= space) & (filled[rest] - filled <= room_after)
    chosen = sets[fits]
    for first in chosen[np.argsort(-filled[chosen], kind="stable")].tolist():
        for others in _divisions(sets, filled, rest & ~first, columns - 1, space):
            yield (first, *others)
            break


def _disorder(placing: Placing) -> int:
    """Return how many pairs of sections stand in columns against their order."""
    return sum(
        earlier > later
        for number, later in enumerate(placing)
        for earlier in placing[:number]
    )
