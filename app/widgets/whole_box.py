"""A whole number with arrows beside it."""

from __future__ import annotations

from PySide6.QtGui import QValidator
from PySide6.QtWidgets import QSpinBox


class WholeBox(QSpinBox):
    """Takes no decimals: 7,5 never becomes 75, it stands until it is left and is then let go."""

    def validate(self, text: str, at: int) -> object:
        if "," in text or "." in text:
            return QValidator.State.Intermediate, text, at
        return super().validate(text, at)

    def fixup(self, text: str) -> str:
        # Qt's own takes a comma for one between thousands, and leaves it out.
        return str(self.value()) if "," in text or "." in text else text
