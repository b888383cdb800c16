"""One reading to type in: when, and what the meters say."""

from __future__ import annotations

from collections.abc import Mapping

from PySide6.QtCore import Signal
from PySide6.QtWidgets import (
    QCheckBox,
    QComboBox,
    QGridLayout,
    QLabel,
    QLineEdit,
    QPushButton,
    QWidget,
)

from app.editors.fields.editor import NoteLabel
from app.editors.fields.entry import EntryLine
from app.editors.fields.line import LineEdit
from model.editing.faults import ScenarioError
from model.editing.paths import with_inserted
from model.field.field_words import EVENT_WORDS
from model.results.wording import capital
from model.scenario.scenario import Scenario
from model.scenario.station import FieldReading

NUMBERS = (
    ("used_ah", "Used since full", "Ah"), ("battery_v", "Battery voltage", "V"),
    ("panel_a", "Panel current", "A"), ("load_a", "Load current, receiving", "A"),
)  # fmt: skip


class ReadingForm(QWidget):
    """Date, time, numbers and what was seen; tells each reading that can be one."""

    changed = Signal()
    add_wanted = Signal(object)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._day, self._time = QComboBox(), LineEdit(6)
        self._lines = {key: EntryLine(words.lower(), unit) for key, words, unit in NUMBERS}
        self._rested = QCheckBox("at rest for 30 minutes")
        self._seen = QComboBox()
        for event, words in EVENT_WORDS.items():
            self._seen.addItem(capital(words), event)
        self._note = QLineEdit()
        self._said = NoteLabel()
        self.add_button = QPushButton("Add to the log")
        self._lay_out()
        self._day.currentIndexChanged.connect(self._on_changed)
        self._time.textChanged.connect(self._on_changed)
        for entry in self._lines.values():
            entry.changed.connect(self._on_changed)
        self._rested.toggled.connect(self._on_changed)
        self._seen.currentIndexChanged.connect(self._on_changed)
        self._note.textChanged.connect(self._on_changed)
        self.add_button.clicked.connect(self._on_add)
        self._on_changed()

    def _lay_out(self) -> None:
        grid = QGridLayout(self)
        grid.setContentsMargins(0, 0, 0, 0)
        self._time.setPlaceholderText("12:00")
        self._note.setMaxLength(200)
        rows: list[tuple[str, QWidget]] = [("Date", self._day), ("Time", self._time)]
        rows += [(words, self._lines[key]) for key, words, _ in NUMBERS]
        rows += [("Seen", self._seen), ("Note", self._note)]
        for row, (words, editor) in enumerate(rows):
            label = QLabel(words)
            label.setBuddy(editor)
            editor.setAccessibleName(f"reading, {words.lower()}")
            grid.addWidget(label, row, 0)
            grid.addWidget(editor, row, 1)
        grid.addWidget(self._rested, 3, 2)
        grid.addWidget(self.add_button, len(rows), 1)
        grid.addWidget(self._said, len(rows) + 1, 0, 1, 3)
        grid.setColumnStretch(2, 1)
        # The date is the one of the reading before, mostly.
        self.first: QWidget = self._time

    def show_dates(self, dates: tuple[str, ...]) -> None:
        """Offer these dates to choose from; the one chosen stays while it is among them."""
        if tuple(map(self._day.itemText, range(self._day.count()))) == dates:
            return
        chosen = max(self._day.currentIndex(), 0)
        self._day.clear()
        self._day.addItems(dates)
        self._day.setCurrentIndex(min(chosen, len(dates) - 1))

    def reading(self, scenario: Scenario) -> tuple[FieldReading | None, str]:
        """Return what was typed, or none and why; an empty form has no why."""
        faults = [line.fault for line in self._lines.values() if line.fault]
        if faults:
            return None, faults[0]
        given = {key: line.reading for key, line in self._lines.items() if line.reading is not None}
        event = self._seen.currentData()
        if not self._time.text().strip() or (not given and event == "none"):
            return None, ""
        table = {"at": _padded(self._time.text()), "at_rest": self._rested.isChecked(), **given}
        table["event"] = event
        table |= {"day": self._day.currentIndex() + 1, "note": self._note.text().strip()}
        try:
            held = len(scenario.stations[0].readings)
            tried = with_inserted(scenario, "stations.0.readings", held, table)
        except ScenarioError as error:
            return None, f"{error.faults[0].message[:1].upper()}{error.faults[0].message[1:]}."
        return tried.stations[0].readings[-1], ""

    def show_note(self, level: str, lines: list[str]) -> None:
        """Say what the reading would mean, or why it is none."""
        self._said.show_lines(level, lines)

    def typed(self) -> dict[str, str]:
        """Return what stands in the form as text; nothing where only a date is chosen."""
        lines = {"time": self._time, **self._lines, "note": self._note}
        found = {key: line.text() for key, line in lines.items() if line.text().strip()}
        if self._rested.isChecked():
            found["rested"] = "yes"
        if self._seen.currentIndex() > 0:
            found["seen"] = str(self._seen.currentData())
        return {**found, "date": str(self._day.currentIndex())} if found else {}

    def fill_in(self, typed: Mapping[str, str]) -> None:
        """Show what was typed before; an empty form for nothing."""
        for key, line in {"time": self._time, **self._lines, "note": self._note}.items():
            line.setText(typed.get(key, ""))
        self._rested.setChecked("rested" in typed)
        self._seen.setCurrentIndex(max(self._seen.findData(typed.get("seen", "none")), 0))
        day = typed.get("date", "")
        if day.isdecimal() and int(day) < self._day.count():
            self._day.setCurrentIndex(int(day))

    def clear(self) -> None:
        """Be ready for the next reading, on the same date."""
        self.fill_in({})

    def _on_changed(self, *_: object) -> None:
        self.changed.emit()

    def _on_add(self) -> None:
        self.add_wanted.emit(self)


def _padded(clock: str) -> str:
    """Return ``7:05`` as ``07:05``; anything else as it was typed."""
    text = clock.strip().replace(".", ":")
    return f"0{text}" if len(text) == 4 and text[1] == ":" else text
