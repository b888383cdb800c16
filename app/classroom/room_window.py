"""The window on the projector: the room's side alone; its keys go to the class."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtGui import QCloseEvent, QKeyEvent
from PySide6.QtWidgets import QVBoxLayout, QWidget

from app.classroom.projected import Projected

if TYPE_CHECKING:
    from app.classroom.class_page import ClassPage

# The title never changes: nothing of a lesson may stand in a task bar or a window list.
TITLE = "Class, what the room sees – Counterpoise"


class RoomWindow(QWidget):
    """Holds the room's side on a screen of its own until the class is left."""

    def __init__(self, projected: Projected, page: ClassPage) -> None:
        super().__init__(None, Qt.WindowType.Window)
        self._page = page
        self.setWindowTitle(TITLE)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(projected)
        projected.show()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() in (Qt.Key.Key_F11, Qt.Key.Key_F5):
            self.showNormal() if self.isFullScreen() else self.showFullScreen()
        else:
            self._page.press(Qt.Key(event.key()), event)

    def closeEvent(self, event: QCloseEvent) -> None:
        super().closeEvent(event)
        if self._page.room is self:
            # Closed by hand: both sides go on in one window.
            self._page.use_one_screen()
