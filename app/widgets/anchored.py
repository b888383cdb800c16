"""A sheet that hangs under the button that opens it, over what lies below; nothing is modal."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QObject, QPoint, Qt, Signal
from PySide6.QtGui import QPalette
from PySide6.QtWidgets import (
    QAbstractButton,
    QFrame,
    QScrollArea,
    QVBoxLayout,
    QWidget,
)

from app.widgets.floating import Floating

EDGE_PX = 8


class AnchoredSheet(Floating):
    """Holds one widget; closes with Escape, with its button, or when the keyboard goes elsewhere.

    ``opening`` comes each time before it is laid out and shown; ``opened`` tells that it was opened
    or closed.
    """

    opening = Signal()
    opened = Signal(bool)

    def __init__(self, content: QWidget, anchor: QAbstractButton, host: QWidget) -> None:
        super().__init__(host)
        self._content, self._anchor, self._host = content, anchor, host
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
        host.installEventFilter(self)
        content.installEventFilter(self)
        anchor.clicked.connect(self.toggle)

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
            self.opening.emit()
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
            # Beside a scroll bar as well: one that was needed for a moment would stay otherwise.
            narrow = width - 2 - self.area.verticalScrollBar().sizeHint().width()
            wanted = layout.totalHeightForWidth(narrow)
        height = min(wanted + 2 + 2, room.bottom() - corner.y())
        self.setGeometry(left, corner.y(), width, height)

    def escape(self) -> None:
        """Close it; the keyboard goes back to its button."""
        self.close_sheet()
        self._anchor.setFocus()

    def keyboard_moved(self, old: QWidget, new: QWidget) -> None:
        """Close it when the keyboard left it or its button for anything else."""
        was_here = old is self._anchor or self.isAncestorOf(old)
        if was_here and not self.isAncestorOf(new) and new is not self._anchor:
            self.close_sheet()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if self.isVisible() and event.type() in (QEvent.Type.Resize, QEvent.Type.LayoutRequest):
            self._place()
        return super().eventFilter(watched, event)
