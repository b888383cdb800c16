"""Which points of a curve are worth drawing at so many pixels: the others only cost time."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

# Points kept for each pixel column: the least and the greatest of what falls into it.
COLUMN_PX = 2.0
# How far a line may be drawn from where it is, in each pass of leaving out points.
TOLERANCE_PX = 0.2
STRAIGHTENING_PASSES = 6


def thinned(x: Floats, y: Floats, low: float, high: float, columns: int) -> tuple[Floats, Floats]:
    """Return the points between low and high, at most two for each column of pixels.

    The least and the greatest value of each column stay, so that no peak is lost.
    """
    first = max(int(np.searchsorted(x, low)) - 1, 0)
    last = min(int(np.searchsorted(x, high, side="right")) + 1, x.size)
    size = -(-(last - first) // max(columns, 1))
    if size <= 2:
        return x[first:last], y[first:last]
    whole = first + (last - first) // size * size
    rows = y[first:whole].reshape(-1, size)
    starts = np.arange(first, whole, size)
    kept = np.concatenate(
        [
            [first],
            np.sort(np.stack([rows.argmin(axis=1), rows.argmax(axis=1)]), axis=0).T.ravel()
            + np.repeat(starts, 2),
            np.arange(whole, last),
            [last - 1],
        ]
    )
    kept = kept[np.concatenate([[True], np.diff(kept) > 0])]
    return x[kept], y[kept]


def bent(x: Floats, y: Floats, tolerance: float) -> tuple[Floats, Floats]:
    """Return the points without those on an almost straight piece: they cost time, show nothing.

    Each pass leaves out every other point at most, so that the rest still stands where it was.
    """
    for _ in range(STRAIGHTENING_PASSES):
        if x.size < 5:
            break
        line = y[:-2] + (y[2:] - y[:-2]) * (x[1:-1] - x[:-2]) / (x[2:] - x[:-2])
        kept = np.ones(x.size, dtype=bool)
        kept[1:-1:2] = np.abs(y[1:-1:2] - line[::2]) > tolerance
        x, y = x[kept], y[kept]
    return x, y
