"""A ring around what the keyboard is in, that is seen on every ground."""

from __future__ import annotations

from PySide6.QtCore import QObject, Qt
from PySide6.QtGui import QColor, QGuiApplication, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import (
    QApplication,
    QFocusFrame,
    QProxyStyle,
    QStyle,
    QStyleHintReturn,
    QStyleOption,
    QWidget,
)
from shiboken6 import isValid

from app.widgets.tokens import tints

RING_PX = 2


class FocusRing(QObject):
    """Follows the keyboard through all windows; a press of the pointer takes the ring away.

    What shows by itself where the keyboard is has ``shows_focus``.
    """

    def __init__(self, parent: QObject) -> None:
        super().__init__(parent)
        self._ring: _Ring | None = None
        application = QApplication.instance()
        assert isinstance(application, QApplication)
        application.focusChanged.connect(self._on_focus_changed)

    def _on_focus_changed(self, old: QWidget | None, new: QWidget | None) -> None:
        if self._ring is not None and isValid(self._ring):
            self._ring.setWidget(None)  # type: ignore[arg-type]  # None lets go of what it is about
            self._ring.deleteLater()
        self._ring = None
        is_pressed = QGuiApplication.mouseButtons() != Qt.MouseButton.NoButton
        # A window that opens or comes back gives the keyboard to something nobody went to.
        if old is None or new is None or is_pressed or getattr(new, "shows_focus", False):
            return
        self._ring = _Ring(new)
        self._ring.setWidget(new)


class _Above(QProxyStyle):
    """A ring lies over what is around, and is not cut off where the row of a button ends."""

    def styleHint(  # noqa: N802
        self,
        hint: QStyle.StyleHint,
        option: QStyleOption | None = None,
        widget: QWidget | None = None,
        returnData: QStyleHintReturn | None = None,  # noqa: N803
    ) -> int:
        if hint == QStyle.StyleHint.SH_FocusFrame_AboveWidget:
            return 1
        return super().styleHint(hint, option, widget, returnData)


class _Ring(QFocusFrame):
    """The ring; Qt itself lets it follow what it is about, which may go at any time."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        above = _Above("fusion")
        # A style belongs to nobody by itself: this one goes after its ring.
        above.setParent(self)
        self.setStyle(above)

    def paintEvent(self, event: QPaintEvent) -> None:
        with QPainter(self) as painter:
            painter.setPen(QPen(QColor(tints(self.palette()).accent), RING_PX))
            painter.drawRect(self.rect().adjusted(1, 1, -1, -1))
