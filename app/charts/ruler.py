"""The time axis under the day: hours on the first line, the names of the days on the second."""

from __future__ import annotations

from PySide6.QtCore import QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import QFontMetricsF, QGuiApplication, QPainter, QPen

from app.charts.ink import Ink
from app.charts.span import Span
from app.charts.time_marks import DaySpan, Mark, day_spans, hour_marks, spacing_min
from model.scenario.declare import MINUTES_A_DAY
from model.sky.timeline import Timeline
from model.support.figures import day_text

# What is written of "Sat 13 Jun": all, all but the month, the day's name, its number. Over more
# than a week a name alone would stand for two days.
DAY_PARTS = (slice(None), slice(-4), slice(3), slice(4, -4))
NAME_ALONE, DAYS_A_WEEK = slice(3), 7


def hours_shown(clock: Timeline, span: Span) -> tuple[Mark, ...]:
    """Return the hours that are marked of what is shown, on this axis and in the panes over it."""
    label_px = QFontMetricsF(QGuiApplication.font()).horizontalAdvance("00:00") + 14
    spacing = spacing_min(span.high - span.low, span.width_px, label_px)
    return hour_marks(clock, span.low, span.high, spacing)


def days_shown(clock: Timeline, span: Span) -> tuple[DaySpan, ...]:
    """Return the days of the calendar that are seen."""
    return tuple(day for day in day_spans(clock) if day.end > span.low and day.begin < span.high)


class Ruler:
    """Says where the labels of the axis stand, from its own top left corner, and draws them."""

    def __init__(self, span: Span) -> None:
        self._span = span
        self._marks: tuple[Mark, ...] = ()
        self._days: tuple[DaySpan, ...] = ()

    def show_clock(self, clock: Timeline) -> None:
        """Mark the stretch that is shown of a run on this clock."""
        self._marks, self._days = hours_shown(clock, self._span), days_shown(clock, self._span)

    @staticmethod
    def metrics() -> QFontMetricsF:
        """Return the measures of the program's text."""
        return QFontMetricsF(QGuiApplication.font())

    def height_px(self) -> float:
        """Return the height that the text needs."""
        return 2 * self.metrics().height() + 6

    def hour_labels(self) -> list[tuple[QRectF, str]]:
        """Return where each hour stands; one that would touch the one before is left out."""
        metrics, placed, free_from = self.metrics(), [], -1e9
        for mark in self._marks:
            width = metrics.horizontalAdvance(mark.text)
            middle = self._px(mark.minute)
            left = min(max(middle - width / 2, 0.0), self._span.width_px - width)
            if left >= free_from:
                placed.append((QRectF(left, 4, width, metrics.height()), mark.text))
                free_from = left + width + 4
        return placed

    def day_labels(self) -> list[tuple[QRectF, str]]:
        """Return where each day's name stands, in the middle of what is shown of it."""
        metrics, placed = self.metrics(), []
        day_px = self._px(MINUTES_A_DAY) - self._px(0)
        # One way of writing for all of them: the longest that fits a whole day.
        parts = [part for part in DAY_PARTS if part != NAME_ALONE or len(self._days) <= DAYS_A_WEEK]
        written = next((part for part in parts if self._widest_day(part) + 6 <= day_px), parts[-1])
        for span in self._days:
            left = max(self._px(span.begin), 0.0)
            right = min(self._px(span.end), self._span.width_px)
            text = day_text(span.day)[written]
            width = metrics.horizontalAdvance(text)
            if width + 6 <= right - left:
                box = QRectF((left + right - width) / 2, self._day_top(), width, metrics.height())
                placed.append((box, text))
        return placed

    def _widest_day(self, part: slice) -> float:
        texts = (day_text(span.day)[part] for span in self._days)
        return max((self.metrics().horizontalAdvance(text) for text in texts), default=0.0)

    def draw(self, painter: QPainter, ink: Ink, corner: QPointF) -> None:
        """Draw it with its top left corner at a place."""
        painter.save()
        painter.translate(corner)
        painter.setFont(QGuiApplication.font())
        painter.setPen(QPen(ink.text))
        flags = Qt.AlignmentFlag.AlignCenter | Qt.TextFlag.TextDontClip
        for box, text in self.hour_labels():
            painter.drawText(box, flags, text)
        font = QGuiApplication.font()
        font.setBold(True)
        painter.setFont(font)
        for box, text in self.day_labels():
            painter.drawText(box, flags, text)
        painter.setPen(QPen(ink.faint_text, 1))
        for mark in self._marks:
            painter.drawLine(QLineF(self._px(mark.minute), 0, self._px(mark.minute), 4))
        top = self._day_top()
        for span in self._days[1:]:
            x = self._px(span.begin)
            painter.drawLine(QLineF(x, top, x, top + self.metrics().height()))
        painter.restore()

    def _day_top(self) -> float:
        """Return where the days stand: under the hours, or in their place when there are none."""
        return self.metrics().height() + 5 if self._marks else 4.0

    def _px(self, minute: float) -> float:
        return self._span.px(minute, 0.0, self._span.width_px)
