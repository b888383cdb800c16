"""The window on the projector: the room's side alone; its keys go to the class."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QCloseEvent, QKeyEvent
from PySide6.QtWidgets import QVBoxLayout, QWidget

from app.classroom.projected import Projected

# The title never changes: nothing of a lesson may stand in a task bar or a window list.
TITLE = "Class, what the room sees – Counterpoise"


class RoomWindow(QWidget):
    """Holds the room's side on a screen of its own until the class is left."""

    pressed = Signal(QKeyEvent)
    closed = Signal()

    def __init__(self, projected: Projected) -> None:
        super().__init__(None, Qt.WindowType.Window)
        self.setWindowTitle(TITLE)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(projected)
        projected.show()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() not in (Qt.Key.Key_F11, Qt.Key.Key_F5):
            self.pressed.emit(event)
        elif self.isFullScreen():
            self.showNormal()
        else:
            self.showFullScreen()

    def closeEvent(self, event: QCloseEvent) -> None:
        super().closeEvent(event)
        self.closed.emit()
