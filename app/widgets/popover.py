"""A small sheet that hangs over what it is about; nothing is modal, Escape or a cross closes it."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QEvent, QObject, QPoint, QRect, QSize, Qt, Signal
from PySide6.QtGui import QMouseEvent, QPalette
from PySide6.QtWidgets import (
    QApplication,
    QFrame,
    QHBoxLayout,
    QLabel,
    QScrollArea,
    QToolButton,
    QVBoxLayout,
    QWidget,
)

from app.widgets.floating import Floating

EDGE_PX, GAP_PX, SIDES_PX = 8, 6, 20
# A longer title goes on in a second line.
TITLE_CHARACTERS = 60


class Popover(Floating):
    """Holds one widget over the window it belongs to.

    It stays while the keyboard is in it or in ``stays_with``, its owner unless stated, and closes
    when it goes elsewhere, unless it ``is_held`` by something that would be lost; then ``closed``
    is told, and ``escaped`` before it where the key closed it. With ``scrolls`` what is higher than
    the window can be scrolled.
    """

    closed = Signal()
    escaped = Signal()

    def __init__(
        self,
        title: str,
        content: QWidget,
        owner: QWidget,
        *,
        scrolls: bool = False,
        stays_with: QWidget | None = None,
    ) -> None:
        super().__init__(owner)
        self._owner, self._content = owner, content
        self._stays_with = stays_with or owner
        self._about = QRect()
        self._is_beside = False
        self.is_held: Callable[[], bool] = _is_free
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
        whole.setContentsMargins(12, 8, SIDES_PX - 12, 10)
        whole.setSpacing(6)
        whole.addLayout(head)
        self._area: QScrollArea | None = None
        if scrolls:
            self._area = _area_around(content, title)
            whole.addWidget(self._area, 1)
        else:
            whole.addWidget(content)
        content.installEventFilter(self)

    def show_title(self, title: str) -> None:
        """Show another title."""
        self.setAccessibleName(title)
        self.heading.setText(title)
        self.heading.setWordWrap(len(title) > TITLE_CHARACTERS)
        self.cross.setAccessibleName(f"Close: {title}")

    def open_over(self, about: QRect, *, beside: bool = False) -> None:
        """Show it over a place, in the pixels of the screen; below it where there is no room.

        ``beside`` shows it to the right of the place instead, where there is room for that.
        """
        window = self._owner.window()
        if self.parentWidget() is not window:
            self.setParent(window)
            window.installEventFilter(self)
            handle = window.windowHandle()
            if handle is not None:
                # Presses come here first, also those on what takes no keyboard.
                handle.installEventFilter(self)
        self._about = QRect(window.mapFromGlobal(about.topLeft()), about.size())
        self._is_beside = beside
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
        room = self._owner.window().rect().adjusted(EDGE_PX, EDGE_PX, -EDGE_PX, -EDGE_PX)
        size = self._needed(room.size())
        about = self._about
        if self._is_beside and about.right() + GAP_PX + size.width() <= room.right():
            left = about.right() + GAP_PX
            is_high = about.center().y() < room.center().y()
            top = about.top() if is_high else about.bottom() - size.height()
        else:
            left = about.center().x() - size.width() // 2
            top = about.top() - GAP_PX - size.height()
            if top < room.top():
                top = about.bottom() + GAP_PX
        left = max(min(left, room.right() - size.width()), room.left())
        top = max(min(top, room.bottom() - size.height()), room.top())
        self.setGeometry(QRect(QPoint(left, top), size))

    def _needed(self, room: QSize) -> QSize:
        """Return the size that all in it needs, as far as there is room."""
        layout = self.layout()
        assert layout is not None
        if self._area is not None:
            # It does not tell by itself that what lies in it needs another size.
            self._area.updateGeometry()
        layout.activate()
        size = self.sizeHint()
        if self._area is not None:
            least_px = max(self._content.minimumWidth(), self._content.sizeHint().width())
            size.setWidth(max(size.width(), least_px + SIDES_PX))
        if layout.hasHeightForWidth():
            size.setHeight(layout.totalHeightForWidth(min(size.width(), room.width())))
        if self._area is not None:
            # An area has a size of its own; what lies in it is what needs the room.
            needed = _hint_of(self._content, min(size.width(), room.width()) - SIDES_PX)
            size += QSize(0, needed.height() - self._area.sizeHint().height())
            bar_px = self._area.verticalScrollBar().sizeHint().width()
            size += QSize(bar_px if size.height() > room.height() else 0, 0)
        return size.boundedTo(room)

    def escape(self) -> None:
        """Close it; the keyboard goes back to its owner."""
        self.escaped.emit()
        self.close_popover()

    def keyboard_moved(self, old: QWidget, new: QWidget) -> None:
        """Close it unless the keyboard is in it or in what it stays with."""
        kept = (self, self._stays_with)
        if not any(each is new or each.isAncestorOf(new) for each in kept) and not self.is_held():
            self.close_popover()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if self.isVisible():
            if isinstance(event, QMouseEvent) and event.type() == QEvent.Type.MouseButtonPress:
                self._pressed_at(event.globalPosition().toPoint())
            elif event.type() == QEvent.Type.Resize and watched is not self._content:
                self.close_popover()
            elif event.type() == QEvent.Type.LayoutRequest and watched is self._content:
                self._place()
        return super().eventFilter(watched, event)

    def _pressed_at(self, at: QPoint) -> None:
        """Close it at a press elsewhere, on something that takes no keyboard as well."""
        kept = (self, self._stays_with)
        is_kept = any(each.rect().contains(each.mapFromGlobal(at)) for each in kept)
        if not is_kept and not self.is_held():
            self.close_popover()


def _is_free() -> bool:
    return False


def _area_around(content: QWidget, name: str) -> QScrollArea:
    area = QScrollArea()
    area.setWidget(content)
    area.setWidgetResizable(True)
    area.setFrameShape(QFrame.Shape.NoFrame)
    area.setFocusPolicy(Qt.FocusPolicy.NoFocus)
    # As low as what lies in it, however little that is.
    area.setMinimumHeight(1)
    area.setAccessibleName(name)
    area.viewport().setBackgroundRole(QPalette.ColorRole.AlternateBase)
    return area


def _hint_of(content: QWidget, width_px: int) -> QSize:
    """Return the size a widget needs in a width, as high as its wrapped words are."""
    layout, size = content.layout(), content.sizeHint()
    size.setWidth(width_px)
    if layout is not None and layout.hasHeightForWidth():
        size.setHeight(layout.totalHeightForWidth(size.width()))
    return size
