"""A ring around what the keyboard is in, that is seen on every ground."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QObject, QPoint, QRect, Qt
from PySide6.QtGui import QColor, QGuiApplication, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QAbstractItemView, QAbstractScrollArea, QApplication, QWidget
from shiboken6 import isValid

from app.widgets.floating import Floating
from app.widgets.tokens import tints

RING_PX, GAP_PX = 2, 1


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
            self._ring.hide()
            self._ring.deleteLater()
        self._ring = None
        is_pressed = QGuiApplication.mouseButtons() != Qt.MouseButton.NoButton
        # A window that opens or comes back gives the keyboard to something nobody went to.
        if old is None or new is None or is_pressed or getattr(new, "shows_focus", False):
            return
        self._ring = _Ring(new)


class _Ring(QWidget):
    """The ring around one widget, or the chosen cell of one."""

    def __init__(self, about: QWidget) -> None:
        super().__init__(_ground_of(about))
        self._about = about
        self.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)
        # What is painted anew may have moved, or another cell of it may have been chosen.
        self._seen = about.viewport() if isinstance(about, QAbstractScrollArea) else about
        self._seen.installEventFilter(self)
        self._follow()
        self.show()
        self.raise_()

    def _follow(self) -> None:
        place, about = self._about.rect(), self._about
        if isinstance(about, QAbstractItemView) and about.currentIndex().isValid():
            seen = about.viewport()
            cell = about.visualRect(about.currentIndex()).intersected(seen.rect())
            place = QRect(seen.mapTo(about, cell.topLeft()), cell.size())
        ground = self.parentWidget()
        assert ground is not None
        corner = ground.mapFromGlobal(about.mapToGlobal(QPoint(place.topLeft())))
        wide = RING_PX + GAP_PX
        around = QRect(corner, place.size()).adjusted(-wide, -wide, wide, wide)
        around &= ground.rect()
        if around != self.geometry():
            self.setGeometry(around)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if event.type() in (QEvent.Type.Paint, QEvent.Type.Move, QEvent.Type.Resize):
            self._follow()
        return False

    def paintEvent(self, event: QPaintEvent) -> None:
        with QPainter(self) as painter:
            painter.setPen(QPen(QColor(tints(self.palette()).accent), RING_PX))
            painter.drawRect(self.rect().adjusted(1, 1, -1, -1))


def _ground_of(about: QWidget) -> QWidget:
    """Return what a ring lies on, so that it scrolls and is covered with what it is about."""
    ground = about.parentWidget() or about
    while not (ground.isWindow() or isinstance(ground, Floating)):
        around = ground.parentWidget()
        assert around is not None
        if isinstance(around.parentWidget(), QAbstractScrollArea):
            break
        ground = around
    return ground
