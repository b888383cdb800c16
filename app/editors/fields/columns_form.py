"""Which column of a table holds what: by its heading, or as a person chooses."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QGridLayout, QLabel, QWidget

from app.editors.fields.choices import QuietCombo
from model.files.column_mapping import Column

ACROSS = 2
# A table may have very long headings.
SHOWN_LENGTH = 40


class ColumnsForm(QWidget):
    """A choice for each column that is looked for; hidden before there is a table.

    Attributes
    ----------
    choices : of each column, by its key.
    """

    chosen = Signal(object)

    def __init__(
        self, columns: Sequence[Column], none_chosen: str, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self.choices: dict[str, QuietCombo] = {}
        self._none_chosen = none_chosen
        grid = QGridLayout(self)
        grid.setContentsMargins(0, 0, 0, 0)
        for place, column in enumerate(columns):
            combo = QuietCombo()
            combo.setSizeAdjustPolicy(
                QuietCombo.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon
            )
            combo.setMinimumContentsLength(len(none_chosen))
            label = QLabel(column.label)
            label.setBuddy(combo)
            combo.setAccessibleName(f"column of {column.label}")
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
            combo.addItem(self._none_chosen, "")
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
