"""What is written beside the panes: the hours and days, and the names at the ends of the lines."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from PySide6.QtCore import QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QFontMetricsF, QGuiApplication, QPainter, QPen
from PySide6.QtWidgets import QGraphicsItem, QGraphicsWidget, QStyleOptionGraphicsItem, QWidget

from app.charts.ink import Ink
from app.charts.markers import SAMPLE_PX, draw_sample
from app.charts.time_marks import DaySpan, Mark
from app.plots.placing import spread
from app.plots.span import Span
from model.scenario.declare import MINUTES_A_DAY
from model.support.figures import day_text

# What is written of "Sat 13 Jun": all, all but the month, the day's name, its number.
DAY_PARTS = (slice(None), slice(-4), slice(3), slice(4, -4))


class Margin(QGraphicsWidget):
    """Something drawn in a cell beside the panes."""

    def __init__(self, parent: QGraphicsItem | None = None) -> None:
        super().__init__(parent)
        self._ink: Ink | None = None

    def dress(self, ink: Ink) -> None:
        """Take over other colours, and the size of the program's text."""
        self._ink = ink
        self.fit()
        self.update()

    def fit(self) -> None:
        """Ask for the size that the text needs."""

    def fix_height(self, height_px: float) -> None:
        """Take exactly this height."""
        self.setMinimumHeight(height_px)
        self.setMaximumHeight(height_px)

    def fix_width(self, width_px: float) -> None:
        """Take exactly this width."""
        self.setMinimumWidth(width_px)
        self.setMaximumWidth(width_px)

    def metrics(self) -> QFontMetricsF:
        """Return the measures of the program's text."""
        return QFontMetricsF(QGuiApplication.font())

    def paint(
        self,
        painter: QPainter,
        option: QStyleOptionGraphicsItem,
        widget: QWidget | None = None,
    ) -> None:
        """Draw it."""
        if self._ink is not None:
            painter.setFont(QGuiApplication.font())
            painter.setClipRect(self.rect())
            self.draw(painter, self._ink)

    def draw(self, painter: QPainter, ink: Ink) -> None:
        """Draw it."""
        raise NotImplementedError


class Ruler(Margin):
    """The time axis: hours on the first line, the names of the days on the second."""

    def __init__(self, span: Span) -> None:
        super().__init__()
        self._span = span
        self._marks: tuple[Mark, ...] = ()
        self._days: tuple[DaySpan, ...] = ()

    def set_marks(self, marks: tuple[Mark, ...], days: tuple[DaySpan, ...]) -> None:
        """Show other hours and days."""
        if (marks, days) != (self._marks, self._days):
            self._marks, self._days = marks, days
            self.update()

    def fit(self) -> None:
        """Ask for the size that the text needs."""
        self.fix_height(2 * self.metrics().height() + 6)

    def label_px(self) -> float:
        """Return the room one hour needs."""
        return self.metrics().horizontalAdvance("00:00") + 14

    def hour_labels(self) -> list[tuple[QRectF, str]]:
        """Return where each hour stands; one that would touch the one before is left out."""
        metrics, placed, free_from = self.metrics(), [], -1e9
        for mark in self._marks:
            width = metrics.horizontalAdvance(mark.text)
            middle = self._px(mark.minute)
            left = min(max(middle - width / 2, 0.0), self.rect().width() - width)
            if left >= free_from:
                placed.append((QRectF(left, 3, width, metrics.height()), mark.text))
                free_from = left + width + 4
        return placed

    def day_labels(self) -> list[tuple[QRectF, str]]:
        """Return where each day's name stands, in the middle of what is shown of it."""
        metrics, placed = self.metrics(), []
        day_px = self._px(MINUTES_A_DAY) - self._px(0)
        # One way of writing for all of them: the longest that fits a whole day.
        written = next(
            (part for part in DAY_PARTS if self._widest_day(part) + 6 <= day_px), DAY_PARTS[-1]
        )
        for span in self._days:
            left = max(self._px(span.begin), 0.0)
            right = min(self._px(span.end), self.rect().width())
            text = day_text(span.day)[written]
            width = metrics.horizontalAdvance(text)
            if width + 6 <= right - left:
                box = QRectF((left + right - width) / 2, self._day_top(), width, metrics.height())
                placed.append((box, text))
        return placed

    def _widest_day(self, part: slice) -> float:
        texts = (day_text(span.day)[part] for span in self._days)
        return max((self.metrics().horizontalAdvance(text) for text in texts), default=0.0)

    def draw(self, painter: QPainter, ink: Ink) -> None:
        """Draw it."""
        painter.setPen(QPen(ink.text))
        for box, text in self.hour_labels() + self.day_labels():
            painter.drawText(box, Qt.AlignmentFlag.AlignCenter | Qt.TextFlag.TextDontClip, text)
        painter.setPen(QPen(ink.faint_text, 1))
        for mark in self._marks:
            painter.drawLine(QLineF(self._px(mark.minute), 0, self._px(mark.minute), 3))
        top = self._day_top()
        for span in self._days[1:]:
            x = self._px(span.begin)
            painter.drawLine(QLineF(x, top, x, top + self.metrics().height()))

    def _day_top(self) -> float:
        """Return where the days stand: under the hours, or in their place when there are none."""
        return self.metrics().height() + 4 if self._marks else 4.0

    def _px(self, minute: float) -> float:
        return self._span.px(minute, 0.0, self.rect().width())


@dataclass(frozen=True)
class EndLabel:
    """The name at the end of a line, or of a level; the sample shows which."""

    value: float
    text: str
    colour: QColor
    line: Qt.PenStyle
    marker: str = ""


class EndLabels(Margin):
    """Names at the right end of the lines, moved apart where lines end close together."""

    LEADER_PX = 14.0

    def __init__(self, height_at: Callable[[float], float]) -> None:
        super().__init__()
        self._height_at = height_at
        self._labels: tuple[EndLabel, ...] = ()

    def set_labels(self, labels: tuple[EndLabel, ...]) -> None:
        """Show other names."""
        if labels == self._labels:
            return
        changed = [label.text for label in labels] != [label.text for label in self._labels]
        self._labels = labels
        if changed:
            self.fit()
        self.update()

    def boundingRect(self) -> QRectF:
        """Return the place it draws in: it touches no pane, so that none is drawn with it."""
        return self.rect().adjusted(2, 0, 0, 0)

    def fit(self) -> None:
        """Ask for the size that the text needs."""
        metrics = self.metrics()
        widest = max((metrics.horizontalAdvance(label.text) for label in self._labels), default=0)
        room = metrics.averageCharWidth() * 26
        self.fix_width(self.LEADER_PX + SAMPLE_PX + 8 + min(widest, room))

    def places(self) -> list[tuple[QRectF, str]]:
        """Return where each name stands and what of it is shown."""
        metrics = self.metrics()
        height = metrics.height()
        left = self.LEADER_PX + SAMPLE_PX + 4
        width = self.rect().width() - left - 2
        middles = spread(self._wished(), [height] * len(self._labels), 0.0, self.rect().height())
        return [
            (
                QRectF(left, middle - height / 2, width, height),
                metrics.elidedText(label.text, Qt.TextElideMode.ElideMiddle, width),
            )
            for label, middle in zip(self._labels, middles, strict=True)
        ]

    def _wished(self) -> list[float]:
        top = self.mapToScene(QPointF(0, 0)).y()
        return [self._height_at(label.value) - top for label in self._labels]

    def draw(self, painter: QPainter, ink: Ink) -> None:
        """Draw it."""
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        places = self.places()
        for label, wished, (box, text) in zip(self._labels, self._wished(), places, strict=True):
            middle = box.center().y()
            painter.setPen(QPen(ink.faint_text, 1))
            painter.drawLine(QLineF(2, wished, self.LEADER_PX - 2, middle))
            at = QPointF(self.LEADER_PX, middle)
            draw_sample(painter, at, label.colour, label.line, label.marker)
            painter.setPen(QPen(ink.text))
            painter.drawText(box, Qt.AlignmentFlag.AlignVCenter | Qt.TextFlag.TextDontClip, text)
