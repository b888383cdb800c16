"""A logger's table: read on the disk's thread, its columns chosen, its rows reduced to readings."""

from __future__ import annotations

from functools import partial
from pathlib import Path

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QCheckBox, QGridLayout, QLabel, QPushButton, QVBoxLayout, QWidget

from app.editors.fields.choices import QuietCombo
from app.editors.fields.editor import NoteLabel
from app.state.settings import Settings
from app.widgets import dialogs
from app.work.answered import Answered
from app.work.disk import disk
from app.work.latest import LatestWork
from model.editing.faults import ScenarioError
from model.engine.run import StationRun
from model.field.logger_readings import Reduced, reduced
from model.field.logger_table import (
    ColumnMap,
    LoggerTable,
    guessed_map,
    kept_map,
    logged,
    map_text,
    read_table,
    table_text,
)
from model.support.progress import at_once

NONE = "none"
COLUMNS = (("time", "Time"), ("date", "Date"), ("amps", "Current"), ("volts", "Voltage"))
OUT_IS_POSITIVE = "Positive current leaves the battery"
NOT_TOLD = "Choose which column is the time and which is the current."


class LoggerPart(QWidget):
    """Reads one table at a time; ``readings_wanted`` carries what is to go into the log."""

    readings_wanted = Signal(object)

    def __init__(self, settings: Settings, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._settings = settings
        self._run: StationRun | None = None
        self._table: LoggerTable | None = None
        self._found: Reduced | None = None
        self._answered = Answered(self)
        self._work = LatestWork(self)
        self._work.done.connect(self._on_done)
        self._work.failed.connect(self._on_refused)
        self.choices = {key: QuietCombo() for key, _ in COLUMNS}
        self.out_is_positive = QCheckBox(OUT_IS_POSITIVE)
        self._columns = QWidget()
        self._said = NoteLabel()
        self.add_button = QPushButton("Add the logger's readings")
        self._lay_out()
        self.add_button.clicked.connect(self._on_add)
        self.out_is_positive.clicked.connect(self._on_chosen)
        self._show_nothing()

    def _lay_out(self) -> None:
        grid = QGridLayout(self._columns)
        grid.setContentsMargins(0, 0, 0, 0)
        for place, (key, words) in enumerate(COLUMNS):
            combo, label = self.choices[key], QLabel(words)
            label.setBuddy(combo)
            combo.setAccessibleName(f"logger's column, {words.lower()}")
            row, across = divmod(place, 2)
            grid.addWidget(label, row, 2 * across)
            grid.addWidget(combo, row, 2 * across + 1)
            combo.activated.connect(self._on_chosen)
        grid.addWidget(self.out_is_positive, 2, 0, 1, 4)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        for widget in (self._columns, self._said, self.add_button):
            whole.addWidget(widget)

    @property
    def is_settled(self) -> bool:
        """Whether nobody is at work."""
        return self._work.is_settled

    def show_run(self, run: StationRun | None) -> None:
        """Put the table on the clock of another run."""
        self._run = run
        if self._table is not None:
            self._reduce()

    def stop(self) -> None:
        """End all work."""
        self._answered.forget()
        self._work.close()

    def ask_for_table(self, folder: str) -> None:
        """Let a person choose a file, and read it."""
        chosen = dialogs.ask_for_logger_to_open(self, folder)
        if chosen is not None:
            self._show_nothing()
            self._answered.then(disk.ask(partial(_text_or_fault, chosen)), self._on_text)

    def _on_text(self, found: tuple[str, str]) -> None:
        text, fault = found
        if not fault:
            try:
                self._table = read_table(text)
            except ScenarioError as error:
                fault = error.faults[0].message
        if fault or self._table is None:
            self._on_refused(fault)
            return
        heads = self._table.heads
        kept = kept_map(self._settings.logger_columns, heads)
        self._show_columns(heads, kept or guessed_map(self._table))
        self._reduce()

    def _show_columns(self, heads: tuple[str, ...], columns: ColumnMap | None) -> None:
        for key, combo in self.choices.items():
            combo.clear()
            combo.addItem(NONE, None)
            for head in heads:
                combo.addItem(" ".join(head.split())[:40], head)
            held = getattr(columns, key) if columns is not None else None
            combo.setCurrentIndex(max(combo.findData(held), 0))
        self.out_is_positive.setChecked(columns is None or columns.out_is_positive)
        self._columns.show()

    def _chosen(self) -> ColumnMap | None:
        held = {key: combo.currentData() for key, combo in self.choices.items()}
        time, amps = held["time"], held["amps"]
        if time is None or amps is None:
            return None
        return ColumnMap(time, amps, held["volts"], held["date"], self.out_is_positive.isChecked())

    def _on_chosen(self, *_: object) -> None:
        columns = self._chosen()
        if columns is not None and self._table is not None:
            kept = dict(self._settings.logger_columns)
            self._settings.logger_columns = kept | map_text(columns, self._table.heads)
        self._reduce()

    def _reduce(self) -> None:
        self._found = None
        self.add_button.hide()
        columns = self._chosen()
        if self._table is None or self._run is None:
            return
        if columns is None:
            self._said.show_lines("hint", [NOT_TOLD])
            return
        self._work.ask(at_once(_reduced_or_fault, self._table, columns, self._run))

    def _on_done(self, found: Reduced | str) -> None:
        if isinstance(found, str):
            self._on_refused(found)
            return
        self._found = found
        count = len(found.readings)
        words = "1 reading" if count == 1 else f"{count} readings"
        self._said.show_lines("hint", [f"{words} in the logger's table.", *found.notes])
        self.add_button.setVisible(count > 0)

    def _on_refused(self, fault: str) -> None:
        self._said.show_lines("error", [fault])
        self.add_button.hide()

    def _on_add(self) -> None:
        if self._found is not None:
            self.readings_wanted.emit(self._found.readings)
            self._show_nothing()

    def _show_nothing(self) -> None:
        self._table = self._found = None
        self._columns.hide()
        self.add_button.hide()
        self._said.show_lines("hint", [])


def _text_or_fault(path: Path) -> tuple[str, str]:
    try:
        return table_text(path), ""
    except ScenarioError as error:
        return "", error.faults[0].message


def _reduced_or_fault(table: LoggerTable, columns: ColumnMap, run: StationRun) -> Reduced | str:
    try:
        return reduced(logged(table, columns, run), run)
    except ScenarioError as error:
        return error.faults[0].message
