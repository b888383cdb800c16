"""The one model of a table of texts, read by eye, by keyboard and by ear."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from html import escape
from typing import Any

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QObject, QPersistentModelIndex, Qt

Index = QModelIndex | QPersistentModelIndex
_ROOT = QModelIndex()
_VERTICAL = Qt.AlignmentFlag.AlignVCenter


@dataclass(frozen=True)
class TableRow:
    """One row: its cells, and what is read aloud for each where that is more than its text.

    ``head`` stands before it; ``key`` tells it from other rows where rows come and go.
    """

    cells: tuple[str, ...]
    spoken: tuple[str, ...] = ()
    head: str = ""
    key: object = None


class TextTable(QAbstractTableModel):
    """Rows of text under heads; columns of words lean left, all others are figures.

    Under the pointer stands the tip; with ``tells`` what is read aloud for the cell stands before
    it.
    """

    def __init__(
        self,
        *,
        words: Collection[int] = (),
        tip: str = "",
        tells: bool = False,
        parent: QObject | None = None,
    ) -> None:
        super().__init__(parent)
        self._words, self._tip, self._tells = frozenset(words), tip, tells
        self._heads: tuple[str, ...] = ()
        self._spoken_heads: tuple[str, ...] = ()
        self._rows: tuple[TableRow, ...] = ()

    def show(
        self, heads: Sequence[str], rows: Sequence[TableRow], spoken_heads: Sequence[str] = ()
    ) -> None:
        """Show other texts; where the same rows and columns stay, so does what is chosen."""
        stays = len(heads) == len(self._heads)
        stays = stays and [row.key for row in rows] == [row.key for row in self._rows]
        if not stays:
            self.beginResetModel()
        before, names = self._rows, (self._heads, self._spoken_heads)
        self._heads, self._rows, self._spoken_heads = tuple(heads), tuple(rows), tuple(spoken_heads)
        if not stays:
            self.endResetModel()
        elif rows:
            self._tell_changes(before)
            if names != (self._heads, self._spoken_heads):
                self.headerDataChanged.emit(Qt.Orientation.Horizontal, 0, len(heads) - 1)
            if [row.head for row in before] != [row.head for row in rows]:
                self.headerDataChanged.emit(Qt.Orientation.Vertical, 0, len(rows) - 1)

    def _tell_changes(self, before: Sequence[TableRow]) -> None:
        """Tell of each cell that reads or sounds otherwise: the others need not be painted anew."""
        for at, (old, new) in enumerate(zip(before, self._rows, strict=True)):
            if old == new:
                continue
            for column, cell in enumerate(new.cells):
                if cell != old.cells[column] or new.spoken[column:][:1] != old.spoken[column:][:1]:
                    place = self.index(at, column)
                    self.dataChanged.emit(place, place)

    def column_texts(self) -> list[tuple[str, ...]]:
        """Return of each column its head and its cells."""
        return list(zip(self._heads, *(row.cells for row in self._rows), strict=True))

    def rowCount(self, parent: Index = _ROOT) -> int:
        """Return how many rows there are."""
        return 0 if parent.isValid() else len(self._rows)

    def columnCount(self, parent: Index = _ROOT) -> int:
        """Return how many columns there are."""
        return 0 if parent.isValid() else len(self._heads)

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        """Return the text of a cell, what is read aloud for it, or which way it leans."""
        row, column = self._rows[index.row()], index.column()
        if role == Qt.ItemDataRole.DisplayRole:
            return row.cells[column]
        if role == Qt.ItemDataRole.TextAlignmentRole:
            return self._leaning(column)
        if role == Qt.ItemDataRole.AccessibleTextRole and row.spoken:
            return row.spoken[column]
        return self._tip_of(row, column) or None if role == Qt.ItemDataRole.ToolTipRole else None

    def _tip_of(self, row: TableRow, column: int) -> str:
        if not self._tells or not row.spoken:
            return self._tip
        return f"<qt>{escape(row.spoken[column])}<br>{escape(self._tip)}</qt>"

    def headerData(
        self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole
    ) -> Any:
        """Return the head of a column, or what stands before a row."""
        across = orientation == Qt.Orientation.Horizontal
        if role == Qt.ItemDataRole.TextAlignmentRole and across:
            return self._leaning(section)
        if role == Qt.ItemDataRole.AccessibleTextRole and across and self._spoken_heads:
            return self._spoken_heads[section]
        if role not in (Qt.ItemDataRole.DisplayRole, Qt.ItemDataRole.AccessibleTextRole):
            return None
        return self._heads[section] if across else self._rows[section].head

    def _leaning(self, column: int) -> Qt.AlignmentFlag:
        left, right = Qt.AlignmentFlag.AlignLeft, Qt.AlignmentFlag.AlignRight
        return (left if column in self._words else right) | _VERTICAL
