"""Where labels go so that none covers another: plain numbers in, plain numbers out."""

from __future__ import annotations

from collections.abc import Sequence


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
