"""What is painted over or behind the curves of one pane, in the pane's own pixels."""

from __future__ import annotations

from PySide6.QtCore import QRectF
from PySide6.QtGui import QPainter, QPixmap
from PySide6.QtWidgets import QGraphicsItem, QGraphicsWidget, QStyleOptionGraphicsItem, QWidget

from app.charts.span import Span


class Layer(QGraphicsItem):
    """Covers a pane and paints nothing outside it; a greater level lies over a smaller one."""

    def __init__(self, span: Span, view: QGraphicsWidget, level: float) -> None:
        super().__init__(view)
        self.setZValue(level)
        self._span, self._view = span, view

    @property
    def is_empty(self) -> bool:
        """Whether there is nothing to draw, so that nothing need be drawn anew."""
        return False

    def follow(self) -> None:
        """Draw anew after a change of the stretch shown or of the size."""
        if not self.is_empty:
            self.prepareGeometryChange()
            self.update()

    def boundingRect(self) -> QRectF:
        """Return the place it covers."""
        return self._view.rect()

    def paint(
        self,
        painter: QPainter,
        option: QStyleOptionGraphicsItem,
        widget: QWidget | None = None,
    ) -> None:
        """Draw it: the screen shows a kept picture, all else is a picture for others."""
        if not self.is_empty:
            box = self.boundingRect()
            painter.setClipRect(box)
            if isinstance(painter.device(), QPixmap):
                self.draw(painter, box)
            else:
                self.draw_picture(painter, box)

    def draw_picture(self, painter: QPainter, box: QRectF) -> None:
        """Draw it for a picture, which may be one of lines."""
        self.draw(painter, box)

    def draw(self, painter: QPainter, box: QRectF) -> None:
        """Draw it in the place it covers."""
        raise NotImplementedError

    def _px(self, minute: float) -> float:
        box = self._view.rect()
        return self._span.px(minute, box.left(), box.right())
