"""Which column of a table of reports holds what: by its heading, or as a person chooses."""

from __future__ import annotations

from collections.abc import Mapping

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QGridLayout, QLabel, QWidget

from app.editors.fields.choices import QuietCombo
from model.reception.table_reading import COLUMNS

BY_HEADING = "by its heading"
LABELS = {
    "time": "Time", "snr_db": "SNR, dB", "power": "Transmit power", "mode": "Mode", "band": "Band",
    "frequency_mhz": "Frequency, MHz",
}  # fmt: skip
ACROSS = 2
# A table may have very long headings.
SHOWN_LENGTH = 40


class ColumnsForm(QWidget):
    """A choice for each column that is looked for; hidden before there is a table."""

    chosen = Signal(object)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.choices: dict[str, QuietCombo] = {}
        grid = QGridLayout(self)
        grid.setContentsMargins(0, 0, 0, 0)
        for place, column in enumerate(COLUMNS):
            combo = QuietCombo()
            combo.setSizeAdjustPolicy(
                QuietCombo.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon
            )
            combo.setMinimumContentsLength(len(BY_HEADING))
            label = QLabel(LABELS[column.key])
            label.setBuddy(combo)
            combo.setAccessibleName(f"column of {LABELS[column.key]}")
            row, across = divmod(place, ACROSS)
            grid.addWidget(label, row, 2 * across)
            grid.addWidget(combo, row, 2 * across + 1)
            combo.activated.connect(self._on_activated)
            self.choices[column.key] = combo
        grid.setColumnStretch(2 * ACROSS, 1)
        self.hide()

    def show_heads(self, heads: tuple[str, ...], kept: Mapping[str, str]) -> None:
        """Offer the headings of a table; one that was chosen before is chosen if it is there."""
        for key, combo in self.choices.items():
            combo.clear()
            combo.addItem(BY_HEADING, "")
            for head in filter(None, dict.fromkeys(heads)):
                combo.addItem(" ".join(head.split())[:SHOWN_LENGTH], head)
            combo.setCurrentIndex(max(combo.findData(kept.get(key, "")), 0))

    @property
    def mapping(self) -> dict[str, str]:
        """The headings chosen, by what they hold."""
        named = {key: str(combo.currentData() or "") for key, combo in self.choices.items()}
        return {key: head for key, head in named.items() if head}

    def _on_activated(self, _row: int) -> None:
        self.chosen.emit(self.mapping)
