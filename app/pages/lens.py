"""A view beside the builders: it is fed newer comparisons only while it is seen."""

from __future__ import annotations

from PySide6.QtGui import QHideEvent, QShowEvent
from PySide6.QtWidgets import QVBoxLayout, QWidget

from app.pages.view import View
from app.widgets.tokens import GRID_PX
from app.work.deferred import Deferred
from model.engine.comparison import Comparison


class Lens(QWidget):
    """Keeps the newest comparison for its view, and ends its work once it is out of sight."""

    def __init__(self, key: str, view: View, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.key, self.view = key, view
        self._newest: Comparison | None = None
        self._fed: Comparison | None = None
        self._is_stale = self._is_painted = False
        self._feed = Deferred(view.wait_ms, view.longest_wait_ms, self)
        self._feed.due.connect(self.feed)
        self.setObjectName(key)
        self.setAccessibleName(view.title)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(GRID_PX, GRID_PX // 2, GRID_PX, GRID_PX // 2)
        whole.addWidget(view)

    def take_focus(self) -> None:
        """Give its view the keyboard."""
        self.view.take_focus()

    def show_comparison(self, comparison: Comparison | None) -> None:
        """Follow a newer comparison, soon if the view is seen, else once it is."""
        self._newest = comparison
        if self.isVisible():
            self._feed.ask()

    def show_again(self) -> None:
        """Show the same comparison once more: what else the view looks at has changed."""
        self._is_stale = True
        if self.isVisible():
            self._feed.ask()

    def feed(self) -> None:
        """Show the newest comparison now."""
        self._feed.forget()
        if self._newest is not None and (self._is_stale or self._newest is not self._fed):
            self._fed, self._is_stale = self._newest, False
            self.view.show_comparison(self._newest)

    def rest(self) -> None:
        """Take what is being typed, and end what works beside the window."""
        focused = self.focusWidget()
        if focused is not None and self.isAncestorOf(focused):
            focused.clearFocus()
        self._feed.forget()
        if self._fed is not None:
            self._fed = None
            self.view.rest()

    def end(self) -> None:
        """Rest, and wait for what works: to be called before the window goes."""
        self.rest()
        self.view.stop()

    def showEvent(self, event: QShowEvent) -> None:
        super().showEvent(event)
        if event.spontaneous():
            return
        if self._is_painted:
            self.feed()
        else:
            # What it is made of is painted first: to do all of it at once holds up the keys.
            self._is_painted = True
            self._feed.soon()

    def hideEvent(self, event: QHideEvent) -> None:
        super().hideEvent(event)
        if not event.spontaneous():
            self.rest()
