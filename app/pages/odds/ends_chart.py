"""When one station goes off the air: how many of its trips end when, and how many do not."""

from __future__ import annotations

from PySide6.QtCore import QLineF, QRectF, QSize, Qt
from PySide6.QtGui import QPainter, QPen
from PySide6.QtWidgets import QWidget

from app.charts.ink import Ink
from app.charts.time_marks import hour_marks, spacing_min
from app.pages.odds.sheet import Sheet
from app.pages.odds.year_chart import HEIGHT_LINES
from app.widgets.tokens import GRID_PX
from model.odds.end_spread import EndSpread, spread_words
from model.odds.odds import Odds
from model.scenario.declare import MINUTES_A_DAY
from model.sky.timeline import Timeline, timeline
from model.support.figures import day_and_time

TO_THE_END = "to the end"
LEAST_H = 6.0


class EndsChart(Sheet):
    """Bars along the time of the run; the trips that last stand apart, at the right."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__("when it goes off the air", parent)
        self.spread: EndSpread | None = None
        self._clock: Timeline | None = None
        self._index = 0

    def show_spread(self, found: Odds, index: int, spread: EndSpread | None) -> None:
        """Show the ends of another station, or none where it is not run."""
        self.spread, self._index = spread, index
        self._clock = timeline(found.scenario.site, found.scenario.day)
        words = spread_words(found, spread) if spread is not None else ""
        self.setAccessibleDescription(words)
        self.renew()

    def paint_now(self, painter: QPainter, size: QRectF, ink: Ink) -> None:
        spread, clock = self.spread, self._clock
        if spread is None or clock is None:
            return
        apart = self.words_px(TO_THE_END) + GRID_PX
        whole = size.adjusted(GRID_PX, 1.4 * self.line_px, -GRID_PX, -1.4 * self.line_px)
        field = whole.adjusted(0, 0, -apart - GRID_PX, 0)
        low_h, high_h = _stretch(spread, clock.days * 24.0)
        most = max([*spread.share.tolist(), 1e-9])
        self._paint_hours(painter, field, clock, (low_h, high_h), ink)
        hour_px = field.width() / (high_h - low_h)
        for begin_h, share in zip(spread.begin_h.tolist(), spread.share.tolist(), strict=True):
            left = field.left() + (begin_h - low_h) * hour_px
            wide = max(spread.width_h * hour_px - 1, 1.0)
            # To the scale of all trips where most of them last, else as high as there is room.
            high = 0.94 * field.height() * share / max(most, spread.lasts_share)
            bar = QRectF(left, field.bottom() - high, wide, high)
            painter.fillRect(bar, ink.station(self._index))
        painter.setPen(QPen(ink.faint_text, 1))
        painter.drawLine(QLineF(field.left(), field.bottom(), whole.right(), field.bottom()))
        room = QRectF(field.right() + GRID_PX, whole.top(), apart, whole.height())
        lasting = spread.lasts_share / max(most, spread.lasts_share)
        self._paint_lasting(painter, room, lasting, ink)

    def _paint_hours(
        self,
        painter: QPainter,
        field: QRectF,
        clock: Timeline,
        stretch: tuple[float, float],
        ink: Ink,
    ) -> None:
        low_min, high_min = (60.0 * hours for hours in stretch)
        label_px = self.words_px("Mon 00:00") + 3 * GRID_PX
        spacing = spacing_min(high_min - low_min, field.width(), label_px) or MINUTES_A_DAY
        for mark in hour_marks(clock, low_min, high_min, spacing):
            x = field.left() + field.width() * (mark.minute - low_min) / (high_min - low_min)
            painter.setPen(QPen(ink.grid, 1))
            painter.drawLine(QLineF(x, field.top(), x, field.bottom()))
            text = day_and_time(clock.at(mark.minute / 60.0 / clock.step_h), clock.days)
            wide = self.words_px(text) + 2
            left = min(max(x - wide / 2, 0.0), field.right() - wide)
            painter.setPen(ink.faint_text)
            place = QRectF(left, field.bottom() + 2, wide, self.line_px)
            painter.drawText(place, Qt.AlignmentFlag.AlignCenter, text)

    def _paint_lasting(self, painter: QPainter, room: QRectF, share: float, ink: Ink) -> None:
        high = 0.94 * room.height() * share
        box = QRectF(room.left() + 4, room.bottom() - high, room.width() - 8, high)
        painter.setPen(QPen(ink.station(self._index), 1.5))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        if high >= 2:
            painter.drawRect(box)
        painter.setPen(ink.text)
        place = QRectF(room.left(), box.top() - self.line_px - 2, room.width(), self.line_px)
        painter.drawText(place, Qt.AlignmentFlag.AlignCenter, TO_THE_END)

    def sizeHint(self) -> QSize:
        return QSize(300, round(HEIGHT_LINES * self.line_px))

    def minimumSizeHint(self) -> QSize:
        return QSize(240, self.sizeHint().height())


def _stretch(spread: EndSpread, run_h: float) -> tuple[float, float]:
    """Return the hours that are shown: those of the ends, with some room about them."""
    if not spread.begin_h.size:
        return 0.0, run_h
    first, last = float(spread.begin_h[0]), float(spread.begin_h[-1]) + spread.width_h
    room = max((LEAST_H - (last - first)) / 2.0, spread.width_h)
    return max(first - room, 0.0), min(last + room, run_h)
