"""Hatching as lines, so that it comes out the same on a screen, as a picture and as a drawing."""

from __future__ import annotations

import math
from collections.abc import Iterable
from enum import Enum

from PySide6.QtCore import QLineF, QPointF, QRectF

Outline = tuple[QPointF, ...]


class Hatch(Enum):
    """Which way the lines run; the slopes of the lines, downwards counted positive."""

    NONE = ()
    RISING = (-1.0,)
    FALLING = (1.0,)
    CROSSED = (-1.0, 1.0)


def hatch_lines(outlines: Iterable[Outline], hatch: Hatch, distance_px: float) -> list[QLineF]:
    """Return the lines that fill some outlines; neighbouring outlines continue each other's."""
    # Distances are measured across the lines.
    apart = distance_px * math.sqrt(2.0)
    return [
        line
        for outline in outlines
        for slope in hatch.value
        for line in _filled(outline, slope, apart)
    ]


def box(rect: QRectF) -> Outline:
    """Return the outline of a rectangle."""
    return (rect.topLeft(), rect.topRight(), rect.bottomRight(), rect.bottomLeft())


def _filled(outline: Outline, slope: float, apart: float) -> list[QLineF]:
    heights = [point.y() - slope * point.x() for point in outline]
    lines = []
    first, last = math.ceil(min(heights) / apart), math.floor(max(heights) / apart)
    for number in range(first, last + 1):
        crossed = _crossings(outline, heights, number * apart, slope)
        lines += [
            QLineF(begin, end) for begin, end in zip(crossed[::2], crossed[1::2], strict=False)
        ]
    return lines


def _crossings(
    outline: Outline, heights: list[float], height: float, slope: float
) -> list[QPointF]:
    found = []
    for index, point in enumerate(outline):
        after = (index + 1) % len(outline)
        here, there = heights[index] - height, heights[after] - height
        if (here <= 0) == (there <= 0):
            continue
        x = point.x() + (outline[after].x() - point.x()) * here / (here - there)
        found.append(QPointF(x, height + slope * x))
    return sorted(found, key=QPointF.x)
