"""A logger's table: read on the disk's thread, its columns chosen, its rows reduced to readings."""

from __future__ import annotations

from collections.abc import Mapping
from functools import partial
from pathlib import Path

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QCheckBox, QPushButton, QVBoxLayout, QWidget

from app.editors.fields.columns_form import ColumnsForm
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
    AMPS,
    COLUMNS,
    TIME,
    LoggerTable,
    guessed_columns,
    is_out_positive,
    logged,
    read_table,
    table_text,
)
from model.support.progress import at_once

NONE = "none"
# What is remembered of the sign, beside the headings.
SIGN, OUT, INTO = "positive_is", "out", "into"
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
        self.columns = ColumnsForm(COLUMNS, NONE)
        self.out_is_positive = QCheckBox(OUT_IS_POSITIVE)
        self._said = NoteLabel()
        self.add_button = QPushButton("Add the logger's readings")
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        for widget in (self.columns, self.out_is_positive, self._said, self.add_button):
            whole.addWidget(widget)
        self.columns.chosen.connect(self._on_chosen)
        self.add_button.clicked.connect(self._on_add)
        self.out_is_positive.clicked.connect(self._on_chosen)
        self._show_nothing()

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
        kept = self._settings.logger_columns
        columns = {key: head for key, head in kept.items() if key != SIGN}
        if not columns or not set(columns.values()) <= set(self._table.heads):
            columns = guessed_columns(self._table)
            self.out_is_positive.setChecked(is_out_positive(self._table, columns))
        else:
            self.out_is_positive.setChecked(kept.get(SIGN) != INTO)
        self.columns.show_heads(self._table.heads, columns)
        self.columns.show()
        self.out_is_positive.show()
        self._reduce()

    def _on_chosen(self, *_: object) -> None:
        columns = self.columns.mapping
        if self._is_told(columns):
            sign = OUT if self.out_is_positive.isChecked() else INTO
            self._settings.logger_columns = {**columns, SIGN: sign}
        self._reduce()

    @staticmethod
    def _is_told(columns: Mapping[str, str]) -> bool:
        return {TIME.key, AMPS.key} <= columns.keys()

    def _reduce(self) -> None:
        self._found = None
        self.add_button.hide()
        columns = self.columns.mapping
        if self._table is None or self._run is None:
            return
        if not self._is_told(columns):
            self._said.show_lines("hint", [NOT_TOLD])
            return
        is_out = self.out_is_positive.isChecked()
        self._work.ask(at_once(_reduced_or_fault, self._table, columns, self._run, is_out))

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
        self.columns.hide()
        self.out_is_positive.hide()
        self.add_button.hide()
        self._said.show_lines("hint", [])


def _text_or_fault(path: Path) -> tuple[str, str]:
    try:
        return table_text(path), ""
    except ScenarioError as error:
        return "", error.faults[0].message


def _reduced_or_fault(
    table: LoggerTable, columns: Mapping[str, str], run: StationRun, is_out: bool
) -> Reduced | str:
    try:
        return reduced(logged(table, columns, run, out_is_positive=is_out), run)
    except ScenarioError as error:
        return error.faults[0].message
