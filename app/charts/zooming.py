"""A chart that is zoomed and pointed at; whoever does so is never far from the whole run."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QColor, QKeyEvent, QMouseEvent, QPen, QWheelEvent
from PySide6.QtWidgets import QGraphicsRectItem, QWidget

from app.charts.ink import Ink
from app.charts.panes import Chart

DRAG_PX = 6
ZOOM_STEP = 1.25


class ZoomingChart(Chart):
    """Shows a stretch of the run: by Ctrl and wheel, by a drag, by key; a double click, all."""

    pointed = Signal(float)
    key_pressed = Signal(QKeyEvent)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._pressed_at: float | None = None
        self._sheet = QGraphicsRectItem()
        self._sheet.setZValue(200)
        self._sheet.hide()
        self.scene().addItem(self._sheet)

    def dress(self, ink: Ink, axis_px: float) -> None:
        """Take over colours and size of text."""
        sheet = QColor(ink.accent)
        sheet.setAlpha(70)
        self._sheet.setBrush(sheet)
        self._sheet.setPen(QPen(ink.accent, 1))
        super().dress(ink, axis_px)

    def zoom(self, factor: float, around: float) -> None:
        """Show a stretch so many times shorter, the minute pointed at staying in its place."""
        low, high = self.span.low, self.span.high
        length = self.span.kept_length((high - low) / factor)
        share = (around - low) / (high - low)
        self.show_stretch(around - share * length, around + (1 - share) * length)

    def pan(self, share: float) -> None:
        """Move on by a share of the stretch shown, not beyond the run's ends."""
        length = self.span.high - self.span.low
        low = min(max(self.span.low + share * length, 0.0), self.span.total - length)
        self.show_stretch(low, low + length)

    def reveal(self, minute: float) -> None:
        """Move the stretch shown so that a minute lies in it."""
        length = self.span.high - self.span.low
        if not self.span.low <= minute <= self.span.high:
            low = min(max(minute - length / 2, 0.0), self.span.total - length)
            self.show_stretch(low, low + length)

    def wheelEvent(self, event: QWheelEvent) -> None:
        """With Ctrl zoom about the pointer, sideways or with Shift move on; else leave it be."""
        turned, held = event.angleDelta(), event.modifiers()
        is_zoom = bool(held & Qt.KeyboardModifier.ControlModifier)
        if not (is_zoom or turned.x() or held & Qt.KeyboardModifier.ShiftModifier):
            event.ignore()
            return
        event.accept()
        if turned.x() or not is_zoom:
            self.pan(-(turned.x() or turned.y()) / 1200.0)
        elif turned.y():
            around = self.minute_at(event.position().x())
            self.zoom(ZOOM_STEP ** (turned.y() / 120.0), around)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Read out the minute under the pointer, and begin to choose a stretch."""
        if event.button() == Qt.MouseButton.LeftButton:
            self._pressed_at = event.position().x()
            self.pointed.emit(self.minute_at(self._pressed_at))

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Read out the minute under the pointer, or choose a stretch."""
        x = event.position().x()
        if self._pressed_at is None:
            self.pointed.emit(self.minute_at(x))
        elif abs(x - self._pressed_at) >= DRAG_PX:
            left, right = (
                self.span.px(
                    self.minute_at(each),
                    self.span.left_px,
                    self.span.left_px + self.span.width_px,
                )
                for each in sorted((x, self._pressed_at))
            )
            top, bottom = self.reach()
            self._sheet.setRect(left, top, right - left, bottom - top)
            self._sheet.show()

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """Show the stretch chosen."""
        begun, self._pressed_at = self._pressed_at, None
        self._sheet.hide()
        if begun is not None and abs(event.position().x() - begun) >= DRAG_PX:
            low, high = sorted((self.minute_at(begun), self.minute_at(event.position().x())))
            self.show_stretch(low, high)

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:
        """Show the whole run."""
        event.accept()
        self.show_whole()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Hand the key on."""
        event.ignore()
        self.key_pressed.emit(event)
