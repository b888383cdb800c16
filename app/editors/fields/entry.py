"""One reading to type in: the number with any unit, and the sentence of what was understood."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QWidget

from app.editors.fields.line import LineEdit
from model.editing.units import EntryError, read_entry

ENTRY_CHARACTERS = 12
# What a bare number means here changes with the units shown.
FOLLOW_UNITS_SHOWN = ("kg", "°C")


class EntryLine(LineEdit):
    """A line that reads its text in one unit; empty means nothing was read."""

    changed = Signal()

    def __init__(self, name: str, unit: str, bare: str = "", parent: QWidget | None = None) -> None:
        super().__init__(ENTRY_CHARACTERS, parent)
        self._unit, self._bare = unit, ""
        self.fault = ""
        self.sentence = ""
        self.reading: float | None = None
        self.setAccessibleName(name)
        self.set_bare(bare)
        self.textChanged.connect(self._on_text_changed)

    def set_bare(self, bare: str) -> None:
        """Read a number without a unit in this one from now on."""
        self._bare = bare
        self.setPlaceholderText(bare or self._unit)

    @property
    def spelled(self) -> str:
        """What was typed, a bare number with the unit it was read in."""
        text = self.text().strip()
        is_bare = self._unit in FOLLOW_UNITS_SHOWN and text[-1:].isdecimal()
        return f"{text} {self._bare}" if is_bare else text

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
