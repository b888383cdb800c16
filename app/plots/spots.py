"""The markers over the curves of a pane: moments worth seeing."""

from __future__ import annotations

from dataclasses import dataclass

from PySide6.QtCore import QPointF, QRectF
from PySide6.QtGui import QColor, QPainter
from PySide6.QtWidgets import QGraphicsItem, QGraphicsWidget, QStyleOptionGraphicsItem, QWidget

from app.plots.margins import draw_marker
from app.plots.span import Span


@dataclass(frozen=True)
class Spot:
    """A marker at an elapsed minute and a share of the pane's height from the bottom, 0 to 1."""

    minute: float
    share: float
    marker: str
    colour: QColor


class Spots(QGraphicsItem):
    """Paints the markers of one pane in its own pixels."""

    def __init__(self, span: Span, view: QGraphicsWidget) -> None:
        super().__init__(view)
        self.setZValue(60)
        self._span, self._view = span, view
        self._spots: tuple[Spot, ...] = ()

    @property
    def spots(self) -> tuple[Spot, ...]:
        """What is marked."""
        return self._spots

    def set_spots(self, spots: tuple[Spot, ...]) -> None:
        """Mark other moments."""
        if spots != self._spots:
            self._spots = spots
            self.update()

    def follow(self) -> None:
        """Draw anew after a change of the stretch shown or of the size."""
        if self._spots:
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
        """Draw them."""
        box = self.boundingRect()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setClipRect(box)
        for spot in self._spots:
            x = self._span.px(spot.minute, box.left(), box.right())
            y = box.bottom() - spot.share * box.height()
            draw_marker(painter, QPointF(x, y), spot.marker, spot.colour)
