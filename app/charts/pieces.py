"""A line in pieces: straight strokes, which the screen draws far quicker than one long line."""

from __future__ import annotations

from itertools import starmap

import numpy as np
from PySide6.QtCore import QLineF, Qt
from PySide6.QtGui import QPen

from app.charts.thinning import Floats

Points = tuple[Floats, Floats]


def in_pieces(pen: QPen, x_px: Floats, y_px: Floats) -> tuple[QPen, list[QLineF]]:
    """Return what draws a line through points with a pen of any kind of line."""
    piece = QPen(pen)
    if pen.style() == Qt.PenStyle.SolidLine:
        begin, end = (x_px[:-1], y_px[:-1]), (x_px[1:], y_px[1:])
    else:
        # A square end lengthens each dash by half the width of the pen at either side.
        reach_px = pen.widthF() / 2 if pen.capStyle() == Qt.PenCapStyle.SquareCap else 0.0
        pattern_px = np.array(pen.dashPattern()) * pen.widthF()
        begin, end = dashes(x_px, y_px, pattern_px, reach_px)
        piece.setStyle(Qt.PenStyle.SolidLine)
        piece.setCapStyle(Qt.PenCapStyle.FlatCap)
    rows = np.stack([*begin, *end], axis=1).tolist()
    return piece, list(starmap(QLineF, rows))


def dashes(
    x_px: Floats, y_px: Floats, pattern_px: Floats, reach_px: float
) -> tuple[Points, Points]:
    """Return where the straight pieces of all dashes along a line begin, and where they end.

    Parameters
    ----------
    x_px, y_px : the points of the line, shape (points,).
    pattern_px : lengths of dash and gap in turn, an even number of them.
    reach_px : how much longer a dash is at each end; the gaps are shorter by it.
    """
    along = np.concatenate([[0.0], np.cumsum(np.hypot(np.diff(x_px), np.diff(y_px)))])
    turns = np.cumsum(pattern_px)
    rounds = np.arange(int(along[-1] / turns[-1]) + 1)[:, None] * turns[-1]
    begins = np.concatenate([[0.0], turns[1:-1:2]]) - reach_px
    ends = turns[::2] + reach_px
    edges = np.stack([rounds + begins, rounds + ends], axis=2).ravel()
    edges = np.clip(edges, 0.0, along[-1])
    cuts = np.sort(np.concatenate([along, edges]))
    # After an odd number of edges it is in a dash.
    middles = (cuts[:-1] + cuts[1:]) / 2
    is_dash = (np.searchsorted(edges, middles) % 2 == 1) & (np.diff(cuts) > 0.0)
    x, y = np.interp(cuts, along, x_px), np.interp(cuts, along, y_px)
    return (x[:-1][is_dash], y[:-1][is_dash]), (x[1:][is_dash], y[1:][is_dash])
