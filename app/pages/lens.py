"""A view beside the builders: it is fed only while it is seen."""

from __future__ import annotations

from PySide6.QtGui import QHideEvent, QShowEvent
from PySide6.QtWidgets import QWidget

from app.pages.holder import Holder
from app.pages.view import View


class Lens(Holder):
    """Holds one view, shows it newer comparisons while it is seen, and ends its work else."""

    def __init__(self, key: str, view: View, parent: QWidget | None = None) -> None:
        super().__init__(key, view, parent)
        self.whole.setContentsMargins(8, 4, 8, 4)
        self.setFocusProxy(view)

    def showEvent(self, event: QShowEvent) -> None:
        super().showEvent(event)
        if not event.spontaneous():
            self.feed()

    def hideEvent(self, event: QHideEvent) -> None:
        super().hideEvent(event)
        if not event.spontaneous():
            self.rest()
