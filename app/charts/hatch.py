"""Hatching as lines, so that it comes out the same on a screen, as a picture and as a drawing."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from enum import Enum
from typing import Any

import numpy as np
from numpy.typing import NDArray
from PySide6.QtCore import QLineF, QPointF, QRectF

Outline = tuple[QPointF, ...]
Numbers = NDArray[Any]


class Hatch(Enum):
    """Which way the lines run; the slopes of the lines, downwards counted positive."""

    NONE = ()
    RISING = (-1.0,)
    FALLING = (1.0,)
    CROSSED = (-1.0, 1.0)


def hatch_lines(outlines: Iterable[Outline], hatch: Hatch, distance_px: float) -> list[QLineF]:
    """Return the lines that fill some outlines; neighbouring outlines continue each other's."""
    # Distances are measured across the lines.
    apart, drawn = distance_px * math.sqrt(2.0), [outline for outline in outlines if outline]
    if not drawn:
        return []
    return [line for slope in hatch.value for line in _filled(drawn, slope, apart)]


def box(rect: QRectF) -> Outline:
    """Return the outline of a rectangle."""
    return (rect.topLeft(), rect.topRight(), rect.bottomRight(), rect.bottomLeft())


def _filled(outlines: Sequence[Outline], slope: float, apart: float) -> list[QLineF]:
    """Return the lines of one slope inside all outlines.

    A line of the hatch is told by its height where x is 0. Each edge of an outline is crossed by
    every line between the heights of its ends; inside lie every first to second, third to fourth
    crossing of one line with one outline.
    """
    owner, begin, end = _edges(outlines)
    begin_height, end_height = (point[:, 1] - slope * point[:, 0] for point in (begin, end))
    first, last = (
        np.ceil(pick(begin_height, end_height) / apart) for pick in (np.minimum, np.maximum)
    )
    counts = (last - first).astype(np.int64)
    edge = np.repeat(np.arange(counts.size), counts)
    within = np.arange(edge.size) - np.repeat(np.cumsum(counts) - counts, counts)
    height = (first[edge] + within) * apart
    here, there = begin_height[edge] - height, end_height[edge] - height
    x = begin[edge, 0] + (end[edge, 0] - begin[edge, 0]) * here / (here - there)
    order = np.lexsort((x, height, owner[edge]))
    crossed = np.stack([x, height + slope * x], axis=1)[order]
    pairs = crossed[: crossed.shape[0] // 2 * 2].reshape(-1, 4)
    return [QLineF(*line) for line in pairs.tolist()]


def _edges(outlines: Sequence[Outline]) -> tuple[Numbers, Numbers, Numbers]:
    """Return of every edge the outline it belongs to, and both its ends, shape (edges, 2)."""
    sizes = [len(outline) for outline in outlines]
    points = [(point.x(), point.y()) for outline in outlines for point in outline]
    begin = np.array(points).reshape(-1, 2)
    after = np.arange(1, len(points) + 1)
    lasts = np.cumsum(sizes) - 1
    after[lasts] = lasts + 1 - sizes
    return np.repeat(np.arange(len(sizes)), sizes), begin, begin[after]
