"""One reading to type in: the number with any unit, and the sentence of what was understood."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QWidget

from app.fields.line import Line
from model.quantity_entry import EntryError, read_entry

ENTRY_CHARACTERS = 12


class EntryLine(Line):
    """A line that reads its text in one unit; empty means nothing was read."""

    changed = Signal()

    def __init__(self, name: str, unit: str, bare: str = "", parent: QWidget | None = None) -> None:
        super().__init__(ENTRY_CHARACTERS, parent)
        self._unit, self._bare = unit, bare
        self.fault = ""
        self.sentence = ""
        self.reading: float | None = None
        self.setAccessibleName(name)
        self.setPlaceholderText(bare or unit)
        self.textChanged.connect(self._on_text_changed)

    def _on_text_changed(self, text: str) -> None:
        self.fault, self.sentence, self.reading = "", "", None
        if text.strip():
            try:
                entry = read_entry(text, self._unit, bare=self._bare)
            except EntryError as error:
                self.fault = str(error)
            else:
                self.sentence, self.reading = entry.sentence, entry.value
        self.mark(bool(self.fault))
        self.changed.emit()
