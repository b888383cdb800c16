"""A map that can be pointed at, by mouse and by keyboard."""

from __future__ import annotations

from PySide6.QtCore import QLineF, QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QKeyEvent, QMouseEvent, QPainter, QPen
from PySide6.QtWidgets import QWidget

from app.charts.canvas import Canvas
from app.charts.ink import Ink
from app.charts.map_paint import MapFrame, paint_map
from app.charts.map_picture import MapPicture
from app.charts.scale import Scale

# One press of an arrow key moves over this share of the map; with Shift over five times as much.
KEY_SHARE = 0.01
EMPTY = MapPicture(Scale("", 1.0, 10.0), Scale("", 1.0, 10.0))


class MapCanvas(Canvas):
    """Reads out what is pointed at; a click or Enter chooses it."""

    pointed = Signal(float, float)
    chosen = Signal(float, float)

    def __init__(self, name: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._picture = EMPTY
        self._cursor: tuple[float, float] | None = None
        self.setAccessibleName(name)
        self.setMouseTracking(True)
        self.setMinimumSize(320, 240)
        self.setToolTip("Arrow keys move the cursor; a click or Enter applies the kit under it.")

    @property
    def shown(self) -> MapPicture:
        """The picture on the map."""
        return self._picture

    @property
    def cursor_values(self) -> tuple[float, float] | None:
        """The pair of values the cursor stands on."""
        return self._cursor

    def show_picture(self, picture: MapPicture) -> None:
        """Show another picture; the cursor stays on its values."""
        self._picture = picture
        self.setAccessibleDescription(picture.words)
        if self._cursor is None and picture.marks:
            self._cursor = picture.marks[0].x, picture.marks[0].y
        self.renew()

    def put_cursor(self, across: float, up: float) -> None:
        """Put the cursor on a pair of values and read it out."""
        self._cursor = across, up
        self.update()
        self.pointed.emit(across, up)

    def place_of(self, across: float, up: float) -> QPointF:
        """Return where on the widget a pair of values stands."""
        return self._frame().at((across, up))

    def _frame(self) -> MapFrame:
        return MapFrame.of(self._picture, QRectF(self.rect()), self.font())

    def paint_still(self, painter: QPainter, size: QRectF, ink: Ink) -> None:
        if self._picture is EMPTY:
            return
        frame = MapFrame.of(self._picture, size, self.font())
        paint_map(painter, frame, size, ink, self.font())

    def paint_cursor(self, painter: QPainter, ink: Ink) -> None:
        if self._cursor is None or self._picture is EMPTY:
            return
        frame = self._frame()
        place, field = frame.at(self._cursor), frame.field
        painter.setPen(QPen(ink.accent, 1))
        painter.drawLine(QLineF(place.x(), field.top(), place.x(), field.bottom()))
        painter.drawLine(QLineF(field.left(), place.y(), field.right(), place.y()))

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        frame = self._frame()
        if frame.field.contains(event.position()):
            self.put_cursor(*frame.values(event.position()))

    def mousePressEvent(self, event: QMouseEvent) -> None:
        frame = self._frame()
        if event.button() == Qt.MouseButton.LeftButton and frame.field.contains(event.position()):
            values = frame.values(event.position())
            self.put_cursor(*values)
            self.chosen.emit(*values)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        moves = {
            Qt.Key.Key_Left: (-1, 0), Qt.Key.Key_Right: (1, 0),
            Qt.Key.Key_Down: (0, -1), Qt.Key.Key_Up: (0, 1),
        }  # fmt: skip
        if self._cursor is None:
            super().keyPressEvent(event)
        elif event.key() in moves:
            shift = bool(event.modifiers() & Qt.KeyboardModifier.ShiftModifier)
            self._move(*moves[Qt.Key(event.key())], KEY_SHARE * (5 if shift else 1))
        elif event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.chosen.emit(*self._cursor)
        else:
            super().keyPressEvent(event)

    def _move(self, right: int, upwards: int, share: float) -> None:
        assert self._cursor is not None
        across, up = self._picture.across, self._picture.up
        self.put_cursor(
            across.value(across.share(self._cursor[0]) + right * share),
            up.value(up.share(self._cursor[1]) + upwards * share),
        )

    def sizeHint(self) -> QSize:
        return QSize(560, 420)
