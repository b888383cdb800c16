"""The handle at the left edge of the charge: what the selected station starts with."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPen, QPolygonF
from PySide6.QtWidgets import QGraphicsWidget

from app.charts.layer import Layer
from app.charts.span import Span

WIDE_PX, HALF_PX = 11.0, 6.0


class StartHandle(Layer):
    """A small arrow at the start of the run; it can be dragged up and down."""

    def __init__(self, span: Span, view: QGraphicsWidget) -> None:
        super().__init__(span, view, 90)
        self._share: float | None = None
        self._colour = QColor()

    def show_at(self, share: float, colour: QColor) -> None:
        """Stand at a share of the pane's height from the bottom, 0 to 1."""
        if (share, colour) != (self._share, self._colour):
            self._share, self._colour = share, colour
            self.update()

    @property
    def is_empty(self) -> bool:
        """Whether the start of the run is out of sight."""
        return self._share is None or self._span.low > 0

    @property
    def grip(self) -> QRectF:
        """Where it can be taken hold of, in the scene; nowhere while it is not seen."""
        if self.is_empty:
            return QRectF()
        at = self._place()
        box = QRectF(at.x() - 4, at.y() - HALF_PX - 2, WIDE_PX + 8, 2 * HALF_PX + 4)
        return QRectF(self.mapRectToScene(box))

    def _place(self) -> QPointF:
        box = self._view.rect()
        return QPointF(self._px(0.0), box.bottom() - (self._share or 0.0) * box.height())

    def draw(self, painter: QPainter, box: QRectF) -> None:
        """Draw it."""
        at = self._place()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setPen(QPen(self._colour, 1))
        painter.setBrush(self._colour)
        tip = QPointF(at.x() + WIDE_PX, at.y())
        painter.drawPolygon(QPolygonF([at + QPointF(0, -HALF_PX), tip, at + QPointF(0, HALF_PX)]))
        painter.setBrush(Qt.BrushStyle.NoBrush)
