"""A small sheet that hangs over what it is about; nothing is modal, Escape or a cross closes it."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QObject, QPoint, QRect, Qt, Signal
from PySide6.QtWidgets import (
    QApplication,
    QHBoxLayout,
    QLabel,
    QToolButton,
    QVBoxLayout,
    QWidget,
)

from app.widgets.floating import Floating

EDGE_PX, GAP_PX = 8, 6


class Popover(Floating):
    """Holds one widget over the window it belongs to.

    It stays while the keyboard is in it or in its owner, and closes when it goes elsewhere; then
    ``closed`` is told.
    """

    closed = Signal()

    def __init__(self, title: str, content: QWidget, owner: QWidget) -> None:
        super().__init__(owner)
        self._owner, self._content = owner, content
        self._about = QRect()
        self.setAccessibleName(title)
        self.heading = QLabel(title)
        font = self.heading.font()
        font.setBold(True)
        self.heading.setFont(font)
        self.heading.setTextFormat(Qt.TextFormat.PlainText)
        self.cross = QToolButton()
        self.cross.setText("✕")
        self.cross.setAutoRaise(True)
        self.cross.setToolTip("Close (Esc)")
        self.cross.setAccessibleName(f"Close: {title}")
        self.cross.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        self.cross.clicked.connect(self.close_popover)
        head = QHBoxLayout()
        head.addWidget(self.heading, 1)
        head.addWidget(self.cross)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(12, 8, 8, 10)
        whole.setSpacing(6)
        whole.addLayout(head)
        whole.addWidget(content)
        content.installEventFilter(self)

    def open_over(self, about: QRect) -> None:
        """Show it over a place, in the pixels of the screen; below it where there is no room."""
        window = self._owner.window()
        if self.parentWidget() is not window:
            self.setParent(window)
            window.installEventFilter(self)
        self._about = QRect(window.mapFromGlobal(about.topLeft()), about.size())
        self._place()
        self.show()
        self.raise_()

    def close_popover(self) -> None:
        """Hide it; what was being typed in it counts."""
        if self.isHidden():
            return
        focused = QApplication.focusWidget()
        is_inside = focused is not None and self.isAncestorOf(focused)
        if is_inside and focused is not None:
            focused.clearFocus()
        self.hide()
        if is_inside:
            self._owner.setFocus()
        self.closed.emit()

    def _place(self) -> None:
        self.adjustSize()
        room = self._owner.window().rect().adjusted(EDGE_PX, EDGE_PX, -EDGE_PX, -EDGE_PX)
        size = self.sizeHint().boundedTo(room.size())
        top = self._about.top() - GAP_PX - size.height()
        if top < room.top():
            top = min(self._about.bottom() + GAP_PX, room.bottom() - size.height())
        left = self._about.center().x() - size.width() // 2
        left = max(min(left, room.right() - size.width()), room.left())
        self.setGeometry(QRect(QPoint(left, max(top, room.top())), size))

    def escape(self) -> None:
        """Close it; the keyboard goes back to its owner."""
        self.close_popover()

    def keyboard_moved(self, old: QWidget, new: QWidget) -> None:
        """Close it unless the keyboard is in it or in its owner."""
        kept = (self, self._owner)
        if not any(each is new or each.isAncestorOf(new) for each in kept):
            self.close_popover()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if self.isVisible():
            if event.type() == QEvent.Type.Resize and watched is not self._content:
                self.close_popover()
            elif event.type() == QEvent.Type.LayoutRequest and watched is self._content:
                self._place()
        return super().eventFilter(watched, event)
