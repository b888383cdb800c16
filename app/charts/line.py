"""One curve of a pane: it holds every point, and draws what the pixels can show."""

from __future__ import annotations

from itertools import starmap
from typing import Any

import numpy as np
from PySide6.QtCore import QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import QBrush, QColor, QPainter, QPen, QPolygonF
from PySide6.QtWidgets import QGraphicsWidget

from app.charts.layer import Layer
from app.charts.pieces import in_pieces
from app.charts.span import Span
from app.charts.thinning import COLUMN_PX, TOLERANCE_PX, Floats, bent, thinned

LINE_PX = 2.0
# A pane may grow or shrink so many times before the points of its curves are chosen anew.
KEPT_TILL = 1.5
NOTHING: Floats = np.zeros(0)


class Line(Layer):
    """One curve, made once; only its points change. ``steps`` are drawn without blur."""

    def __init__(self, span: Span, view: QGraphicsWidget, *, level: int, steps: bool) -> None:
        super().__init__(span, view, level)
        self._is_blurred = not steps
        self._levels = (0.0, 1.0)
        self._x = self._y = NOTHING
        self._drawn = NOTHING, NOTHING
        # What the points drawn were chosen for; nothing where they are to be chosen anew.
        self._chosen_for: tuple[object, ...] = ()
        self._chosen_within = 0.0
        self._pen = QPen(Qt.PenStyle.NoPen)
        self._filled: QBrush | None = None
        # What draws it, and the place and the stretch it was made for.
        self._pieces: tuple[QPen, list[QLineF]] | None = None
        self._outline: QPolygonF | None = None
        self._placed_for: tuple[object, ...] = ()
        self.hide()

    @property
    def points(self) -> tuple[Floats, Floats]:
        """Every point of the curve, drawn or not."""
        return self._x, self._y

    @property
    def drawn(self) -> tuple[Floats, Floats]:
        """The points drawn."""
        return self._drawn

    @property
    def pen(self) -> QPen:
        """What it is drawn with."""
        return self._pen

    @property
    def is_empty(self) -> bool:
        """Whether there is nothing to draw."""
        return not self._drawn[0].size

    def set(self, x: Floats, y: Floats) -> None:
        """Take over other points; they are drawn at the next thinning."""
        if x is self._x and y is self._y:
            return
        if not (np.array_equal(y, self._y) and np.array_equal(x, self._x)):
            self._x, self._y = x, y
            self._chosen_for = ()

    def clear(self) -> None:
        """Hold no points."""
        self.set(NOTHING, NOTHING)

    def set_levels(self, low: float, high: float) -> None:
        """Set the values at the bottom and the top of the pane."""
        self._levels = low, high
        self._renew()

    def thin(self) -> None:
        """Choose the points to draw anew, after a zoom or a change of points or size."""
        span, (low, high) = self._span, self._levels
        columns = round(span.width_px / COLUMN_PX)
        tolerance = TOLERANCE_PX * (high - low) / max(self._view.rect().height(), 1.0)
        wanted: tuple[object, ...] = (span.low, span.high, columns)
        about_as_high = tolerance / KEPT_TILL <= self._chosen_within <= tolerance * KEPT_TILL
        if wanted == self._chosen_for and about_as_high:
            return
        self._chosen_for, self._chosen_within = wanted, tolerance
        x, y = thinned(self._x, self._y, span.low, span.high, columns)
        x, y = bent(x, y, tolerance)
        if not self._is_drawn(x, y, tolerance):
            self._drawn = x, y
            self.setVisible(bool(x.size))
            self._renew()

    def _is_drawn(self, x: Floats, y: Floats, tolerance: float) -> bool:
        """Return whether these points stand on the screen already, but for what nobody sees."""
        drawn_x, drawn_y = self._drawn
        return np.array_equal(x, drawn_x) and bool(np.all(np.abs(y - drawn_y) <= tolerance))

    def dress(self, colour: QColor, style: Qt.PenStyle, width_px: float = LINE_PX) -> None:
        """Draw it with another pen."""
        pen = QPen(colour, width_px, style)
        if pen != self._pen:
            self._pen = pen
            self._renew()

    def fill(self, colour: QColor, pattern: Qt.BrushStyle) -> None:
        """Draw it as a hatched area down to zero, without a line."""
        brush = QBrush(colour, pattern)
        if brush != self._filled:
            self._filled, self._pen = brush, QPen(Qt.PenStyle.NoPen)
            self._renew()

    def draw(self, painter: QPainter, box: QRectF) -> None:
        """Draw it on a screen: in pieces, which stay as they are while other curves change."""
        placed_for = (box, self._span.low, self._span.high)
        if placed_for != self._placed_for:
            self._placed_for = placed_for
            self._pieces = self._outline = None
        if self._filled is not None or not self._is_blurred:
            self._outline = self._outline or self._outlined(box)
            self._draw_outline(painter, self._outline)
            return
        self._pieces = self._pieces or in_pieces(self._pen, *self._placed(box))
        pen, lines = self._pieces
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setPen(pen)
        painter.drawLines(lines)

    def draw_picture(self, painter: QPainter, box: QRectF) -> None:
        """Draw it as one line, or as an area."""
        self._draw_outline(painter, self._outlined(box))

    def _draw_outline(self, painter: QPainter, outline: QPolygonF) -> None:
        painter.setRenderHint(QPainter.RenderHint.Antialiasing, self._is_blurred)
        painter.setPen(self._pen)
        if self._filled is None:
            painter.drawPolyline(outline)
        else:
            painter.setBrush(self._filled)
            painter.drawPolygon(outline)

    def _outlined(self, box: QRectF) -> QPolygonF:
        """Return the line through the points drawn; of an area, its whole edge."""
        x_px, y_px = self._placed(box)
        points = list(starmap(QPointF, zip(x_px.tolist(), y_px.tolist(), strict=True)))
        if self._filled is not None:
            bottom = self._down(0.0, box)
            points += (QPointF(points[-1].x(), bottom), QPointF(points[0].x(), bottom))
        return QPolygonF(points)

    def _placed(self, box: QRectF) -> tuple[Floats, Floats]:
        """Return where the points drawn stand in the pane. [px]"""
        span, (x, y) = self._span, self._drawn
        by = box.width() / (span.high - span.low)
        return box.left() + (x - span.low) * by, self._down(y, box)

    def _down(self, value: Any, box: QRectF) -> Any:
        """Return how far down a value stands, a number or an array. [px]"""
        low, high = self._levels
        return box.bottom() - (value - low) * (box.height() / (high - low))

    def _renew(self) -> None:
        self._pieces = self._outline = None
        self.update()
