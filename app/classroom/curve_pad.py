"""A curve drawn by the class with mouse or arrow keys, and afterwards the run beside it."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import UTC, datetime

from PySide6.QtCore import QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QColor, QKeyEvent, QMouseEvent, QPainter, QPaintEvent, QPen, QPolygonF
from PySide6.QtWidgets import QSizePolicy, QWidget

from app.charts.frame import Frame
from app.charts.scale import Scale
from app.charts.time_marks import marks_across
from app.classroom.big_text import least_px, sized
from app.printing.paint import painting
from app.widgets.tokens import is_dark, station_style
from model.lessons.run import CURVE_STEP_H
from model.scenario.declare import MINUTES_A_DAY
from model.sky.timeline import Timeline

KEY_STEP = 0.05
STEP_MIN = CURVE_STEP_H * 60.0
HEIGHTS = Scale("", 0.0, 1.0, in_ratios=False)
# The arrow keys move in these hours; the curve is straight between.
KEY_HOURS_H = 2.0
HELP = "Draw with the mouse, or arrow keys: left and right choose the hour, up and down the height."


class CurvePad(QWidget):
    """A field of hours across and 0 to 100 % of the scale up."""

    drawn = Signal(list)

    def __init__(self) -> None:
        super().__init__()
        self._heights: list[float] = []
        self._points = 49
        self._clock = Timeline(datetime(2000, 1, 1, tzinfo=UTC), 1)
        self._top_words = "100 %"
        self._truth: tuple[float, ...] = ()
        self._last: tuple[int, float] | None = None
        self._cursor = 0
        self._may_draw = False
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)

    @property
    def heights(self) -> list[float]:
        """What has been drawn, a height each half hour; empty for nothing."""
        return list(self._heights)

    def ask(self, clock: Timeline, top_words: str, heights: Sequence[float]) -> None:
        """Take a drawing over the hours of a run; the run itself is not known here."""
        self._clock, self._top_words = clock, top_words
        self._points = round(clock.days * 24 / CURVE_STEP_H) + 1
        self._heights = list(heights) if len(heights) == self._points else []
        self._truth, self._last, self._cursor, self._may_draw = (), None, 0, True
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setAccessibleName("The class draws here")
        self.setAccessibleDescription(HELP)
        self.update()

    def forget(self) -> None:
        """Hold nothing of a run, and take no drawing."""
        self._heights, self._truth, self._may_draw = [], (), False
        self.setAccessibleName("")
        self.setAccessibleDescription("")

    def show_truth(self, truth: Sequence[float]) -> None:
        """Lay the run over what was drawn."""
        self._truth, self._may_draw = tuple(truth), False
        self.setAccessibleName("The curve of the class, and the run")
        self.update()

    def sizeHint(self) -> QSize:
        return QSize(800, least_px(self) * 12)

    def minimumSizeHint(self) -> QSize:
        return QSize(400, least_px(self) * 7)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        self._last = None
        self._draw_to(event.position())

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        self._draw_to(event.position())

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        self._last = None
        if self._may_draw and self._heights:
            self.drawn.emit(self.heights)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        sideways = {Qt.Key.Key_Left: -1, Qt.Key.Key_Right: 1}
        upwards = {Qt.Key.Key_Down: -KEY_STEP, Qt.Key.Key_Up: KEY_STEP}
        key = Qt.Key(event.key())
        if not self._may_draw or key not in (*sideways, *upwards):
            super().keyPressEvent(event)
            return
        stride = round(KEY_HOURS_H / CURVE_STEP_H)
        if key in sideways:
            self._cursor = min(max(self._cursor + sideways[key] * stride, 0), self._points - 1)
        else:
            self._begin()
            height = min(max(self._heights[self._cursor] + upwards[key], 0.0), 1.0)
            # What lies beyond follows, so that a curve is made from left to right.
            before = max(self._cursor - stride, 0)
            self._line((before, self._heights[before]), (self._cursor, height))
            self._heights[self._cursor :] = [height] * (self._points - self._cursor)
            self.drawn.emit(self.heights)
        self.update()

    def _begin(self) -> None:
        if not self._heights:
            self._heights = [0.0] * self._points

    def _draw_to(self, place: QPointF) -> None:
        if not self._may_draw:
            return
        minute, height = self._frame().values(place)
        here = (round(minute / STEP_MIN), height)
        if not self._heights:
            # Until more is drawn, the first touch stands for the whole run.
            self._heights = [height] * self._points
        self._line(self._last or here, here)
        self._last = here
        self.update()

    def _line(self, first: tuple[int, float], last: tuple[int, float]) -> None:
        """Set every half hour between two places, in whichever direction the hand went."""
        (begin, low), (end, high) = sorted((first, last))
        for index in range(begin, end + 1):
            share = (index - begin) / (end - begin) if end > begin else 1.0
            self._heights[index] = low + (high - low) * share
        self._heights[last[0]] = last[1]

    def _frame(self) -> Frame:
        px = least_px(self)
        hours = Scale("", 0.0, self._clock.days * MINUTES_A_DAY, in_ratios=False)
        field = QRectF(px * 4, px * 0.7, self.width() - px * 5.5, self.height() - px * 2.4)
        return Frame(hours, HEIGHTS, field)

    def paintEvent(self, event: QPaintEvent) -> None:
        with painting(self) as painter:
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            self._paint(painter)

    def _paint(self, painter: QPainter) -> None:
        frame, ink = self._frame(), self.palette().windowText().color()
        self._paint_axes(painter, frame)
        dark = is_dark(self.palette())
        if self._heights:
            painter.setPen(QPen(ink, 4, Qt.PenStyle.DashLine))
            painter.drawPolyline(_polygon(self._heights, frame))
        if self._truth:
            style = station_style(0)
            painter.setPen(QPen(QColor(style.colour(dark=dark)), 6))
            painter.drawPolyline(_polygon(self._truth, frame))
        if self._may_draw and self.hasFocus():
            minute = self._cursor * STEP_MIN
            painter.setPen(QPen(ink, 2, Qt.PenStyle.DotLine))
            painter.drawLine(frame.at((minute, 1.0)), frame.at((minute, 0.0)))

    def _paint_axes(self, painter: QPainter, frame: Frame) -> None:
        px, field = least_px(self), frame.field
        painter.setFont(sized(self.font(), px))
        painter.setPen(QPen(self.palette().windowText().color(), 2))
        painter.drawRect(field)
        right = Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter
        for words, y in ((self._top_words, field.top()), ("0", field.bottom())):
            room = QRectF(0, y - px * 0.7, field.left() - px * 0.3, px * 1.4)
            painter.drawText(room, right, words)
        for mark in marks_across(self._clock, field.width(), px * 4):
            x = frame.at((mark.minute, 0.0)).x()
            painter.drawLine(QPointF(x, field.bottom()), QPointF(x, field.bottom() + px * 0.3))
            room = QRectF(x - px * 3, field.bottom() + px * 0.3, px * 6, px * 1.3)
            painter.drawText(room, Qt.AlignmentFlag.AlignCenter, mark.text)


def _polygon(heights: Sequence[float], frame: Frame) -> QPolygonF:
    """Return the line of heights that stand half an hour apart."""
    return QPolygonF([frame.at((index * STEP_MIN, height)) for index, height in enumerate(heights)])
