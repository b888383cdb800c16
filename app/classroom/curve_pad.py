"""A curve drawn by the class with mouse or arrow keys, and afterwards the run beside it."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import UTC, datetime

from PySide6.QtCore import QPointF, QRectF, Qt, Signal
from PySide6.QtGui import (
    QAccessible,
    QAccessibleAnnouncementEvent,
    QColor,
    QKeyEvent,
    QMouseEvent,
    QPen,
    QPolygonF,
)

from app.charts.frame import Frame
from app.charts.scale import Scale
from app.classroom.big_text import least_px
from app.classroom.hours import paint_hours
from app.classroom.picture import LEFT, RIGHT, Lettering, Picture
from model.lessons.run import CURVE_STEP_H
from model.scenario.declare import MINUTES_A_DAY
from model.sky.timeline import Timeline
from model.support.figures import with_unit

KEY_STEP = 0.05
STEP_MIN = CURVE_STEP_H * 60.0
# The arrow keys move in these hours; the curve is straight between.
KEY_HOURS_H = 2.0
KEYS = (Qt.Key.Key_Left, Qt.Key.Key_Right, Qt.Key.Key_Up, Qt.Key.Key_Down)
HELP = "Draw with the mouse, or arrow keys: left and right choose the hour, up and down the height."


class CurvePad(Picture):
    """A field of hours across and 0 to 100 % of the scale up."""

    drawn = Signal(list)
    lines_least = 7.0

    def __init__(self) -> None:
        super().__init__()
        self._heights: list[float] = []
        self._earlier: list[float] = []
        self._points = 49
        self._clock = Timeline(datetime(2000, 1, 1, tzinfo=UTC), 1)
        self._top, self._unit = 100.0, "%"
        self._truth: tuple[float, ...] = ()
        self._last: tuple[int, float] | None = None
        self._cursor = 0
        self._may_draw = self._is_asked = False
        # What was said last of the place the keys are at.
        self.spoken = ""

    @property
    def heights(self) -> list[float]:
        """What has been drawn, a height each half hour; empty for nothing."""
        return list(self._heights)

    def has_something(self) -> bool:
        return self._is_asked

    def ask(
        self,
        clock: Timeline,
        top: tuple[float, str],
        heights: Sequence[float],
        earlier: Sequence[float] = (),
    ) -> None:
        """Take a drawing over the hours of a run; the run itself is not known here.

        Parameters
        ----------
        top : what the top of the scale stands for, with its unit.
        earlier : the curve of the first round.
        """
        self._clock, (self._top, self._unit) = clock, top
        self._points = round(clock.days * 24 / CURVE_STEP_H) + 1
        self._heights = list(heights) if len(heights) == self._points else []
        self._earlier = list(earlier) if len(earlier) == self._points else []
        self._truth, self._last, self._cursor = (), None, 0
        self._may_draw = self._is_asked = True
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setAccessibleName("The class draws here")
        self.setAccessibleDescription(HELP)
        self.update()

    def take(self, heights: Sequence[float]) -> None:
        """Show what was drawn elsewhere."""
        if len(heights) == self._points:
            self._heights = list(heights)
            self.update()

    def forget(self) -> None:
        """Hold nothing of a run, and take no drawing."""
        self._heights, self._earlier, self._truth = [], [], ()
        self._may_draw = self._is_asked = False
        self.spoken = ""
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.say("")
        self.update()

    def show_truth(self, truth: Sequence[float]) -> None:
        """Lay the run over what was drawn."""
        self._truth, self._may_draw = tuple(truth), False
        said = [self._place_words(index, truth[index]) for index in self._stops()]
        self.say("The curve of the class, and the run", said)
        self.update()

    # Drawing by hand.

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
        if not self.press(Qt.Key(event.key())):
            super().keyPressEvent(event)

    def press(self, key: Qt.Key) -> bool:
        """Take an arrow key, say where it leads, and return whether it was taken."""
        sideways = {Qt.Key.Key_Left: -1, Qt.Key.Key_Right: 1}
        upwards = {Qt.Key.Key_Down: -KEY_STEP, Qt.Key.Key_Up: KEY_STEP}
        if not self._may_draw or key not in KEYS:
            return False
        stride = round(KEY_HOURS_H / CURVE_STEP_H)
        if key in sideways:
            self._cursor = min(max(self._cursor + sideways[key] * stride, 0), self._points - 1)
        else:
            self._heights = self._heights or [0.0] * self._points
            height = min(max(self._heights[self._cursor] + upwards[key], 0.0), 1.0)
            # What lies beyond follows, so that a curve is made from left to right.
            before = max(self._cursor - stride, 0)
            self._line((before, self._heights[before]), (self._cursor, height))
            self._heights[self._cursor :] = [height] * (self._points - self._cursor)
            self.drawn.emit(self.heights)
        height = self._heights[self._cursor] if self._heights else 0.0
        self._speak(self._place_words(self._cursor, height))
        self.update()
        return True

    def _speak(self, words: str) -> None:
        self.spoken = words
        QAccessible.updateAccessibility(QAccessibleAnnouncementEvent(self, words))

    def _place_words(self, index: int, height: float) -> str:
        minute = index * STEP_MIN
        at = self._clock.at(minute / self._clock.step_min)
        return f"{at:%H:%M}, {with_unit(f'{height * self._top:.0f}', self._unit)}"

    def _stops(self) -> range:
        return range(0, self._points, round(KEY_HOURS_H / CURVE_STEP_H))

    def _draw_to(self, place: QPointF) -> None:
        if not self._may_draw:
            return
        minute, height = self._frame(float(least_px(self))).values(place)
        here = (round(minute / STEP_MIN), height)
        # Until more is drawn, the first touch stands for the whole run.
        self._heights = self._heights or [height] * self._points
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

    # Painting.

    def _frame(self, px: float) -> Frame:
        hours = Scale("", 0.0, self._clock.days * MINUTES_A_DAY, in_ratios=False)
        key = px * 1.6 if self._earlier or self._truth else 0.0
        heights = Scale("", 0.0, 1.0, in_ratios=False, factor=self._top)
        field = QRectF(px * 4.4, px * 0.8 + key, self.width() - px * 6.6, 0)
        field.setBottom(self.height() - px * 2.2)
        return Frame(hours, heights, field)

    def paint(self, pen: Lettering) -> None:
        frame, px = self._frame(pen.px), pen.px
        self._paint_axes(pen, frame)
        lines = [
            (self._earlier, pen.quiet, Qt.PenStyle.DotLine, 0.12, "first guess"),
            (self._heights, pen.accent, Qt.PenStyle.DashLine, 0.16, "after talking"),
            (list(self._truth), pen.model, Qt.PenStyle.SolidLine, 0.22, "by the run"),
        ]
        x = frame.field.left()
        for heights, colour, style, thick, words in lines:
            if not heights:
                continue
            pen.painter.setPen(QPen(QColor(colour), px * thick, style))
            pen.painter.drawPolyline(_polygon(heights, frame))
            if self._earlier or self._truth:
                name = "as drawn" if not self._earlier and heights is self._heights else words
                pen.painter.drawLine(QPointF(x, px * 0.8), QPointF(x + px * 1.6, px * 0.8))
                wide = pen.width(name)
                pen.put(QRectF(x + px * 2, 0, wide, px * 1.5), LEFT, name)
                x += px * 3.2 + wide
        if self._may_draw and self.hasFocus():
            minute = self._cursor * STEP_MIN
            pen.painter.setPen(QPen(pen.text, 2, Qt.PenStyle.DotLine))
            pen.painter.drawLine(frame.at((minute, 1.0)), frame.at((minute, 0.0)))

    def _paint_axes(self, pen: Lettering, frame: Frame) -> None:
        px, field = pen.px, frame.field
        for value, text in frame.up.ticks(max(2, int(field.height() / (px * 2.4)))):
            y = frame.at((0.0, value)).y()
            pen.rule(QPointF(field.left(), y), QPointF(field.right(), y), pen.line, 1)
            room = QRectF(0, y - px * 0.75, field.left() - px * 0.4, px * 1.5)
            pen.put(room, RIGHT, with_unit(text, self._unit), colour=pen.quiet)
        paint_hours(pen, self._clock, field)


def _polygon(heights: Sequence[float], frame: Frame) -> QPolygonF:
    """Return the line of heights that stand half an hour apart."""
    return QPolygonF([frame.at((index * STEP_MIN, height)) for index, height in enumerate(heights)])
