"""One window beside the main one: fed only while it is seen, and remembered where it stood."""

from __future__ import annotations

from PySide6.QtCore import QByteArray, QRect, QSize, Qt, Signal
from PySide6.QtGui import QAction, QCloseEvent, QKeySequence, QShowEvent
from PySide6.QtWidgets import QWidget

from app.pages.holder import Holder
from app.pages.view import View

EDGE = 24


class ViewWindow(Holder):
    """Holds one view. Escape or Ctrl+W closes it, and the main window has the keyboard again."""

    closed = Signal(str)

    def __init__(self, key: str, view: View, parent: QWidget) -> None:
        super().__init__(key, view, parent, Qt.WindowType.Window)
        self.setWindowTitle(f"{view.title} – Counterpoise")
        self.whole.setContentsMargins(6, 6, 6, 6)
        close = QAction("Close", self)
        close.setShortcuts(
            [QKeySequence(Qt.Key.Key_Escape), QKeySequence(QKeySequence.StandardKey.Close)]
        )
        close.triggered.connect(self.close)
        self.addAction(close)

    def bring_up(self) -> None:
        """Show the window, or bring it to the front, with the keyboard in it."""
        self.show()
        self.raise_()
        self.activateWindow()
        self.view.setFocus()

    def place(self, kept: QByteArray, main: QRect, room: QRect) -> None:
        """Stand where it stood before, else at the left of the main window, the plots in sight."""
        if not kept.isEmpty() and self.restoreGeometry(kept):
            return
        scale = self.view.around.desk.display.text_percent / 100
        wanted = (QSize(*self.view.usual_size) * scale).expandedTo(self.minimumSizeHint())
        size = wanted.boundedTo(room.size() - QSize(EDGE, 2 * EDGE))
        left = min(max(main.left() + EDGE, room.left()), room.right() - size.width())
        top = min(max(main.top() + 2 * EDGE, room.top()), room.bottom() - size.height())
        self.setGeometry(QRect(left, top, size.width(), size.height()))

    def showEvent(self, event: QShowEvent) -> None:
        super().showEvent(event)
        self.feed()

    def closeEvent(self, event: QCloseEvent) -> None:
        # What is being typed counts before the window goes.
        self.rest()
        event.accept()
        self.closed.emit(self.key)
