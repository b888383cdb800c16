"""What lies behind the curves of a pane: night, twilight, hours, days; reserves and ends."""

from __future__ import annotations

from dataclasses import dataclass

from PySide6.QtCore import QLineF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPen
from PySide6.QtWidgets import QGraphicsWidget

from app.charts.ink import Ink
from app.charts.layer import Layer
from app.charts.span import Minutes, Span


@dataclass(frozen=True)
class Level:
    """A line across a pane at a share of its height from the bottom, 0 to 1."""

    share: float
    colour: QColor
    style: Qt.PenStyle


@dataclass(frozen=True)
class Drop:
    """A line down from the top of a pane to a share of its height from the bottom."""

    minute: float
    share: float
    colour: QColor


class Bands(Layer):
    """Paints the ground of one pane: what is another for another place, day or stretch alone."""

    def __init__(self, span: Span, view: QGraphicsWidget) -> None:
        super().__init__(span, view, -50)
        self._ink: Ink | None = None
        self._nights: tuple[Minutes, ...] = ()
        self._twilights: tuple[Minutes, ...] = ()
        self._hours: tuple[float, ...] = ()
        self._days: tuple[float, ...] = ()

    def set_sky(self, nights: tuple[Minutes, ...], twilights: tuple[Minutes, ...]) -> None:
        """Show other nights and twilights, as stretches of elapsed minutes."""
        if (nights, twilights) != (self._nights, self._twilights):
            self._nights, self._twilights = nights, twilights
            self.update()

    def set_hours(self, hours: tuple[float, ...], days: tuple[float, ...]) -> None:
        """Show thin lines at the hours and stronger ones where days begin."""
        if (hours, days) != (self._hours, self._days):
            self._hours, self._days = hours, days
            self.update()

    def dress(self, ink: Ink) -> None:
        """Take over other colours."""
        self._ink = ink
        self.update()

    def draw(self, painter: QPainter, box: QRectF) -> None:
        """Draw it."""
        ink = self._ink
        if ink is None:
            return
        for stretches, colour in ((self._twilights, ink.twilight), (self._nights, ink.night)):
            for begin, end in stretches:
                left, right = self._px(begin), self._px(end)
                if right > box.left() and left < box.right():
                    painter.fillRect(QRectF(left, box.top(), right - left, box.height()), colour)
        self._paint_lines(painter, box, ink)

    def _paint_lines(self, painter: QPainter, box: QRectF, ink: Ink) -> None:
        for minutes, pen in (
            (self._hours, QPen(ink.grid, 1, Qt.PenStyle.DotLine)),
            (self._days, QPen(ink.faint_text, 1, Qt.PenStyle.DotLine)),
        ):
            painter.setPen(pen)
            painter.drawLines(
                [QLineF(self._px(at), box.top(), self._px(at), box.bottom()) for at in minutes]
            )
        painter.setPen(QPen(ink.faint_text, 1))
        painter.drawLine(QLineF(box.left(), box.bottom() - 0.5, box.right(), box.bottom() - 0.5))


class Levels(Layer):
    """Paints the lines across and down that follow each run."""

    def __init__(self, span: Span, view: QGraphicsWidget) -> None:
        super().__init__(span, view, -45)
        self._levels: tuple[Level, ...] = ()
        self._drops: tuple[Drop, ...] = ()

    @property
    def is_empty(self) -> bool:
        """Whether there is nothing to draw."""
        return not (self._levels or self._drops)

    def show_lines(self, levels: tuple[Level, ...], drops: tuple[Drop, ...]) -> None:
        """Show other lines across, and others from the top down to a moment."""
        if (levels, drops) != (self._levels, self._drops):
            self._levels, self._drops = levels, drops
            self.update()

    def draw(self, painter: QPainter, box: QRectF) -> None:
        """Draw them."""
        for level in self._levels:
            y = box.bottom() - level.share * box.height()
            painter.setPen(QPen(level.colour, 1.5, level.style))
            painter.drawLine(QLineF(box.left(), y, box.right(), y))
        for drop in self._drops:
            x, y = self._px(drop.minute), box.bottom() - drop.share * box.height()
            painter.setPen(QPen(drop.colour, 1))
            painter.drawLine(QLineF(x, box.top(), x, y))
