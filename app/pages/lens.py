"""What holds a view beside the builders: it is fed only while it is seen."""

from __future__ import annotations

from PySide6.QtGui import QHideEvent, QShowEvent
from PySide6.QtWidgets import QVBoxLayout, QWidget

from app.views.view import View
from app.work.deferred import Deferred
from model.engine.comparison import Comparison


class Lens(QWidget):
    """Holds one view, shows it newer comparisons while it is seen, and ends its work else."""

    def __init__(self, key: str, view: View, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.key, self.view = key, view
        self._newest: Comparison | None = None
        self._fed: Comparison | None = None
        self._feed = Deferred(view.wait_ms, view.longest_wait_ms, self)
        self._feed.due.connect(self.feed)
        self.setObjectName(key)
        self.setAccessibleName(view.title)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(8, 4, 8, 4)
        whole.addWidget(view)
        self.setFocusProxy(view)

    def show_comparison(self, comparison: Comparison | None) -> None:
        """Follow a newer comparison, soon if this lens is seen, else once it is."""
        self._newest = comparison
        if self.isVisible():
            self._feed.ask()

    def feed(self) -> None:
        """Show the newest comparison now."""
        self._feed.forget()
        if self._newest is not None and self._newest is not self._fed:
            self._fed = self._newest
            self.view.show_comparison(self._newest)

    def rest(self) -> None:
        """Take what is being typed, and end what works beside the window."""
        focused = self.focusWidget()
        if focused is not None and self.isAncestorOf(focused):
            focused.clearFocus()
        self._feed.forget()
        if self._fed is not None:
            self._fed = None
            self.view.stop()

    def showEvent(self, event: QShowEvent) -> None:
        super().showEvent(event)
        if not event.spontaneous():
            self.feed()

    def hideEvent(self, event: QHideEvent) -> None:
        super().hideEvent(event)
        if not event.spontaneous():
            self.rest()
