"""Which paper pages are for."""

from __future__ import annotations

from PySide6.QtWidgets import QComboBox, QWidget

from app.printing.paper import PaperName
from app.state.display import Display

PAPERS: dict[str, PaperName] = {"A4": "a4", "Letter": "letter"}


class PaperChoice(QComboBox):
    """A4 or Letter; at first the one that goes with the units shown."""

    def __init__(self, display: Display, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.addItems(list(PAPERS))
        self.setCurrentText("Letter" if display.is_us else "A4")
        self.setAccessibleName("paper")

    @property
    def paper(self) -> PaperName:
        """The paper chosen."""
        return PAPERS[self.currentText()]
