"""A button beside a row of the log."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QPushButton


class PlaceButton(QPushButton):
    """A button that knows which row it stands in."""

    chosen = Signal(int)

    def __init__(self, words: str, place: int) -> None:
        super().__init__(words)
        self._place = place
        self.clicked.connect(self._on_clicked)

    def _on_clicked(self) -> None:
        self.chosen.emit(self._place)
