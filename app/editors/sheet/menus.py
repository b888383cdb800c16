"""The menus of the sheet: parts of the library, choices, and what can be done with a cell."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from PySide6.QtCore import QPoint, Signal
from PySide6.QtGui import QAction
from PySide6.QtWidgets import QMenu, QWidget

from app.editors.fields.editor import plain_tip
from app.editors.fields.words import tip_of, word_of
from app.editors.sheet.cells import Cell, Setting, can_have_source
from app.editors.sheet.part_changes import copy_commands, part_commands, station_commands
from app.editors.sheet.rows import SETTINGS, Row, facts_of, part_key, part_of
from app.editors.sheet.variant_menu import variant_commands
from app.editors.sheet.writing import path_of
from model.scenario.scenario import STATIONS_LIMIT, Scenario

ORIGINS = (("measured", "Measured"), ("datasheet", "From a datasheet"), ("guess", "A guess"))
COPIES = (("text", "Copy the table as text"), ("csv", "Copy the table as CSV"))


class SheetMenu(QMenu):
    """One menu for all of them; ``wanted`` carries what was picked and where: words and a thing."""

    wanted = Signal(str, object)

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self.setToolTipsVisible(True)
        self.triggered.connect(self._on_triggered)

    def offer_choices(self, key: str, value: Any, at: QPoint) -> None:
        """Offer the choices of a field; with Shift, one is given to every station."""
        self.clear()
        for choice in facts_of(key).choices:
            action = self._add("choice", (key, choice), _plain(word_of(choice)))
            action.setCheckable(True)
            action.setChecked(choice == value)
            tip = tip_of(key, choice)
            action.setToolTip(plain_tip(tip) if tip else "")
        self.popup(at)

    def offer_settings(self, slot: str, settings: Sequence[Setting], at: QPoint) -> None:
        """Offer each state of the settings of a part; the keyboard begins at the first that is."""
        self.clear()
        for setting in settings:
            self.addSeparator()
            for state in facts_of(setting.key).choices:
                text = f"{word_of(state)} {SETTINGS[slot][setting.key]}".capitalize()
                action = self._add("choice", (setting.key, state), text)
                action.setCheckable(True)
                action.setChecked(state == setting.state)
                action.setToolTip(plain_tip(tip_of(setting.key, state)))
        self.popup(at)
        self.setActiveAction(next(each for each in self.actions() if each.isChecked()))

    def offer_station(self, scenario: Scenario, index: int, at: QPoint) -> None:
        """Offer what can be done with a station."""
        self.clear()
        for key, words, is_possible in station_commands(scenario, index):
            self._add("station", key, words).setEnabled(is_possible)
        self.addSeparator()
        is_room = len(scenario.stations) < STATIONS_LIMIT
        self._add("station", "add", "Add a station").setEnabled(is_room)
        found = variant_commands(scenario, index)
        if found:
            self.addSection("Variants")
        for key, words, why_not in found:
            action = self._add("variant", key, _plain(words))
            action.setEnabled(not why_not)
            action.setToolTip(plain_tip(why_not) if why_not else "")
        self.popup(at)

    def offer_all(self, scenario: Scenario, row: Row, index: int, cell: Cell, at: QPoint) -> None:
        """Offer all that can be done with a cell."""
        self.clear()
        station = scenario.stations[index]
        part = part_of(station, row.key)
        if row.kind in ("slot", "entry") or row.key.endswith(".name"):
            self._add("library", part_key(row.key), "Choose from the library…")
        if row.kind in ("list", "add"):
            self._add("library", f"{row.of} add", "Add from the library…")
        if row.kind == "list":
            self._add("list", row.key, "Edit the list…")
        if row.kind in ("slot", "entry") and part is not None:
            for key, words in part_commands(scenario, path_of(row.key, index)):
                self._add("command", key, _plain(words))
        elif cell.key and not cell.is_refused and row.kind == "field":
            for key, words in copy_commands(scenario, index, "value", "value"):
                self._add("copy value", key, _plain(words))
        if cell.key and part is not None and can_have_source(cell.key):
            self._add_sources(part.source_of(cell.key.rpartition(".")[2]).origin)
        self.addSeparator()
        for key, words in COPIES:
            self._add("table", key, words)
        self.popup(at)

    def _add_sources(self, origin: str) -> None:
        self.addSection("Source")
        for key, words in ORIGINS:
            action = self._add("source", key, words)
            action.setCheckable(True)
            action.setChecked(key == origin)
        self._add("source", "more", "Date, spread and note…")

    def _add(self, word: str, thing: object, text: str) -> QAction:
        action = self.addAction(text)
        action.setData((word, thing))
        return action

    def _on_triggered(self, action: QAction) -> None:
        if action.data() is not None:
            word, thing = action.data()
            self.wanted.emit(word, thing)


def _plain(words: str) -> str:
    return words.replace("&", "&&")
