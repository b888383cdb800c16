"""Tonight's board as a table: expected Ah, and the reported ones that are typed in."""

from __future__ import annotations

from typing import Any

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QObject, QPersistentModelIndex, Qt
from PySide6.QtGui import QColor

from app.pages.group.columns import LASTS, NONE
from app.state.group_reports import GroupReports
from app.widgets.number_text import fixed
from app.widgets.tokens import tints
from model.editing.units import EntryError, read_entry
from model.group.board import MOMENTS, Board, BoardCell, BoardRow, Report, tonight, why_refused
from model.group.group_run import GroupResult
from model.support.figures import NBSP, day_and_time

Index = QModelIndex | QPersistentModelIndex
_ROOT = QModelIndex()
# Kit and role stand before the moments, what comes next behind them.
BEFORE = ("Kit", "Role")
AFTER = "Ends"


class BoardModel(QAbstractTableModel):
    """A row for each post: for each moment what is expected, beside it what is reported."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.board = Board(())
        self._result: GroupResult | None = None
        self._reports: GroupReports | None = None
        self._night = 0
        self._refused: dict[tuple[str, str], tuple[str, str]] = {}

    @property
    def refusals(self) -> list[str]:
        """What is refused at present, a sentence for each."""
        return [words for _, words in self._refused.values()]

    def show_night(self, result: GroupResult, reports: GroupReports, night: int) -> None:
        """Show a night; reports that do not fit the posts any more are left out."""
        self.beginResetModel()
        self._result, self._reports, self._night = result, reports, night
        self._refused.clear()
        self._work_out()
        self.endResetModel()

    def _work_out(self) -> None:
        assert self._result is not None
        assert self._reports is not None
        fit = [each for each in self._reports.all if why_refused(self._result, each) is None]
        self.board = tonight(self._result, fit, self._night)

    def rowCount(self, parent: Index = _ROOT) -> int:
        """Return how many posts there are."""
        return 0 if parent.isValid() else len(self.board.rows)

    def columnCount(self, parent: Index = _ROOT) -> int:
        """Return how many columns there are."""
        return 0 if parent.isValid() else len(BEFORE) + 2 * len(MOMENTS) + 1

    def flags(self, index: Index) -> Qt.ItemFlag:
        """Return that a cell can be chosen, and whether a report can be typed in."""
        usual = Qt.ItemFlag.ItemIsSelectable | Qt.ItemFlag.ItemIsEnabled
        is_typed = self._is_report(index.column()) and self._cell(index) is not None
        return usual | Qt.ItemFlag.ItemIsEditable if is_typed else usual

    @staticmethod
    def _is_report(column: int) -> bool:
        return len(BEFORE) <= column < len(BEFORE) + 2 * len(MOMENTS) and bool(
            (column - len(BEFORE)) % 2
        )

    def _cell(self, index: Index) -> BoardCell | None:
        name = MOMENTS[(index.column() - len(BEFORE)) // 2]
        cells = self.board.rows[index.row()].cells
        return next((cell for cell in cells if cell.name == name), None)

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        """Return what a cell shows, what it says aloud, and how it looks."""
        row, column = self.board.rows[index.row()], index.column()
        refused = self._refused.get((row.row.kit.post.kit, self._head(column)))
        if role in (Qt.ItemDataRole.DisplayRole, Qt.ItemDataRole.EditRole):
            return refused[0] if refused else self._text(row, index)
        if role == Qt.ItemDataRole.BackgroundRole and refused:
            return QColor(tints().refused)
        if role == Qt.ItemDataRole.ToolTipRole and refused:
            return refused[1]
        if role == Qt.ItemDataRole.AccessibleTextRole:
            text = refused[1] if refused else self._text(row, index)
            return f"{row.row.kit.name}, {self._head(column)}: {text or 'empty'}"
        if role == Qt.ItemDataRole.TextAlignmentRole:
            is_words = column < len(BEFORE) or column == self.columnCount() - 1
            side = Qt.AlignmentFlag.AlignLeft if is_words else Qt.AlignmentFlag.AlignRight
            return side | Qt.AlignmentFlag.AlignVCenter
        return None

    def _text(self, row: BoardRow, index: Index) -> str:
        column, post = index.column(), row.row.kit.post
        if column < len(BEFORE):
            return (post.kit, post.role)[column]
        if column == self.columnCount() - 1:
            if row.run is None:
                return "not run"
            days = row.row.kit.trip.days
            return LASTS if row.end is None else day_and_time(row.end.at, days)
        cell = self._cell(index)
        if cell is None:
            return NONE
        if not self._is_report(column):
            return f"{fixed(cell.expected_ah, 1)} at {cell.at:%H:%M}".replace(" at ", f"{NBSP}at ")
        return "" if cell.reported_ah is None else fixed(cell.reported_ah, 1)

    def _head(self, section: int) -> str:
        if section < len(BEFORE):
            return BEFORE[section]
        if section == self.columnCount() - 1:
            return AFTER
        name = MOMENTS[(section - len(BEFORE)) // 2]
        return f"{name}, reported Ah" if self._is_report(section) else f"{name}, expected Ah"

    def headerData(
        self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole
    ) -> Any:
        """Return the head of a column."""
        if orientation == Qt.Orientation.Vertical or role != Qt.ItemDataRole.DisplayRole:
            return None
        head = self._head(section)
        return head[:1].upper() + head[1:].replace(", ", "\n")

    def setData(self, index: Index, value: Any, role: int = Qt.ItemDataRole.EditRole) -> bool:
        """Take a reported charge over, or keep its text in the cell with what is wrong."""
        cell = self._cell(index) if self._is_report(index.column()) else None
        if role != Qt.ItemDataRole.EditRole or cell is None:
            return False
        assert self._reports is not None
        kit, text = self.board.rows[index.row()].row.kit.post.kit, str(value).strip()
        spot = (kit, self._head(index.column()))
        self._refused.pop(spot, None)
        left_ah, words = self._read(kit, cell, text)
        if words:
            self._refused[spot] = (text, words)
            self.dataChanged.emit(index, index)
            return False
        self._reports.put(kit, cell.at, left_ah)
        self._work_out()
        self.dataChanged.emit(
            self.index(0, 0), self.index(self.rowCount() - 1, self.columnCount() - 1)
        )
        return True

    def _read(self, kit: str, cell: BoardCell, text: str) -> tuple[float | None, str]:
        """Return the charge a text says, or why it cannot be right."""
        assert self._result is not None
        if not text:
            return None, ""
        try:
            left_ah = read_entry(text, "Ah").value
        except EntryError as error:
            return None, f"Post {kit}: {error}"
        words = why_refused(self._result, Report(kit, cell.at, left_ah)) or ""
        return left_ah, words[:1].upper() + words[1:]
