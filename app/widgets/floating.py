"""What the sheets that hang over a window share: their ground and rim, and when they close."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtGui import QColor, QKeyEvent, QPainter, QPaintEvent, QPalette
from PySide6.QtWidgets import QApplication, QFrame, QWidget

from app.widgets.tokens import tints


class Floating(QFrame):
    """Hidden at first; Escape and a keyboard that goes elsewhere close it. Nothing is modal."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self.setBackgroundRole(QPalette.ColorRole.AlternateBase)
        self.setAutoFillBackground(True)
        self.hide()
        application = QApplication.instance()
        assert isinstance(application, QApplication)
        application.focusChanged.connect(self._on_focus_changed)

    def escape(self) -> None:
        """Close it at the key; the keyboard goes back to where it came from."""

    def keyboard_moved(self, old: QWidget, new: QWidget) -> None:
        """Close it where the keyboard went elsewhere in its window; it is seen now."""

    def _on_focus_changed(self, old: QWidget | None, new: QWidget | None) -> None:
        if old is None or new is None or self.isHidden() or new.window() is not self.window():
            return
        self.keyboard_moved(old, new)

    def paintEvent(self, event: QPaintEvent) -> None:
        with QPainter(self) as painter:
            painter.setPen(QColor(tints().quiet_text))
            painter.drawRect(self.rect().adjusted(0, 0, -1, -1))

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_Escape:
            self.escape()
        else:
            super().keyPressEvent(event)
