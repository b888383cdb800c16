"""A sheet that hangs under the button that opens it, over what lies below; nothing is modal."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QObject, QPoint, Qt, Signal
from PySide6.QtGui import QColor, QKeyEvent, QPainter, QPaintEvent, QPalette
from PySide6.QtWidgets import (
    QAbstractButton,
    QApplication,
    QFrame,
    QScrollArea,
    QVBoxLayout,
    QWidget,
)

from app.widgets.tokens import tints

EDGE_PX = 8


class AnchoredSheet(QFrame):
    """Holds one widget; closes with Escape, with its button, or when the keyboard goes elsewhere.

    ``opened`` tells that it was opened or closed.
    """

    opened = Signal(bool)

    def __init__(self, content: QWidget, anchor: QAbstractButton, host: QWidget) -> None:
        super().__init__(host)
        self._content, self._anchor, self._host = content, anchor, host
        self.setBackgroundRole(QPalette.ColorRole.AlternateBase)
        self.setAutoFillBackground(True)
        self.setContentsMargins(1, 1, 1, 1)
        self.area = QScrollArea()
        self.area.setWidget(content)
        self.area.setWidgetResizable(True)
        self.area.setFrameShape(QFrame.Shape.NoFrame)
        self.area.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.area.viewport().setBackgroundRole(QPalette.ColorRole.AlternateBase)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.addWidget(self.area)
        self.hide()
        host.installEventFilter(self)
        content.installEventFilter(self)
        anchor.clicked.connect(self.toggle)
        application = QApplication.instance()
        assert isinstance(application, QApplication)
        application.focusChanged.connect(self._on_focus_changed)

    def toggle(self) -> None:
        """Open it, or close it."""
        if self.isVisible():
            self.close_sheet()
        else:
            self.open_sheet()
            self._content.setFocus()

    def open_sheet(self) -> None:
        """Show the sheet under its button."""
        if self.isHidden():
            self._place()
            self.show()
            self.raise_()
            self._place()
            self.opened.emit(True)

    def close_sheet(self) -> None:
        """Hide the sheet; what was being typed in it counts."""
        if self.isHidden():
            return
        focused = self.focusWidget()
        if focused is not None:
            focused.clearFocus()
        self.hide()
        self.opened.emit(False)

    def _place(self) -> None:
        corner = self._anchor.mapTo(self._host, QPoint(0, self._anchor.height()))
        room = self._host.rect().adjusted(EDGE_PX, 0, -EDGE_PX, -EDGE_PX)
        width = min(room.width(), self.fontMetrics().horizontalAdvance("0") * 120)
        left = max(min(corner.x(), room.right() - width), room.left())
        layout = self._content.layout()
        wanted = self._content.sizeHint().height()
        if layout is not None and layout.hasHeightForWidth():
            wanted = layout.totalHeightForWidth(width - 2)
        height = min(wanted + 2 + 2, room.bottom() - corner.y())
        self.setGeometry(left, corner.y(), width, height)

    def _on_focus_changed(self, old: QWidget | None, new: QWidget | None) -> None:
        if old is None or new is None or self.isHidden() or not self.isAncestorOf(old):
            return
        is_elsewhere = not self.isAncestorOf(new) and new is not self._anchor
        if is_elsewhere and new.window() is self.window():
            self.close_sheet()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if self.isVisible() and event.type() in (QEvent.Type.Resize, QEvent.Type.LayoutRequest):
            self._place()
        return super().eventFilter(watched, event)

    def paintEvent(self, event: QPaintEvent) -> None:
        with QPainter(self) as painter:
            painter.setPen(QColor(tints().quiet_text))
            painter.drawRect(self.rect().adjusted(0, 0, -1, -1))

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_Escape:
            self.close_sheet()
            self._anchor.setFocus()
        else:
            super().keyPressEvent(event)
