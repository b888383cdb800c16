"""The band of doubt behind the charge: where eight in ten runs within the spreads lie."""

from __future__ import annotations

import numpy as np
from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPen, QPolygonF
from PySide6.QtWidgets import QGraphicsItem, QGraphicsWidget, QStyleOptionGraphicsItem, QWidget

from app.number_text import percent
from app.plots.ink import Ink
from app.plots.span import Span
from app.plots.thinning import Floats
from app.plots.words import station_name
from app.theme import station_style
from model.compare import Comparison
from model.spread import Spread

ALPHA_ON_LIGHT, ALPHA_ON_DARK = 48, 66
BAND_LEGEND = " Tinted: eight in ten runs within the spreads of the numbers."


class DoubtBand(QGraphicsItem):
    """Paints the band of each station in its colour, with thin edges in its kind of line."""

    def __init__(self, span: Span, view: QGraphicsWidget, low: float, high: float) -> None:
        super().__init__(view)
        # Over night and hours, under every curve.
        self.setZValue(-40)
        self._span, self._view = span, view
        self._low, self._high = low, high
        self._ink: Ink | None = None
        self._spread: Spread | None = None
        self.hide()

    @property
    def spread(self) -> Spread | None:
        """What is shown."""
        return self._spread

    def show_spread(self, spread: Spread | None) -> None:
        """Show the bands of all stations, or none."""
        self._spread = spread
        self.setVisible(spread is not None)
        self.update()

    def dress(self, ink: Ink) -> None:
        """Take over other colours."""
        self._ink = ink
        self.update()

    def follow(self) -> None:
        """Draw anew after a change of the stretch shown or of the size."""
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
        """Draw it."""
        ink, spread = self._ink, self._spread
        if ink is None or spread is None:
            return
        painter.setClipRect(self.boundingRect())
        first, last = self._seen(spread.time_h)
        minutes = spread.time_h[first:last] * 60.0
        for index, station in enumerate(spread.stations):
            if station is not None:
                low = self._points(minutes, station.low_fraction[first:last])
                high = self._points(minutes, station.high_fraction[first:last])
                self._paint_one(painter, ink, index, low, high)

    def _seen(self, time_h: Floats) -> tuple[int, int]:
        """Return from where to where the moments are in sight, with one beyond at each side."""
        first = int(np.searchsorted(time_h, self._span.low / 60.0, side="right")) - 1
        last = int(np.searchsorted(time_h, self._span.high / 60.0)) + 1
        return max(first, 0), last

    def _points(self, minutes: Floats, fraction: Floats) -> list[QPointF]:
        box = self._view.rect()
        share = (fraction * 100.0 - self._low) / (self._high - self._low)
        across = [self._span.px(float(at), box.left(), box.right()) for at in minutes]
        down = box.bottom() - share * box.height()
        return [QPointF(x, y) for x, y in zip(across, down.tolist(), strict=True)]

    def _paint_one(
        self, painter: QPainter, ink: Ink, index: int, low: list[QPointF], high: list[QPointF]
    ) -> None:
        tint = QColor(ink.station(index))
        tint.setAlpha(ALPHA_ON_DARK if ink.is_dark else ALPHA_ON_LIGHT)
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(tint)
        painter.drawPolygon(QPolygonF(low + high[::-1]))
        painter.setPen(QPen(ink.station(index), 1, station_style(index).line))
        painter.drawPolyline(QPolygonF(low))
        painter.drawPolyline(QPolygonF(high))


def between_words(spread: Spread, index: int, minute: float) -> str:
    """Return a station's band at a minute: ``between 34 % and 52 %``; empty where it is not run."""
    ends = spread.within(index, minute / 60.0)
    if ends is None:
        return ""
    low, high = (percent(end) for end in ends)
    return f"between {low} and {high}" if low != high else f"about {low}"


def band_words(comparison: Comparison, spread: Spread, minute: float) -> str:
    """Return every station's band at a minute and at the end, as read aloud."""
    end = float(spread.time_h[-1]) * 60.0
    parts = [
        f"{station_name(comparison, index)} {now} at this minute,"
        f" {between_words(spread, index, end)} at the end"
        for index in range(len(spread.stations))
        if (now := between_words(spread, index, minute))
    ]
    return f"Eight in ten runs within the spreads: {'; '.join(parts)}." if parts else ""
