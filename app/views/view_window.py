"""One window beside the main one: fed only while it is seen, and remembered where it stood."""

from __future__ import annotations

from PySide6.QtCore import QByteArray, QRect, QSize, Qt, Signal
from PySide6.QtGui import QAction, QCloseEvent, QKeySequence, QShowEvent
from PySide6.QtWidgets import QVBoxLayout, QWidget

from app.views.view import View
from app.work.deferred import Deferred
from model.engine.comparison import Comparison

EDGE = 24


class ViewWindow(QWidget):
    """Holds one view. Escape or Ctrl+W closes it, and the main window has the keyboard again."""

    closed = Signal(str)

    def __init__(self, key: str, view: View, parent: QWidget) -> None:
        super().__init__(parent, Qt.WindowType.Window)
        self.key, self.view = key, view
        self._newest: Comparison | None = None
        self._fed: Comparison | None = None
        self._feed = Deferred(view.wait_ms, view.longest_wait_ms, self)
        self._feed.due.connect(self.feed)
        self.setWindowTitle(f"{view.title} – Counterpoise")
        self.setObjectName(key)
        self.setAccessibleName(view.title)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(6, 6, 6, 6)
        whole.addWidget(view)
        close = QAction("Close", self)
        close.setShortcuts(
            [QKeySequence(Qt.Key.Key_Escape), QKeySequence(QKeySequence.StandardKey.Close)]
        )
        close.triggered.connect(self.close)
        self.addAction(close)

    def show_comparison(self, comparison: Comparison | None) -> None:
        """Follow a newer comparison, soon if this window is seen, else once it is."""
        self._newest = comparison
        if self.isVisible():
            self._feed.ask()

    def feed(self) -> None:
        """Show the newest comparison now."""
        self._feed.forget()
        if self._newest is not None and self._newest is not self._fed:
            self._fed = self._newest
            self.view.show_comparison(self._newest)

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
        focused = self.focusWidget()
        if focused is not None:
            # What is being typed counts before the window goes.
            focused.clearFocus()
        self._feed.forget()
        self._fed = None
        self.view.stop()
        event.accept()
        self.closed.emit(self.key)
