"""Where labels go so that none covers another: plain numbers in, plain numbers out."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

GAP_PX = 5.0


def spread(
    wished: Sequence[float], heights: Sequence[float], low: float, high: float
) -> list[float]:
    """Return the middles of labels stacked in one column, each as near its wish as may be.

    The order follows the wishes. Where there is room between low and high, no label reaches out
    of it and none overlaps another; where there is not, they start at low.
    """
    order = sorted(range(len(wished)), key=lambda index: (wished[index], index))
    tops: list[float] = []
    at = low
    for index in order:
        at = max(at, wished[index] - heights[index] / 2)
        tops.append(at)
        at += heights[index]
    limit = high
    for place in range(len(order) - 1, -1, -1):
        height = heights[order[place]]
        tops[place] = min(tops[place], limit - height)
        limit = tops[place]
    if tops and tops[0] < low:
        at = low
        for place, index in enumerate(order):
            tops[place] = at
            at += heights[index]
    middles = [0.0] * len(wished)
    for place, index in enumerate(order):
        middles[index] = tops[place] + heights[index] / 2
    return middles


@dataclass(frozen=True)
class Flag:
    """A moment on a line, what is to be said of it, and how when others are told with it."""

    x: float
    text: str
    short: str


@dataclass(frozen=True)
class PlacedFlag:
    """Where the words of one moment, or of several close together, stand."""

    left: float
    width: float
    text: str


def place_flags(
    flags: Sequence[Flag], low: float, high: float, measure: Callable[[str], float]
) -> tuple[PlacedFlag, ...]:
    """Return the words of moments along one line, beside their moments, none over another.

    Right of its moment where there is room before the next, else left of it, else joined with its
    neighbour's words; what is wider than the line stays on it and is cut by whoever draws it.
    """
    waiting = sorted(flags, key=lambda flag: flag.x)
    while True:
        placed, clash = _placed(waiting, low, high, measure)
        if clash is None:
            return tuple(placed)
        earlier, later = waiting[clash - 1], waiting[clash]
        short = f"{earlier.short}, {later.short}"
        joined = replace(later, text=short, short=short)
        waiting[clash - 1 : clash + 1] = [joined]


def _placed(
    flags: Sequence[Flag], low: float, high: float, measure: Callable[[str], float]
) -> tuple[list[PlacedFlag], int | None]:
    """Return places, and the index of the first flag that has to be joined with the one before."""
    placed: list[PlacedFlag] = []
    free_from = low
    for index, flag in enumerate(flags):
        width = measure(flag.text)
        free_to = flags[index + 1].x - GAP_PX if index + 1 < len(flags) else high
        right, left = flag.x + GAP_PX, flag.x - GAP_PX - width
        if right >= free_from and right + width <= free_to:
            at = right
        elif left >= free_from:
            at = left
        elif len(flags) == 1:
            at = max(low, min(right, high - width))
            width = min(width, high - low)
        else:
            return placed, max(index, 1)
        placed.append(PlacedFlag(at, width, flag.text))
        free_from = at + width + 2 * GAP_PX
    return placed, None
