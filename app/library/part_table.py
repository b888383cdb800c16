"""The parts of the library in rows: name, kind, the number that matters, mass."""

from __future__ import annotations

from typing import Any

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QPersistentModelIndex, Qt

from app.state.display import Display
from app.station.slots import headline
from model.library.catalogue import KIND_LABELS, kind_of
from model.scenario.station import Part

COLUMNS = ("Name", "Kind", "What matters", "Mass")
Index = QModelIndex | QPersistentModelIndex
_ROOT = QModelIndex()


class PartTable(QAbstractTableModel):
    """Rows over parts, as they are searched and filtered."""

    def __init__(self, display: Display) -> None:
        super().__init__()
        self._display = display
        self._parts: tuple[Part, ...] = ()

    @property
    def parts(self) -> tuple[Part, ...]:
        """The parts shown, in order."""
        return self._parts

    def show_parts(self, parts: tuple[Part, ...]) -> None:
        """Show other parts; rows that stay keep their place, so that a choice stays too."""
        if [_key(part) for part in parts] == [_key(part) for part in self._parts]:
            self._parts = parts
            if parts:
                last = self.index(len(parts) - 1, len(COLUMNS) - 1)
                self.dataChanged.emit(self.index(0, 0), last)
            return
        self.beginResetModel()
        self._parts = parts
        self.endResetModel()

    def rowCount(self, parent: Index = _ROOT) -> int:
        """One row a part."""
        return 0 if parent.isValid() else len(self._parts)

    def columnCount(self, parent: Index = _ROOT) -> int:
        """Name, kind, what matters, mass."""
        return 0 if parent.isValid() else len(COLUMNS)

    def headerData(
        self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole
    ) -> Any:
        """Name the columns."""
        if role == Qt.ItemDataRole.DisplayRole and orientation == Qt.Orientation.Horizontal:
            return COLUMNS[section]
        return None

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        """Return the words of a cell, figures leaning right."""
        part = self._parts[index.row()]
        if role == Qt.ItemDataRole.TextAlignmentRole and index.column() == len(COLUMNS) - 1:
            return Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter
        if role != Qt.ItemDataRole.DisplayRole:
            return None
        if index.column() == 0:
            return " ".join(part.name.split())
        if index.column() == 1:
            return KIND_LABELS[kind_of(part)]
        if index.column() == 2:
            return headline(part, self._display)
        return self._display.quantity(part.mass_kg, "kg", 2) if part.mass_kg else ""


def _key(part: Part) -> tuple[str, str]:
    return kind_of(part), part.name
