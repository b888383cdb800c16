"""What is done from the sheet's menus and clicks: each becomes one change of the document."""

from __future__ import annotations

from typing import Any

from PySide6.QtCore import QObject, QPoint, QRect, Qt, QTimer, Signal
from PySide6.QtWidgets import QApplication, QTableView

from app.editors.fields.source import source_at, table_of, write_source
from app.editors.popovers.opening import open_library, open_list, open_popover
from app.editors.sheet.cells import Cell
from app.editors.sheet.menus import SheetMenu
from app.editors.sheet.model import SheetModel
from app.editors.sheet.part_changes import (
    KEEP,
    after_part_command,
    after_station_command,
    targets_of,
    value_of,
)
from app.editors.sheet.rows import ADD, Row, part_key, part_of, slot_of
from app.editors.sheet.table_text import table_text
from app.editors.sheet.variant_menu import after_variant_command
from app.editors.sheet.writing import path_of, stations_with, write
from app.state.edit_context import Desk
from model.library.catalogue import Library
from model.library.new_station import with_station_added
from model.scenario.kinds import KIND_OF_SLOT
from model.scenario.scenario import STATIONS_LIMIT


class Doing(QObject):
    """Asks the document for changes, and offers what can be done.

    ``keep_wanted`` carries a station, from 0, and the part of it that the library is to take in;
    ``rename_wanted`` a station.
    """

    keep_wanted = Signal(int, object)
    rename_wanted = Signal(int)

    def __init__(self, desk: Desk, library: Library, sheet: SheetModel, view: QTableView) -> None:
        super().__init__(view)
        self._desk, self.library, self._sheet, self._view = desk, library, sheet, view
        self.menu = SheetMenu(view)
        self.menu.wanted.connect(self._on_wanted)
        # What the menu that is open is about.
        self._key, self._field, self._index = "", "", 0
        self._at = QPoint()

    def value(self, key: str, index: int) -> Any:
        """Return what a field of a station holds."""
        return value_of(self._desk.document.scenario, key, index)

    def put(self, key: str, index: int, value: Any, *, everywhere: bool = False) -> None:
        """Put a value into a field of one station or of all that have it; one undo step."""
        scenario = self._desk.document.scenario
        write(self._desk, key, value, stations_with(scenario, key) if everywhere else [index])
        self._desk.document.end_burst()

    def open(self, row: Row, index: int, cell: Cell, at: QPoint) -> None:
        """Open the list of a cell, turn a flag, or ask for the sheet of rows."""
        self._about(row.key, cell.key, index, at)
        if cell.role == "flag":
            self.put(cell.key, index, not cell.value, everywhere=_is_shifted())
        elif cell.role == "choice" and cell.key:
            self.menu.offer_choices(cell.key, self.value(cell.key, index), at)
        elif cell.role == "states":
            self.menu.offer_settings(row.key, cell.settings, at)
        elif cell.role == "rows":
            self._open_popover(cell.key, index)
        elif cell.role in ("part", "add"):
            self.offer_library(row.key, index)

    def offer_library(self, key: str, index: int) -> None:
        """Offer the parts of the library for a slot, for an entry, or for one more in a list."""
        slot, wanted = slot_of(key), part_key(key)
        station = self._desk.document.scenario.stations[index]
        if KIND_OF_SLOT[slot].is_list and (key.endswith(ADD) or part_of(station, key) is None):
            wanted = slot
        about = self._row_of(key, index)
        open_library(self._desk, self.library, path_of(wanted, index), about, self._view)

    def open_list(self, key: str, index: int) -> None:
        """Open leads, chargers or extras as a list with a form."""
        about = self._row_of(key, index)
        open_list(self._desk, self.library, path_of(key, index), about, self._view)

    def _open_popover(self, key: str, index: int) -> None:
        open_popover(self._desk, key, index, self._place_of(key, index), self._view)

    def _row_of(self, key: str, index: int) -> QRect:
        """Return where a cell is and all that stands to the right of it in the sheet."""
        about = self._place_of(key, index)
        edge = self._view.mapToGlobal(self._view.rect().topRight()).x()
        about.setRight(max(about.right(), edge))
        return about

    def _place_of(self, key: str, index: int) -> QRect:
        """Return where a cell is, in the pixels of the screen."""
        place = max(self._sheet.place_of(key), 0)
        rect = self._view.visualRect(self._sheet.index(place, index))
        return QRect(self._view.viewport().mapToGlobal(rect.topLeft()), rect.size())

    def offer_all(self, row: Row, index: int, cell: Cell, at: QPoint) -> None:
        """Offer all that can be done with a cell."""
        self._about(row.key, cell.key, index, at)
        self.menu.offer_all(self._desk.document.scenario, row, index, cell, at)

    def offer_station(self, index: int, at: QPoint) -> None:
        """Offer what can be done with a station."""
        self._about("", "", index, at)
        self.menu.offer_station(self._desk.document.scenario, index, at)

    def with_station(self, key: str, index: int) -> None:
        """Duplicate, move, remove or rename a station, or add one; what cannot be is not done."""
        document, scenario = self._desk.document, self._desk.document.scenario
        count = len(scenario.stations)
        to = {"left": index - 1, "right": index + 1}.get(key, index)
        is_full = key in ("duplicate", "add") and count >= STATIONS_LIMIT
        if is_full or not 0 <= to < count or (key == "remove" and count == 1):
            return
        if key == "rename":
            self.rename_wanted.emit(index)
        elif key == "add":
            document.replace("a further station", with_station_added(scenario, self.library))
            self.rename_wanted.emit(count)
        else:
            document.replace(*after_station_command(scenario, index, key))

    def _about(self, key: str, field: str, index: int, at: QPoint) -> None:
        self._key, self._field, self._index, self._at = key, field, index, at

    def _on_wanted(self, word: str, thing: Any) -> None:
        index, field = self._index, self._field
        if word == "choice":
            key, choice = thing
            self.put(key, index, choice, everywhere=_is_shifted())
        elif word == "station":
            self.with_station(str(thing), index)
        elif word == "variant":
            document = self._desk.document
            document.replace(*after_variant_command(document.scenario, index, str(thing)))
        elif word == "library":
            self._key = str(thing)
            QTimer.singleShot(0, self, self._offer_library_again)
        elif word == "list":
            QTimer.singleShot(0, self, self._open_list_again)
        elif word == "command":
            self._do_with_part(str(thing))
        elif word == "copy value":
            targets = targets_of(self._desk.document.scenario, str(thing))
            held = stations_with(self._desk.document.scenario, field)
            write(self._desk, field, self.value(field, index), [e for e in targets if e in held])
            self._desk.document.end_burst()
        elif word == "source":
            self._on_source(str(thing))
        elif word == "table":
            parted_by = "\t" if thing == "text" else ","
            QApplication.clipboard().setText(table_text(self._sheet, parted_by=parted_by))

    def _offer_library_again(self) -> None:
        self.offer_library(self._key, self._index)

    def _open_list_again(self) -> None:
        self.open_list(self._key, self._index)

    def _do_with_part(self, key: str) -> None:
        document, path = self._desk.document, path_of(self._key, self._index)
        if key == KEEP:
            part = part_of(document.scenario.stations[self._index], self._key)
            self.keep_wanted.emit(self._index, part)
            return
        document.replace(*after_part_command(document.scenario, path, key))

    def _on_source(self, origin: str) -> None:
        if origin == "more":
            self._open_popover(self._field, self._index)
            return
        path = path_of(self._field, self._index)
        source = table_of(source_at(self._desk, path)) | {"from": origin}
        if origin != "measured":
            source.pop("on", None)
        write_source(self._desk, path, source)
        self._desk.document.end_burst()


def _is_shifted() -> bool:
    return bool(QApplication.keyboardModifiers() & Qt.KeyboardModifier.ShiftModifier)
