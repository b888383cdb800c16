"""Which paper pages are for."""

from __future__ import annotations

from PySide6.QtWidgets import QComboBox, QWidget

from app.printing.paper import PaperName, paper_with
from app.state.display import Display

LABELS: dict[PaperName, str] = {"a4": "A4", "letter": "Letter"}


class PaperChoice(QComboBox):
    """A4 or Letter; at first the one that goes with the units shown."""

    def __init__(self, display: Display, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        for name, label in LABELS.items():
            self.addItem(label, name)
        self.setCurrentText(LABELS[paper_with(us=display.is_us)])
        self.setAccessibleName("paper")

    @property
    def paper(self) -> PaperName:
        """The paper chosen."""
        chosen: PaperName = self.currentData()
        return chosen
