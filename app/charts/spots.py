"""The markers over the curves of a pane: moments worth seeing."""

from __future__ import annotations

from dataclasses import dataclass

from PySide6.QtCore import QPointF, QRectF
from PySide6.QtGui import QColor, QPainter
from PySide6.QtWidgets import QGraphicsWidget

from app.charts.layer import Layer
from app.charts.markers import draw_marker
from app.charts.span import Span


@dataclass(frozen=True)
class Spot:
    """A marker at an elapsed minute and a share of the pane's height from the bottom, 0 to 1."""

    minute: float
    share: float
    marker: str
    colour: QColor


class Spots(Layer):
    """Paints the markers of one pane in its own pixels."""

    def __init__(self, span: Span, view: QGraphicsWidget) -> None:
        super().__init__(span, view, 60)
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

    @property
    def is_empty(self) -> bool:
        """Whether there is nothing to draw."""
        return not self._spots

    def draw(self, painter: QPainter, box: QRectF) -> None:
        """Draw them."""
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        for spot in self._spots:
            place = QPointF(self._px(spot.minute), box.bottom() - spot.share * box.height())
            draw_marker(painter, place, spot.marker, spot.colour)
