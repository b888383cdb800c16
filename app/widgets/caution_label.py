"""A caution in words, beside what it concerns."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import Qt
from PySide6.QtGui import QPalette
from PySide6.QtWidgets import QLabel, QWidget

from model.scenario.cautions import Caution


class CautionLabel(QLabel):
    """Sentences with a warning sign; hidden while there are none."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setTextFormat(Qt.TextFormat.PlainText)
        self.setWordWrap(True)
        self.setForegroundRole(QPalette.ColorRole.WindowText)
        self.hide()

    def show_cautions(
        self, cautions: tuple[Caution, ...], said: Callable[[str], str] = str
    ) -> None:
        """Show one caution a line; ``said`` puts its quantities into the units shown."""
        text = said("\n".join(f"⚠ {each.text}" for each in cautions))
        if text != self.text():
            self.setText(text)
            self.setVisible(bool(text))
