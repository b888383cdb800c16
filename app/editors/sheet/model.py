"""The one model of the sheet: rows of slots and fields, a column for each station.

A change of the scenario makes anew only the cells of the parts that changed, and tells only of
those whose text did, and of sentences only where they read otherwise.
"""

from __future__ import annotations

from collections.abc import Iterable
from difflib import SequenceMatcher
from typing import Any

from PySide6.QtCore import (
    QAbstractTableModel,
    QModelIndex,
    QObject,
    QPersistentModelIndex,
    Qt,
    Signal,
)

from app.editors.fields.editor import plain_tip
from app.editors.sheet.beside import Beside, Refused, Spot
from app.editors.sheet.cells import MARKS, Around, Cell, Said, cell_of
from app.editors.sheet.rows import (
    Row,
    cautions_of,
    facts_of,
    openings,
    part_key,
    part_of,
    rows_of,
    slot_of,
)
from app.state.edit_context import Desk
from app.work.jobs import window_first
from model.editing.paths import value_at
from model.findings.rules import Finding
from model.results.wording import letter, name_at
from model.scenario.scenario import Scenario
from model.scenario.station import Station

Index = QModelIndex | QPersistentModelIndex
_ROOT = QModelIndex()
# Put together once: each cell asks for them whenever it is painted.
_SEEN = Qt.ItemFlag.ItemIsEnabled | Qt.ItemFlag.ItemIsSelectable
_TYPED = _SEEN | Qt.ItemFlag.ItemIsEditable


class SheetModel(QAbstractTableModel):
    """What the sheet shows; ``rows_changed`` tells that rows came or went."""

    rows_changed = Signal()

    def __init__(self, desk: Desk, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._desk = desk
        self._opened: set[str] = set()
        self._beside = Beside(desk.display)
        self._held: Scenario | None = None
        self._said: dict[Spot, tuple[Said, ...]] = {}
        self._rows: list[Row] = []
        self._places: dict[str, int] = {}
        self._cells: dict[Spot, Cell] = {}
        # What was last told to stand across rows, by their key.
        self._across: dict[str, tuple[str, str]] = {}
        self._differing: set[str] = set()
        self._stations: tuple[Station, ...] = ()
        self._is_us = desk.display.is_us

    # What is shown.

    @property
    def rows(self) -> list[Row]:
        """The rows in sight."""
        return self._rows

    @property
    def opened(self) -> frozenset[str]:
        """The keys of the rows that are open, in sight or not."""
        return frozenset(self._opened)

    @property
    def scenario(self) -> Scenario:
        """The scenario that is shown."""
        return self._desk.document.scenario

    @property
    def refused(self) -> dict[Spot, Refused]:
        """The texts that could not be used, by field and station."""
        return self._beside.refused

    def cell(self, row: int, column: int) -> Cell:
        """Return what stands in a cell."""
        spot = (self._rows[row].key, column)
        found = self._cells.get(spot)
        if found is None:
            found = self._cells[spot] = cell_of(self._around(), self._rows[row], column)
        return found

    def is_differing(self, key: str) -> bool:
        """Whether the stations differ in a row."""
        return key in self._differing

    def place_of(self, key: str) -> int:
        """Return the row of a key; -1 where it is not in sight."""
        return self._places.get(key, -1)

    def words_of(self, row: int) -> tuple[str, str]:
        """Return what is said across a row: the gravest level, and the sentences."""
        return self._words_of(self._rows[row])

    def help_of(self, key: str) -> str:
        """Return what is said of a field, in the units shown."""
        return self._desk.display.help(facts_of(key))

    def _words_of(self, shown: Row) -> tuple[str, str]:
        if shown.kind == "caution":
            cautions = cautions_of(self.scenario, shown.of)
            if shown.is_open is False:
                cautions = cautions[:1]
            said = "\n".join(f"⚠ {each}" for each in cautions)
            return "caution", self._desk.display.sentence(said)
        return self._said_across(shown.of, whole=False)

    def _said_across(self, key: str, *, whole: bool) -> tuple[str, str]:
        """Return the gravest level of what is said of a field, and each sentence once."""
        count = len(self._stations)
        said: dict[tuple[str, str], list[str]] = {}
        for index in range(count):
            for each in self._said.get((key, index), ()):
                words = each.sentence if whole else each.short
                said.setdefault((each.level, words), []).append(letter(index))
        levels = {level for level, _ in said}
        gravest = next((each for each in ("error", "warning") if each in levels), "hint")
        lines = [
            f"{MARKS[level]} {', '.join(letters)}: {words}"
            if count > 1
            else f"{MARKS[level]} {words}"
            for (level, words), letters in said.items()
        ]
        return gravest, "\n".join(lines)

    # What changes it.

    def refresh(self) -> None:
        """Show what the document holds."""
        stations, before = self.scenario.stations, self._stations
        self._beside.forget(self.scenario, stations, before)
        said_before, self._said = self._said, self._beside.said(self.scenario)
        is_us = self._desk.display.is_us
        if stations is before and is_us == self._is_us and self._said == said_before:
            # Plan, place or day: nothing of it stands here.
            return
        if len(stations) != len(before) or self._is_us != is_us:
            self._begin_anew(stations)
            return
        self._stations = stations
        is_named = any(one.name != two.name for one, two in zip(stations, before, strict=True))
        stale = [
            spot
            for spot in self._cells
            if is_named or _is_stale(spot[0], stations[spot[1]], before[spot[1]])
        ]
        self._show_anew(stale)

    def show_findings(self, findings: tuple[Finding, ...]) -> None:
        """Show findings beside their fields."""
        if findings != self._beside.findings:
            self._beside.findings = findings
            self._show_said()

    def hold(self, held: Scenario | None) -> None:
        """Show differences against a scenario, or none any more."""
        if held is not self._held:
            self._held = held
            self._show_anew(list(self._cells))

    def set_open(self, key: str, is_open: bool) -> None:
        """Open or close a slot, an entry of a list, or the rest of its fields."""
        window_first()
        if is_open != (key in self._opened):
            self._opened ^= {key}
            self._show_anew([spot for spot in self._cells if spot[0] == key])

    def set_opened(self, keys: Iterable[str]) -> None:
        """Open these and close all others."""
        self._opened = set(keys)
        self._show_anew(list(self._cells))

    def reveal(self, key: str) -> int:
        """Open what a key lies in; return its row, or that of what it lies in."""
        for each in openings(key):
            self.set_open(each, True)
        while key and self.place_of(key) < 0:
            key = key.rpartition(".")[0]
        return max(self.place_of(key), 0)

    def refuse(self, key: str, index: int, text: str, sentence: str) -> None:
        """Keep a text that could not be used in its cell, with a sentence why."""
        value = value_at(self.scenario, f"stations.{index}.{key}")
        self._beside.refused[key, index] = Refused(text, sentence, value)
        self._show_said([key])

    def accept(self, key: str, index: int, understood: str = "") -> None:
        """Let go of a refused text; say what was understood of one in another unit."""
        spot = (key, index)
        was_refused = self._beside.refused.pop(spot, None) is not None
        before = self._beside.understood.pop(spot, "")
        if understood:
            self._beside.understood[spot] = understood
        if was_refused or before != understood:
            self._show_said([key])

    # Keeping up.

    def _around(self) -> Around:
        refused = {spot: each.text for spot, each in self._beside.refused.items()}
        return Around(self.scenario, self._desk.display, refused, self._said, self._held)

    def _begin_anew(self, stations: tuple[Station, ...]) -> None:
        self.beginResetModel()
        self._stations, self._is_us = stations, self._desk.display.is_us
        self._cells.clear()
        self._take_rows(self._wanted_rows())
        self._mark_differing()
        self._across = self._words_across()
        self.endResetModel()
        self.rows_changed.emit()

    def _wanted_rows(self) -> list[Row]:
        noted = {key for key, _ in self._said}
        return rows_of(self.scenario, self._opened, noted, us=self._is_us)

    def _take_rows(self, rows: list[Row]) -> None:
        self._rows = rows
        self._places = {row.key: place for place, row in enumerate(rows)}

    def _show_anew(self, stale: list[Spot]) -> None:
        """Make rows and stale cells anew, and tell what came, went and changed."""
        before = {spot: self._cells.pop(spot) for spot in stale}
        self._match_rows(self._wanted_rows())
        marked = self._differing
        self._mark_differing()
        changed: dict[int, list[int]] = {}
        for spot, cell in before.items():
            place = self.place_of(spot[0])
            if place >= 0 and self.cell(place, spot[1]) != cell:
                changed.setdefault(place, []).append(spot[1])
        last = len(self._stations) - 1
        for key in marked ^ self._differing:
            if self.place_of(key) >= 0:
                changed[self.place_of(key)] = [0, last]
        told, self._across = self._across, self._words_across()
        for key in told.keys() & self._across.keys():
            if told[key] != self._across[key]:
                changed[self.place_of(key)] = [0, last]
        for place, columns in changed.items():
            self.dataChanged.emit(self.index(place, min(columns)), self.index(place, max(columns)))

    def _words_across(self) -> dict[str, tuple[str, str]]:
        return {row.key: self._words_of(row) for row in self._rows if row.is_text}

    def _match_rows(self, rows: list[Row]) -> None:
        before = self._rows
        if rows == before:
            return
        old, new = [row.key for row in before], [row.key for row in rows]
        # Rows that stay are the new ones at once: while others come and go cells are asked for
        # already, and one made from what a row was would be kept.
        wanted = {row.key: row for row in rows}
        self._take_rows([wanted.get(row.key, row) for row in before])
        # From the end, so that the places before stay what they are.
        for tag, a1, a2, b1, b2 in reversed(_steps(old, new)):
            if tag in ("delete", "replace"):
                self.beginRemoveRows(_ROOT, a1, a2 - 1)
                self._take_rows(self._rows[:a1] + self._rows[a2:])
                self.endRemoveRows()
            if tag in ("insert", "replace"):
                self.beginInsertRows(_ROOT, a1, a1 + b2 - b1 - 1)
                self._take_rows(self._rows[:a1] + rows[b1:b2] + self._rows[a1:])
                self.endInsertRows()
        self._take_rows(rows)
        self.headerDataChanged.emit(Qt.Orientation.Vertical, 0, len(rows) - 1)
        self._cells = {spot: each for spot, each in self._cells.items() if spot[0] in wanted}
        # A row of cautions that opens stays the same row, and gets higher.
        self.rows_changed.emit()

    def _mark_differing(self) -> None:
        self._differing = {row.key for row in self._rows if self._differs(row)}

    def _differs(self, row: Row) -> bool:
        if row.kind not in ("slot", "list", "entry", "field"):
            return False
        place = self._places[row.key]
        values = [self.cell(place, column) for column in range(len(self._stations))]
        first = values[0]
        return any(each.value != first.value or each.text != first.text for each in values[1:])

    # What is said.

    def _show_said(self, keys: list[str] | None = None) -> None:
        before, self._said = self._said, self._beside.said(self.scenario)
        touched = {
            key
            for key, index in before.keys() | self._said.keys()
            if before.get((key, index)) != self._said.get((key, index))
        }
        touched |= set(keys or [])
        around = {each for key in touched for each in (key, part_key(key), slot_of(key))}
        self._show_anew([spot for spot in self._cells if spot[0] in around])

    # Qt's questions.

    def rowCount(self, parent: Index = _ROOT) -> int:
        """Return how many rows there are."""
        return 0 if parent.isValid() else len(self._rows)

    def columnCount(self, parent: Index = _ROOT) -> int:
        """Return how many stations there are."""
        return 0 if parent.isValid() else len(self._stations)

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        """Return the text of a cell, what is typed there, its tip, or what is read aloud."""
        row = self._rows[index.row()]
        if row.is_text:
            return self._data_across(index, role)
        cell = self.cell(index.row(), index.column())
        if role == Qt.ItemDataRole.DisplayRole:
            return cell.text
        if role == Qt.ItemDataRole.EditRole:
            return cell.typed
        if role == Qt.ItemDataRole.AccessibleTextRole:
            return cell.spoken
        if role == Qt.ItemDataRole.ToolTipRole:
            return plain_tip(cell.tip).replace("\n", "<br>") if cell.tip else None
        return None

    def _data_across(self, index: Index, role: int) -> str | None:
        row = self._rows[index.row()]
        if role == Qt.ItemDataRole.ToolTipRole and row.kind == "note":
            return plain_tip(self._said_across(row.of, whole=True)[1]).replace("\n", "<br>")
        is_words = role in (Qt.ItemDataRole.DisplayRole, Qt.ItemDataRole.AccessibleTextRole)
        return self.words_of(index.row())[1] if is_words and index.column() == 0 else None

    def flags(self, index: Index) -> Qt.ItemFlag:
        """Return what can be done with a cell; sentences are only read."""
        row = self._rows[index.row()]
        if row.is_text and row.is_open is None:
            return Qt.ItemFlag.NoItemFlags
        role = self.cell(index.row(), index.column()).role
        return _TYPED if role in ("number", "text") else _SEEN

    def headerData(
        self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole
    ) -> Any:
        """Return the label of a row, or the letter of a station."""
        if orientation == Qt.Orientation.Horizontal:
            if role == Qt.ItemDataRole.DisplayRole:
                return letter(section)
            is_aloud = role == Qt.ItemDataRole.AccessibleTextRole
            return f"{letter(section)} {name_at(self.scenario, section)}" if is_aloud else None
        row = self._rows[section]
        if role == Qt.ItemDataRole.AccessibleTextRole and row.is_open is not None:
            return f"{row.label}, {'open' if row.is_open else 'closed'}"
        return row.label if role in (0, Qt.ItemDataRole.AccessibleTextRole) else None


def _steps(old: list[str], new: list[str]) -> list[tuple[str, int, int, int, int]]:
    """Return how one list becomes another: mostly rows come or go at one place."""
    least = min(len(old), len(new))
    first = next((at for at in range(least) if old[at] != new[at]), least)
    rest = least - first
    last = next((at for at in range(rest) if old[-1 - at] != new[-1 - at]), rest)
    between = SequenceMatcher(
        None, old[first : len(old) - last], new[first : len(new) - last], False
    )
    return [
        (tag, a1 + first, a2 + first, b1 + first, b2 + first)
        for tag, a1, a2, b1, b2 in between.get_opcodes()
    ]


def _is_stale(key: str, after: Station, before: Station) -> bool:
    """Whether a cell may say something else since its station changed."""
    if after is before:
        return False
    slot = slot_of(key)
    if not slot:
        return True
    if part_of(after, key) is not None and part_of(after, key) is part_of(before, key):
        return False
    return getattr(after, slot) is not getattr(before, slot)
