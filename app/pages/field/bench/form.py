"""The form that takes what was read at the bench, and puts it into a station as one change."""

from __future__ import annotations

from datetime import UTC, date, datetime

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import (
    QCheckBox,
    QGridLayout,
    QLabel,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from app.editors.fields.editor import NoteLabel
from app.editors.fields.entry import EntryLine
from app.editors.fields.line import LineEdit
from app.pages.field.bench.key_down_rows import KeyDownRows
from app.pages.field.bench.sheet import held_words, owner_words
from app.pages.library.difference import station_lines, value_words
from app.state.edit_context import Desk
from app.widgets.flow import FlowLayout
from app.widgets.labelled import labelled
from app.widgets.sections import SideBySide
from app.widgets.tokens import GRID_PX
from model.editing.faults import ScenarioError
from model.editing.paths import describe, with_value
from model.field.bench_sheet import (
    ROOM_C,
    BenchItem,
    BenchReadings,
    BenchStep,
    Discharge,
    apply_readings,
    bench_sheet,
    facts_of,
)
from model.results.two_load_test import LoadReading
from model.scenario.cautions import BENCH, ELECTRICAL, texts
from model.scenario.station import Station
from model.support.figures import entered

DATE_KEY, ROOM_KEY, AMMETER_KEY = "date", "room_c", "ammeter"
# What was typed, by the key of its line.
Typed = dict[str, str]
KEPT = "Not in the station yet. Entries are kept for this station, even when the program is closed."
EACH_PX = 480
DATE_FAULT = "A date reads 2027-03-01."
# What is typed for a number that is worked out from several readings: key, words, unit.
_WORKED_OUT = {
    "battery.resistance_ohm": (
        ("light_a", "light load, current", "A"), ("light_v", "light load, voltage", "V"),
        ("heavy_a", "heavy load, current", "A"), ("heavy_v", "heavy load, voltage", "V"),
    ),
    "battery.tested_fraction": (
        ("load_a", "steady load", "A"), ("hours_h", "ran until cut-off for", "h"),
    ),
}  # fmt: skip
_TOGETHER = (
    (
        ("light_a", "light_v", "heavy_a", "heavy_v"),
        "Two loads: enter both currents and both voltages.",
    ),
    (("load_a", "hours_h"), "Enter load and hours from full to cut-off."),
)


class BenchForm(QWidget):
    """Every number of the bench sheet of one station, with a line to type what was read.

    Nothing changes before the button is pressed; the change is then one undo step.
    """

    sheet_wanted = Signal(int)
    typed_changed = Signal()
    applied = Signal()

    def __init__(self, desk: Desk, index: int, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._desk, self._index = desk, index
        self._lines: dict[str, EntryLine] = {}
        self._notes: dict[str, NoteLabel] = {}
        self._tables: dict[str, KeyDownRows] = {}
        self._unasked: Typed = {}
        self._asked: tuple[tuple[BenchStep, ...], bool] | None = None
        self._date = LineEdit(10)
        self._room = EntryLine("room temperature", "°C", self._bare("°C"))
        self._ammeter = EntryLine("ammeter, accuracy", "", "%")
        self.again = QCheckBox("Ask again for what was measured")
        self._summary, self._kept = NoteLabel(), NoteLabel()
        self.apply_button = QPushButton("Put the readings into the station")
        self.sheet_button = QPushButton("Print the sheet…")
        self._steps = QWidget()
        whole = QVBoxLayout(self)
        whole.addWidget(_plain(" ".join((*texts(BENCH), ELECTRICAL))))
        whole.addLayout(self._head())
        whole.addWidget(self._steps)
        whole.addWidget(self._summary)
        whole.addWidget(self._kept)
        whole.addWidget(self.apply_button, 0, Qt.AlignmentFlag.AlignLeft)
        whole.addStretch(1)
        self.apply_button.clicked.connect(self._on_apply)
        self.sheet_button.clicked.connect(self._on_sheet)
        self.rebuild()

    def _head(self) -> FlowLayout:
        line = FlowLayout()
        self._date.setText(datetime.now(tz=UTC).astimezone().date().isoformat())
        self._date.setAccessibleName("date of measuring")
        for words, editor in (
            ("Measured on", self._date), ("Room temperature", self._room),
            ("Ammeter, ±", self._ammeter),
        ):  # fmt: skip
            line.addWidget(labelled(words, editor))
        line.addWidget(self.again)
        line.addWidget(self.sheet_button)
        self._date.textChanged.connect(self._on_changed)
        self._room.changed.connect(self._on_changed)
        self._ammeter.changed.connect(self._on_changed)
        self.again.toggled.connect(self.refresh)
        return line

    def rebuild(self, typed: Typed | None = None) -> None:
        """Ask for what the station holds as guesses now, and fill in what was typed before."""
        steps = bench_sheet(self._station(), self._day(), again=self.again.isChecked())
        asked = (steps, self._desk.display.is_us)
        # Most edits leave what is asked as it was, and lines take a while to make.
        if asked != self._asked:
            self._asked = asked
            self._build(steps)
        self._fill_in(dict(typed or {}))
        self._on_changed()

    def _build(self, steps: tuple[BenchStep, ...]) -> None:
        """Make a line to type in for everything that is asked for."""
        self._lines, self._notes, self._tables = {}, {}, {}
        halves = (QWidget(), QWidget())
        columns = tuple(QVBoxLayout(half) for half in halves)
        for column in columns:
            column.setContentsMargins(0, 0, 0, 0)
        lines = 0
        half_of = sum(len(step.items) + 2 for step in steps) / 2
        for number, step in enumerate(steps, start=1):
            self._add_step(columns[lines >= half_of], number, step)
            lines += len(step.items) + 2
        if not steps:
            columns[0].addWidget(_plain("Every number of this station has been measured."))
        for column in columns:
            column.addStretch(1)
        body = SideBySide(*halves, each_px=EACH_PX)
        body.setContentsMargins(0, 0, GRID_PX, 0)
        self._put(body)

    def _put(self, body: QWidget) -> None:
        """Show other steps in place of those before, which are dropped."""
        layout = self.layout()
        assert layout is not None
        layout.replaceWidget(self._steps, body)
        self._steps.hide()
        self._steps.deleteLater()
        self._steps = body

    def _day(self) -> date | None:
        try:
            return date.fromisoformat(self._date.text().strip())
        except ValueError:
            return None

    def _fill_in(self, typed: Typed) -> None:
        for key, line in self._entries().items():
            line.setText(typed.pop(key, ""))
        self._date.setText(typed.pop(DATE_KEY, self._date.text()))
        self._room.setText(typed.pop(ROOM_KEY, self._room.text()))
        self._ammeter.setText(typed.pop(AMMETER_KEY, self._ammeter.text()))
        # A number that is not asked for now may be a guess again after an undo.
        self._unasked = typed

    def refresh(self) -> None:
        """Follow a station that changed elsewhere; what was typed stays where it is asked for."""
        self.rebuild(self.typed())

    def follow_units(self) -> None:
        """Show other units; a number typed without one keeps the one it was read in."""
        for line in (self._room, *self._entries().values()):
            line.setText(line.spelled)
        self._room.set_bare(self._bare("°C"))
        self.refresh()

    def typed(self) -> Typed:
        """Return what was typed and is not in the station yet, with its date and room."""
        entries = self._entries().items()
        filled = {key: line.text() for key, line in entries if line.text().strip()}
        if not filled and not self._unasked:
            return {}
        of_all = {
            DATE_KEY: self._date.text(), ROOM_KEY: self._room.text(),
            AMMETER_KEY: self._ammeter.text(),
        }  # fmt: skip
        return {**self._unasked, **filled, **of_all}

    def _entries(self) -> dict[str, EntryLine]:
        """Return every line to type a reading in, by a key that outlives the line."""
        rows = {
            f"{slot}.key_down.{place}": line
            for slot, table in self._tables.items()
            for place, line in table.lines().items()
        }
        return {**self._lines, **rows}

    def _station(self) -> Station:
        return self._desk.document.scenario.stations[self._index]

    def _bare(self, unit: str) -> str:
        """Return the unit that a number without one is in, as the sheet prints it."""
        us = self._desk.display.is_us
        return {"kg": "lb" if us else "g", "°C": "°F" if us else "°C", "": "%"}.get(unit, unit)

    def _add_step(self, column: QVBoxLayout, number: int, step: BenchStep) -> None:
        time = "on another day" if step.another_day else entered(step.minutes, "min")
        title = _plain(f"{number}  {step.title} ({time})")
        font = title.font()
        font.setBold(True)
        title.setFont(font)
        column.addWidget(title)
        column.addWidget(_plain(f"{step.how[:1].upper()}{step.how[1:]}."))
        grid = QGridLayout()
        # Some blank at the right, so that a line to type in stands near its words.
        grid.setColumnStretch(0, 3)
        grid.setColumnStretch(2, 1)
        for item in step.items:
            if item.path.endswith(".key_down"):
                self._add_table(column, item)
            else:
                self._add_lines(grid, item)
        column.addLayout(grid)

    def _add_table(self, column: QVBoxLayout, item: BenchItem) -> None:
        held = value_words(item.held, facts_of(item.path), self._desk.display)
        rows = KeyDownRows(owner_words(item), f"now {held}")
        rows.changed.connect(self._on_changed)
        self._tables[item.path.rpartition(".")[0]] = rows
        column.addWidget(rows)

    def _add_lines(self, grid: QGridLayout, item: BenchItem) -> None:
        held = f"now {held_words(item, 'us' if self._desk.display.is_us else 'metric')}"
        usual = ((item.path, item.label.lower(), item.unit),)
        for key, words, unit in _WORKED_OUT.get(item.path, usual):
            line = EntryLine(f"{owner_words(item)}: {words}", unit, self._bare(unit))
            # What is worked out from several readings is named where the first of them is typed.
            works_out = f"{item.label.lower()} " if key != item.path else ""
            tail = f", {works_out}{held}" if key in (item.path, "light_a", "load_a") else ""
            # A label that leads to a line takes a bare ampersand for the mark of its key.
            label = _plain(f"{owner_words(item)}: {words}{tail}".replace("&", "&&"))
            label.setBuddy(line)
            note, row = NoteLabel(), grid.rowCount()
            grid.addWidget(label, row, 0)
            grid.addWidget(line, row, 1)
            grid.addWidget(note, row + 1, 0, 1, 3)
            line.changed.connect(self._on_changed)
            self._lines[key], self._notes[key] = line, note

    def _on_changed(self) -> None:
        for key, line in self._lines.items():
            words = line.fault or line.sentence
            self._notes[key].show_lines("error" if line.fault else "hint", [words] if words else [])
        changed, lines = self._tried()
        self._summary.show_lines("hint" if changed else "error", lines)
        self._kept.show_lines("hint", [KEPT] if self.typed() else [])
        self.typed_changed.emit()
        self.apply_button.setEnabled(changed is not None and changed != self._station())

    def _tried(self) -> tuple[Station | None, list[str]]:
        """Return the station with what was typed and what that changes, or none and why not."""
        faults = self._faults()
        if faults:
            return None, faults[:4]
        try:
            changed = apply_readings(self._station(), self.readings())
        except ScenarioError as error:
            return None, [
                f"{describe(f'stations.{self._index}.{fault.path}')}: {fault.message}"
                for fault in error.faults
            ]
        return changed, station_lines(self._station(), changed, self._desk.display)

    def _faults(self) -> list[str]:
        of_all = (self._room, self._ammeter)
        faults = [line.fault for line in (*of_all, *self._lines.values()) if line.fault]
        faults += [fault for table in self._tables.values() for fault in table.faults()]
        try:
            date.fromisoformat(self._date.text().strip())
        except ValueError:
            faults.append(DATE_FAULT)
        self._date.mark(DATE_FAULT in faults)
        for keys, words in _TOGETHER:
            filled = [self._read(key) is not None for key in keys]
            if any(filled) and not all(filled):
                faults.append(words)
        return faults

    def _read(self, key: str) -> float | None:
        line = self._lines.get(key)
        return line.reading if line else None

    def readings(self) -> BenchReadings:
        """Return what was typed; the date must be one."""
        light = _load(self._read("light_a"), self._read("light_v"))
        heavy = _load(self._read("heavy_a"), self._read("heavy_v"))
        load_a, hours = self._read("load_a"), self._read("hours_h")
        emptied = load_a is not None and hours is not None
        room_c, share = self._room.reading, self._ammeter.reading
        meters = self._station().meters
        return BenchReadings(
            on=date.fromisoformat(self._date.text().strip()),
            numbers=tuple(
                (path, line.reading)
                for path, line in self._lines.items()
                if "." in path and line.reading is not None
            ),
            key_down=tuple(
                (slot, table.points()) for slot, table in self._tables.items() if table.points()
            ),
            loads=(light, heavy) if light and heavy else None,
            discharge=Discharge(load_a or 0.0, hours or 0.0) if emptied else None,
            room_c=ROOM_C if room_c is None else room_c,
            meters=None if share is None else meters.model_copy(update={"current_share": share}),
        )

    def _on_apply(self) -> None:
        changed, _ = self._tried()
        if changed is None:
            return
        document = self._desk.document
        scenario = with_value(document.scenario, f"stations.{self._index}", changed)
        document.replace("bench readings", scenario)
        self.rebuild(self._unasked)
        self.applied.emit()

    def _on_sheet(self) -> None:
        self.sheet_wanted.emit(self._index)


def _load(current_a: float | None, battery_v: float | None) -> LoadReading | None:
    if current_a is None or battery_v is None:
        return None
    return LoadReading(battery_v, current_a)


def _plain(words: str) -> QLabel:
    label = QLabel(words)
    label.setTextFormat(Qt.TextFormat.PlainText)
    label.setWordWrap(True)
    return label
