"""Posts or spares as a table: fields that are typed, and what is said of each."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QObject, QPersistentModelIndex, Qt
from PySide6.QtGui import QColor

from app.pages.group.columns import NONE, Column
from app.state.group_document import GroupDocument
from app.widgets.tokens import tints
from model.editing.faults import ScenarioError
from model.group.edit_group import List, text_of, with_text
from model.group.group import Post, Spare

Index = QModelIndex | QPersistentModelIndex
_ROOT = QModelIndex()


class RecordsModel(QAbstractTableModel):
    """A row for each. A text that is refused stays in its cell, marked, until it is mended."""

    where: List = "posts"

    def __init__(
        self, document: GroupDocument, columns: Sequence[Column], parent: QObject | None = None
    ) -> None:
        super().__init__(parent)
        self.document = document
        self.columns = tuple(columns)
        self._shown: tuple[Post | Spare, ...] = getattr(document.group, self.where)
        self._refused: dict[tuple[str, str], tuple[str, str]] = {}

    # What a list of its own says.

    def name_of(self, row: int) -> str:
        """Return how sentences call a row."""
        raise NotImplementedError

    def result(self, row: int) -> Any:
        """Return what the other columns are told of; None until it is there."""
        raise NotImplementedError

    @property
    def is_us(self) -> bool:
        """Whether US customary units are shown."""
        return False

    @property
    def is_current(self) -> bool:
        """Whether the results are of the group as it is."""
        return True

    def tip(self, column: Column, _row: int) -> str:
        """Return what a cell says under the pointer."""
        return column.tip

    # What holds for both.

    @property
    def refusals(self) -> list[str]:
        """What is refused at present, a sentence for each."""
        return [fault for _, fault in self._refused.values()]

    def follow(self) -> None:
        """Show what the document holds."""
        before = [self._key(record) for record in self._shown]
        now: tuple[Post | Spare, ...] = getattr(self.document.group, self.where)
        if before != [self._key(record) for record in now]:
            self.beginResetModel()
            self._shown = now
            self.endResetModel()
        else:
            self._shown = now
            self.refresh()

    @staticmethod
    def _key(record: Post | Spare) -> str:
        return record.kit if isinstance(record, Post) else record.slot

    def refresh(self) -> None:
        """Show all cells anew."""
        if self._shown:
            last = self.index(len(self._shown) - 1, len(self.columns) - 1)
            self.dataChanged.emit(self.index(0, 0), last)

    def rowCount(self, parent: Index = _ROOT) -> int:
        """Return how many rows there are."""
        return 0 if parent.isValid() else len(self._shown)

    def columnCount(self, parent: Index = _ROOT) -> int:
        """Return how many columns there are."""
        return 0 if parent.isValid() else len(self.columns)

    def flags(self, index: Index) -> Qt.ItemFlag:
        """Return that a cell can be chosen, and whether it can be typed in."""
        usual = Qt.ItemFlag.ItemIsSelectable | Qt.ItemFlag.ItemIsEnabled
        if index.isValid() and self.columns[index.column()].key:
            return usual | Qt.ItemFlag.ItemIsEditable
        return usual

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        """Return what a cell shows, what it says aloud, and how it looks."""
        column, row = self.columns[index.column()], index.row()
        refused = self._refused.get((self.name_of(row), column.key)) if column.key else None
        if role in (Qt.ItemDataRole.DisplayRole, Qt.ItemDataRole.EditRole):
            return refused[0] if refused else self._text(column, row)
        if role == Qt.ItemDataRole.TextAlignmentRole:
            return _leaning(column)
        if role == Qt.ItemDataRole.BackgroundRole and refused:
            return QColor(tints().refused)
        if role == Qt.ItemDataRole.ForegroundRole and not column.key and not self.is_current:
            return QColor(tints().quiet_text)
        if role == Qt.ItemDataRole.ToolTipRole:
            return refused[1] if refused else self.tip(column, row)
        if role == Qt.ItemDataRole.AccessibleTextRole:
            text = refused[1] if refused else self._text(column, row)
            return f"{self.name_of(row)}, {column.head}: {text or 'empty'}"
        return None

    def headerData(
        self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole
    ) -> Any:
        """Return the head of a column and what it is."""
        if orientation == Qt.Orientation.Vertical:
            return None
        column = self.columns[section]
        if role == Qt.ItemDataRole.DisplayRole:
            return column.head
        if role == Qt.ItemDataRole.ToolTipRole:
            return column.tip
        return _leaning(column) if role == Qt.ItemDataRole.TextAlignmentRole else None

    def setData(self, index: Index, value: Any, role: int = Qt.ItemDataRole.EditRole) -> bool:
        """Take a typed text over as one undo step, or keep it in its cell with what is wrong."""
        column, row = self.columns[index.column()], index.row()
        if role != Qt.ItemDataRole.EditRole or not column.key:
            return False
        name, text = self.name_of(row), str(value)
        self._refused.pop((name, column.key), None)
        if text == self._text(column, row):
            self.dataChanged.emit(index, index)
            return True
        try:
            group = with_text(self.document.group, self.where, row, column.key, text)
            self.document.put(f"change of {column.head.lower()} of {name}", group)
        except ScenarioError as error:
            words = f"{name}, {column.head.lower()}: {error.faults[0].message}"
            self._refused[name, column.key] = (text, words[:1].upper() + words[1:])
            self.dataChanged.emit(index, index)
            return False
        return True

    def _text(self, column: Column, row: int) -> str:
        if column.key:
            return text_of(self._shown[row], column.key)
        result = self.result(row)
        if result is None or column.text is None:
            return NONE
        return column.text(result, self.is_us)


def _leaning(column: Column) -> Qt.AlignmentFlag:
    side = Qt.AlignmentFlag.AlignRight if column.is_figure else Qt.AlignmentFlag.AlignLeft
    return side | Qt.AlignmentFlag.AlignVCenter
