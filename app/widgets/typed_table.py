"""The one model of a table that is typed in: what is refused stays in its cell, marked."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QObject, QPersistentModelIndex, Qt
from PySide6.QtGui import QColor

from app.widgets.tokens import tints

Index = QModelIndex | QPersistentModelIndex
_ROOT = QModelIndex()


class TypedTable(QAbstractTableModel):
    """Rows with names and columns with heads; some cells take a typed text.

    A table of its own says what there is (``count``, ``heads``, ``name_of``, ``text``), where is
    typed (``is_typed``), and takes a text over (``take``).
    """

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._refused: dict[tuple[str, int], tuple[str, str]] = {}

    # What a table of its own says.

    def count(self) -> int:
        """Return how many rows there are."""
        raise NotImplementedError

    def heads(self) -> tuple[str, ...]:
        """Return what stands over the columns."""
        raise NotImplementedError

    def name_of(self, row: int) -> str:
        """Return how sentences call a row."""
        raise NotImplementedError

    def text(self, row: int, column: int) -> str:
        """Return what stands in a cell."""
        raise NotImplementedError

    def take(self, row: int, column: int, text: str) -> str:
        """Take a typed text over; return what is wrong with it, nothing where it was taken."""
        raise NotImplementedError

    def is_typed(self, row: int, column: int) -> bool:
        """Whether a cell can be typed in."""
        raise NotImplementedError

    def is_figure(self, column: int) -> bool:
        """Whether a column leans right."""
        raise NotImplementedError

    def is_grey(self, _row: int, _column: int) -> bool:
        """Whether a cell shows something that is out of date."""
        return False

    def tip(self, _row: int, _column: int) -> str:
        """Return what a cell says under the pointer."""
        return ""

    def head_tip(self, _column: int) -> str:
        """Return what a column is."""
        return ""

    # What holds for all.

    @property
    def refusals(self) -> list[str]:
        """What is refused at present, a sentence for each."""
        return [fault for _, fault in self._refused.values()]

    def forget_refusals(self, columns: Iterable[int] | None = None) -> None:
        """Let the cells, or those of some columns, show what holds."""
        of = set(range(self.columnCount()) if columns is None else columns)
        self._refused = {at: said for at, said in self._refused.items() if at[1] not in of}

    def refresh(self) -> None:
        """Show all cells anew."""
        if self.rowCount() and self.columnCount():
            last = self.index(self.rowCount() - 1, self.columnCount() - 1)
            self.dataChanged.emit(self.index(0, 0), last)

    def rowCount(self, parent: Index = _ROOT) -> int:
        """Return how many rows there are."""
        return 0 if parent.isValid() else self.count()

    def columnCount(self, parent: Index = _ROOT) -> int:
        """Return how many columns there are."""
        return 0 if parent.isValid() else len(self.heads())

    def flags(self, index: Index) -> Qt.ItemFlag:
        """Return that a cell can be chosen, and whether it can be typed in."""
        usual = Qt.ItemFlag.ItemIsSelectable | Qt.ItemFlag.ItemIsEnabled
        if index.isValid() and self.is_typed(index.row(), index.column()):
            return usual | Qt.ItemFlag.ItemIsEditable
        return usual

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        """Return what a cell shows, what it says aloud, and how it looks."""
        row, column = index.row(), index.column()
        refused = self._refused.get((self.name_of(row), column))
        if role in (Qt.ItemDataRole.DisplayRole, Qt.ItemDataRole.EditRole):
            return refused[0] if refused else self.text(row, column)
        if role == Qt.ItemDataRole.TextAlignmentRole:
            return self._leaning(column)
        if role == Qt.ItemDataRole.BackgroundRole and refused:
            return QColor(tints().refused)
        if role == Qt.ItemDataRole.ForegroundRole and self.is_grey(row, column):
            return QColor(tints().quiet_text)
        if role == Qt.ItemDataRole.ToolTipRole:
            return refused[1] if refused else self.tip(row, column) or None
        if role == Qt.ItemDataRole.AccessibleTextRole:
            text = refused[1] if refused else self.text(row, column)
            head = " ".join(self.heads()[column].split())
            return f"{self.name_of(row)}, {head}: {text or 'empty'}"
        return None

    def headerData(
        self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole
    ) -> Any:
        """Return the head of a column and what it is."""
        if orientation == Qt.Orientation.Vertical:
            return None
        if role == Qt.ItemDataRole.DisplayRole:
            return self.heads()[section]
        if role == Qt.ItemDataRole.ToolTipRole:
            return self.head_tip(section) or None
        return self._leaning(section) if role == Qt.ItemDataRole.TextAlignmentRole else None

    def setData(self, index: Index, value: Any, role: int = Qt.ItemDataRole.EditRole) -> bool:
        """Take a typed text over, or keep it in its cell with what is wrong."""
        row, column = index.row(), index.column()
        if role != Qt.ItemDataRole.EditRole or not self.is_typed(row, column):
            return False
        spot, text = (self.name_of(row), column), str(value).strip()
        self._refused.pop(spot, None)
        if text != self.text(row, column):
            words = self.take(row, column, text)
            if words:
                self._refused[spot] = (text, words[:1].upper() + words[1:])
        self.dataChanged.emit(index, index)
        return spot not in self._refused

    def _leaning(self, column: int) -> Qt.AlignmentFlag:
        right, left = Qt.AlignmentFlag.AlignRight, Qt.AlignmentFlag.AlignLeft
        return (right if self.is_figure(column) else left) | Qt.AlignmentFlag.AlignVCenter
