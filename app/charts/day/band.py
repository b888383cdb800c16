"""The uncertainty band behind the charge: where eight of ten trial trips lie."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Self

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPen, QPolygonF
from PySide6.QtWidgets import QGraphicsWidget

from app.charts.day.words import station_name
from app.charts.ink import Ink
from app.charts.layer import Layer
from app.charts.span import Span
from app.charts.thinning import COLUMN_PX, TOLERANCE_PX, Floats, bent, thinned
from app.widgets.tokens import station_style
from model.engine.comparison import Comparison
from model.odds.odds import Odds
from model.support.figures import percent

ALPHA_ON_LIGHT, ALPHA_ON_DARK = 48, 66
BAND_TITLE = "tinted: 8 of 10 trial trips"


@dataclass(frozen=True)
class _Edges:
    """One station's band in pixels."""

    area: QPolygonF
    low: QPolygonF
    high: QPolygonF

    @classmethod
    def between(cls, low: list[QPointF], high: list[QPointF]) -> Self:
        """Return the band between two edges."""
        return cls(QPolygonF([*low, *reversed(high)]), QPolygonF(low), QPolygonF(high))


class DoubtBand(Layer):
    """Paints the band of each station in its colour, with thin edges in its kind of line."""

    def __init__(self, span: Span, view: QGraphicsWidget, low: float, high: float) -> None:
        # Over night and hours, under every curve.
        super().__init__(span, view, -40)
        self._low, self._high = low, high
        self._ink: Ink | None = None
        self._spread: Odds | None = None
        self._drawn_for: tuple[QRectF, float, float] | None = None
        self._edges: dict[int, _Edges] = {}
        self.hide()

    @property
    def spread(self) -> Odds | None:
        """What is shown."""
        return self._spread

    def show_spread(self, spread: Odds | None) -> None:
        """Show the bands of all stations, or none."""
        self._spread, self._drawn_for = spread, None
        self.setVisible(spread is not None)
        self.update()

    def dress(self, ink: Ink) -> None:
        """Use other colours."""
        self._ink = ink
        self.update()

    @property
    def is_empty(self) -> bool:
        """Whether there is nothing to draw."""
        return self._spread is None

    def draw(self, painter: QPainter, box: QRectF) -> None:
        """Draw it."""
        if self._ink is None or self._spread is None:
            return
        for index, edges in self._edges_in(self._spread).items():
            tint = QColor(self._ink.station(index))
            tint.setAlpha(ALPHA_ON_DARK if self._ink.is_dark else ALPHA_ON_LIGHT)
            painter.setPen(Qt.PenStyle.NoPen)
            painter.setBrush(tint)
            painter.drawPolygon(edges.area)
            painter.setPen(QPen(self._ink.station(index), 1, station_style(index).line))
            painter.drawPolyline(edges.low)
            painter.drawPolyline(edges.high)

    def _edges_in(self, spread: Odds) -> dict[int, _Edges]:
        """Return the edges in pixels: found once for a place and a stretch."""
        drawn_for = (self._view.rect(), self._span.low, self._span.high)
        if self._drawn_for != drawn_for:
            self._drawn_for = drawn_for
            self._edges = {
                index: _Edges.between(
                    self._edge(spread.time_h, station.low_fraction),
                    self._edge(spread.time_h, station.high_fraction),
                )
                for index, station in enumerate(spread.stations)
                if station is not None
            }
        return self._edges

    def _edge(self, time_h: Floats, fraction: Floats) -> list[QPointF]:
        box = self._view.rect()
        minutes, percents = thinned(
            time_h * 60.0, fraction * 100.0, self._span.low, self._span.high,
            round(box.width() / COLUMN_PX),
        )  # fmt: skip
        per_px = (self._high - self._low) / max(box.height(), 1.0)
        minutes, percents = bent(minutes, percents, TOLERANCE_PX * per_px)
        return [
            QPointF(
                self._px(at),
                box.bottom() - (value - self._low) / per_px,
            )
            for at, value in zip(minutes.tolist(), percents.tolist(), strict=True)
        ]


def between_words(spread: Odds, index: int, minute: float) -> str:
    """Return a station's band at a minute: ``between 34 % and 52 %``; empty where it is not run."""
    ends = spread.within(index, minute / 60.0)
    if ends is None:
        return ""
    low, high = (percent(end) for end in ends)
    return f"between {low} and {high}" if low != high else f"about {low}"


def band_words(comparison: Comparison, spread: Odds, minute: float) -> str:
    """Return every station's band at a minute and at the end, as read aloud."""
    end = float(spread.time_h[-1]) * 60.0
    parts = [
        f"{station_name(comparison, index)} {now} at this minute,"
        f" {between_words(spread, index, end)} at the end"
        for index in range(len(spread.stations))
        if (now := between_words(spread, index, minute))
    ]
    return f"In 8 of 10 trial trips: {'; '.join(parts)}." if parts else ""
