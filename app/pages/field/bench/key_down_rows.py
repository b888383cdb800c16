"""Rows for what was read with the key down: watts, amperes, and volts at both ends of the lead."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QGridLayout, QLabel, QVBoxLayout, QWidget

from app.editors.fields.editor import NoteLabel
from app.editors.fields.entry import EntryLine
from app.widgets.number_text import quantity
from model.field.bench_sheet import KeyDownReading, misses
from model.support.figures import percent

ROWS = 5
LARGE_MISS = 0.1
COLUMNS = (("RF power", "W"), ("current", "A"), ("voltage at the radio", "V"),
           ("voltage at the battery", "V"))  # fmt: skip


class KeyDownRows(QWidget):
    """A few rows of readings, and how far the law through them misses each."""

    changed = Signal()

    def __init__(self, owner: str, held: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._rows: list[list[EntryLine]] = []
        self._note = NoteLabel()
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        title = QLabel(f"{owner}: {held}")
        title.setTextFormat(Qt.TextFormat.PlainText)
        title.setWordWrap(True)
        whole.addWidget(title)
        grid = QGridLayout()
        for column, (words, _) in enumerate(COLUMNS):
            grid.addWidget(QLabel(f"{words[:1].upper()}{words[1:]}"), 0, column)
        for number in range(ROWS):
            row = [
                EntryLine(f"{owner}: {words}, row {number + 1}", unit) for words, unit in COLUMNS
            ]
            for column, line in enumerate(row):
                grid.addWidget(line, number + 1, column)
                line.changed.connect(self._on_changed)
            self._rows.append(row)
        grid.setColumnStretch(len(COLUMNS), 1)
        whole.addLayout(grid)
        whole.addWidget(self._note)

    def lines(self) -> dict[str, EntryLine]:
        """Return every line by its row and column, counted from 0."""
        return {
            f"{row}.{column}": line
            for row, lines in enumerate(self._rows)
            for column, line in enumerate(lines)
        }

    def points(self) -> tuple[KeyDownReading, ...]:
        """Return the rows that hold watts and amperes."""
        return tuple(
            KeyDownReading(rf.reading, amps.reading, at_set.reading, at_battery.reading)
            for rf, amps, at_set, at_battery in self._rows
            if rf.reading is not None and amps.reading is not None
        )

    def faults(self) -> list[str]:
        """Return what cannot be read, and rows that are half filled."""
        faults = [line.fault for row in self._rows for line in row if line.fault]
        for number, row in enumerate(self._rows, start=1):
            filled = [line.reading is not None for line in row]
            if any(filled) and not all(filled[:2]):
                faults.append(f"Key down, row {number}: enter power and current.")
        return faults

    def _on_changed(self) -> None:
        points = self.points()
        lines: list[str] = []
        if len({point.rf_w for point in points}) >= 2:
            rows = misses(tuple((point.rf_w, point.current_a) for point in points))
            lines = [
                f"{quantity(rf_w, 'W', 1)}: the law gives {quantity(law_a, 'A', 2)},"
                f" {_miss_words(miss)}"
                for rf_w, law_a, miss in rows
            ]
            far = any(abs(miss) > LARGE_MISS for *_, miss in rows)
            self._note.show_lines("warning" if far else "hint", lines)
        else:
            self._note.show_lines("hint", ["At least two powers."] if points else [])
        self.changed.emit()


def _miss_words(miss: float) -> str:
    if abs(miss) < 0.005:
        return "as measured."
    return f"{percent(abs(miss))} {'more' if miss > 0 else 'less'} than measured."
