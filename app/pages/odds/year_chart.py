"""The year by half-month of start: of ten trips, how many receive to the end."""

from __future__ import annotations

from bisect import bisect_right

from PySide6.QtCore import QLineF, QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QKeyEvent, QMouseEvent, QPainter, QPen, QPolygonF
from PySide6.QtWidgets import QWidget

from app.charts.ink import Ink, mixed
from app.pages.odds.sheet import Sheet
from app.widgets.tokens import station_style
from model.odds.half_months import HalfMonth
from model.odds.odds import Odds
from model.odds.sentences import odds_text
from model.results.wording import called
from model.support.figures import MONTH_NAMES, day_text

HEIGHT_LINES = 12
# How near a press must be to the line that is dragged.
GRAB_PX = 6.0
NOT_YET = "not worked out yet"


class YearChart(Sheet):
    """A curve for each station within the bounds of its odds, and a line at the date of the trip.

    Left, right and the mouse read out one half-month; up, down and a drag move the line that says
    how many of ten trips are enough.
    """

    pointed = Signal(str)
    of_ten_changed = Signal(int)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__("odds through the year", parent)
        self._found: Odds | None = None
        self._at: int | None = None
        self._of_ten, self._is_dragging = 9, False
        self.setMouseTracking(True)
        self.setToolTip(
            "Left, right and the mouse read out a half-month; drag the dashed line, or up and down,"
            " for how many of ten trips are enough."
        )

    @property
    def halves(self) -> tuple[HalfMonth, ...]:
        """What is shown, from the first of January on."""
        return self._found.half_months if self._found is not None else ()

    def show_odds(self, found: Odds) -> None:
        """Show another year, read out at the date of the trip."""
        self._found = found
        lines = "\n".join(half_words(found, at) for at in range(len(found.half_months)))
        self.setAccessibleDescription(lines)
        self.renew()
        if found.half_months:
            date = found.scenario.day.date
            self.put_cursor(bisect_right([half.start for half in found.half_months], date) - 1)

    def put_cursor(self, at: int) -> None:
        """Read out a half-month, round the turn of the year."""
        if self._found is not None and self.halves:
            self._at = at % len(self.halves)
            self.update()
            self.pointed.emit(half_words(self._found, self._at))

    @property
    def of_ten(self) -> int:
        """How many of ten trips are enough."""
        return self._of_ten

    def put_of_ten(self, of_ten: int) -> None:
        """Move the line that says how many of ten trips are enough."""
        kept = min(max(of_ten, 1), 9)
        if kept != self._of_ten:
            self._of_ten = kept
            self.update()
            self.of_ten_changed.emit(kept)

    def _field(self, size: QRectF) -> QRectF:
        left, right = self.words_px("10") + 10, self.words_px(_line_words(9)) + 10
        return size.adjusted(left, 0.7 * self.line_px, -right, -1.4 * self.line_px)

    def _line_y(self, field: QRectF) -> float:
        return field.bottom() - field.height() * self._of_ten / 10

    def _x(self, field: QRectF, at: float) -> float:
        return field.left() + field.width() * (at + 0.5) / max(len(self.halves), 1)

    def paint_now(self, painter: QPainter, size: QRectF, ink: Ink) -> None:
        if self._found is None or not self.halves:
            # Nothing is shown that could be out of date.
            painter.setOpacity(1.0)
            painter.setPen(ink.faint_text)
            painter.drawText(size, Qt.AlignmentFlag.AlignCenter, NOT_YET)
            return
        field = self._field(size)
        self._paint_grid(painter, field, ink)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        for index in range(len(self._found.stations)):
            self._paint_band(painter, field, index, ink)
        for index in range(len(self._found.stations)):
            self._paint_curve(painter, field, index, ink)
        self._paint_date(painter, field, ink)

    def _paint_grid(self, painter: QPainter, field: QRectF, ink: Ink) -> None:
        self.paint_tenths(painter, field, ink)
        month_px = field.width() / 12
        is_short = month_px < self.words_px("MMM")
        for month, name in enumerate(MONTH_NAMES):
            painter.setPen(QPen(ink.grid, 1))
            x = field.left() + month * month_px
            painter.drawLine(QLineF(x, field.top(), x, field.bottom()))
            painter.setPen(ink.faint_text)
            place = QRectF(x, field.bottom() + 2, month_px, self.line_px)
            painter.drawText(place, Qt.AlignmentFlag.AlignCenter, name[:1] if is_short else name)

    def _points(self, field: QRectF, index: int, bound: str) -> list[QPointF]:
        found = [(at, half.receive[index]) for at, half in enumerate(self.halves)]
        return [
            QPointF(self._x(field, at), field.bottom() - field.height() * getattr(share, bound))
            for at, share in found
            if share is not None
        ]

    def _paint_band(self, painter: QPainter, field: QRectF, index: int, ink: Ink) -> None:
        low, high = (self._points(field, index, bound) for bound in ("low", "high"))
        painter.setPen(Qt.PenStyle.NoPen)
        colour = ink.station(index)
        colour.setAlphaF(0.16)
        painter.setBrush(colour)
        painter.drawPolygon(QPolygonF([*low, *reversed(high)]))

    def _paint_curve(self, painter: QPainter, field: QRectF, index: int, ink: Ink) -> None:
        points = self._points(field, index, "value")
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.setPen(QPen(ink.station(index), 2, station_style(index).line))
        painter.drawPolyline(QPolygonF(points))
        if points and len(self.halves) and self._found and len(self._found.stations) > 1:
            # In the middle of the year, above a low curve and well below a high one, where the
            # line of enough trips runs.
            at = points[len(points) // 2]
            is_high = at.y() < field.center().y()
            y = at.y() + 2 * self.line_px if is_high else at.y() - 4
            painter.drawText(QPointF(at.x() + 4, y), station_style(index).letter)

    def _paint_date(self, painter: QPainter, field: QRectF, ink: Ink) -> None:
        assert self._found is not None
        date = self._found.scenario.day.date
        first = self.halves[0].start
        x = field.left() + field.width() * (date - first).days / 365.0
        painter.setPen(QPen(mixed(ink.ground, ink.accent, 1.0), 2))
        painter.drawLine(QLineF(x, field.top() - 4, x, field.bottom()))

    def paint_cursor(self, painter: QPainter, ink: Ink) -> None:
        if self._at is None or not self.halves:
            return
        field = self._field(QRectF(self.rect()))
        x, y = self._x(field, self._at), self._line_y(field)
        painter.setPen(QPen(ink.faint_text, 1, Qt.PenStyle.DotLine))
        painter.drawLine(QLineF(x, field.top(), x, field.bottom()))
        painter.setPen(QPen(ink.text, 1, Qt.PenStyle.DashLine))
        painter.drawLine(QLineF(field.left(), y, field.right(), y))
        painter.setPen(ink.text)
        room = QRectF(field.right() + 5, y - self.line_px / 2, self.width(), self.line_px)
        painter.drawText(room, Qt.AlignmentFlag.AlignVCenter, _line_words(self._of_ten))

    def mousePressEvent(self, event: QMouseEvent) -> None:
        field = self._field(QRectF(self.rect()))
        is_near = abs(event.position().y() - self._line_y(field)) <= GRAB_PX
        self._is_dragging = bool(self.halves) and is_near

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        self._is_dragging = False

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        field = self._field(QRectF(self.rect()))
        if self._is_dragging:
            up = (field.bottom() - event.position().y()) / max(field.height(), 1.0)
            self.put_of_ten(round(10 * up))
            return
        is_near = abs(event.position().y() - self._line_y(field)) <= GRAB_PX
        shapes = Qt.CursorShape
        self.setCursor(shapes.SizeVerCursor if is_near else shapes.ArrowCursor)
        share = (event.position().x() - field.left()) / max(field.width(), 1.0)
        at = int(share * len(self.halves))
        if 0 <= at < len(self.halves) and at != self._at:
            self.put_cursor(at)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        steps = {Qt.Key.Key_Left: -1, Qt.Key.Key_Right: 1}
        if self._at is not None and event.key() in steps:
            self.put_cursor(self._at + steps[Qt.Key(event.key())])
        elif self.halves and event.key() in (Qt.Key.Key_Up, Qt.Key.Key_Down):
            self.put_of_ten(self._of_ten + (1 if event.key() == Qt.Key.Key_Up else -1))
        else:
            super().keyPressEvent(event)

    def sizeHint(self) -> QSize:
        return QSize(420, round(HEIGHT_LINES * self.line_px))

    def minimumSizeHint(self) -> QSize:
        return QSize(260, self.sizeHint().height())


def _line_words(of_ten: int) -> str:
    return f"{of_ten} of 10 ↕"


def half_words(found: Odds, at: int) -> str:
    """Return the odds of one half-month in words."""
    half = found.half_months[at]
    told = [
        f"{called(found.scenario, index)} {odds_text(share)}"
        for index, share in enumerate(half.receive)
        if share is not None
    ]
    return f"From {day_text(half.start).split(' ', 1)[1]}: {'; '.join(told) or 'not run'}."
