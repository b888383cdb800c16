"""Tonight's board as a table: expected Ah, and the reported ones that are typed in."""

from __future__ import annotations

from PySide6.QtCore import QObject

from app.pages.group.columns import LASTS, NONE
from app.state.group_reports import GroupReports
from app.widgets.number_text import fixed
from app.widgets.typed_table import TypedTable
from model.editing.units import EntryError, read_entry
from model.group.board import MOMENTS, Board, BoardCell, Report, tonight, why_refused
from model.group.group_run import GroupResult
from model.group.group_words import moment_words
from model.results.wording import capital
from model.support.figures import NBSP

# Kit, role and what its full battery holds stand before the moments, what ends behind them.
BEFORE = 3
HEADS = (
    "Kit",
    "Role",
    "Full\nAh",
    *(f"{capital(name)}\n{what} Ah" for name in MOMENTS for what in ("expected", "reported")),
    "First end",
)
LAST = len(HEADS) - 1


class BoardModel(TypedTable):
    """A row for each post: for each moment what is expected, beside it what is reported."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.board = Board(())
        self._result: GroupResult | None = None
        self._reports: GroupReports | None = None
        self._night = 0

    def show_night(self, result: GroupResult, reports: GroupReports, night: int) -> None:
        """Show a night; reports that do not fit the posts any more are left out."""
        self.beginResetModel()
        self._result, self._reports, self._night = result, reports, night
        self.forget_refusals()
        self._work_out()
        self.endResetModel()

    def _work_out(self) -> None:
        assert self._result is not None
        assert self._reports is not None
        fit = [each for each in self._reports.all if why_refused(self._result, each) is None]
        self.board = tonight(self._result, fit, self._night)

    def count(self) -> int:
        """Return how many posts there are."""
        return len(self.board.rows)

    def heads(self) -> tuple[str, ...]:
        """Return what stands over the columns."""
        return HEADS

    def name_of(self, row: int) -> str:
        """Return how sentences call a post."""
        return self.board.rows[row].row.kit.name

    def is_figure(self, column: int) -> bool:
        """Whether a column is one of Ah."""
        return BEFORE - 1 <= column < LAST

    def is_typed(self, row: int, column: int) -> bool:
        """Whether a report can be typed in."""
        return self._is_report(column) and self._cell(row, column) is not None

    def _is_report(self, column: int) -> bool:
        return BEFORE <= column < LAST and (column - BEFORE) % 2 == 1

    def _cell(self, row: int, column: int) -> BoardCell | None:
        name = MOMENTS[(column - BEFORE) // 2]
        return next((cell for cell in self.board.rows[row].cells if cell.name == name), None)

    def text(self, row: int, column: int) -> str:
        """Return what stands in a cell."""
        of = self.board.rows[row]
        post = of.row.kit.post
        if column < BEFORE:
            full = NONE if of.run is None else fixed(of.run.inputs.bounds.full_ah, 1)
            return (post.kit, post.role, full)[column]
        if column == LAST:
            if of.run is None:
                return "not run"
            return LASTS if of.end is None else moment_words(of.row, of.end.at)
        cell = self._cell(row, column)
        if cell is None:
            return NONE
        if not self._is_report(column):
            off = ", off" if cell.is_off else ""
            return f"{fixed(cell.expected_ah, 1)}{NBSP}at {cell.at:%H:%M}{off}"
        return "" if cell.reported_ah is None else fixed(cell.reported_ah, 1)

    def take(self, row: int, column: int, text: str) -> str:
        """Take a reported charge over; nothing typed takes it back."""
        cell, kit = self._cell(row, column), self.board.rows[row].row.kit.post.kit
        assert cell is not None
        assert self._result is not None
        assert self._reports is not None
        left_ah = None
        if text:
            try:
                left_ah = read_entry(text, "Ah").value
            except EntryError as error:
                return f"post {kit}: {error}"
            words = why_refused(self._result, Report(kit, cell.at, left_ah))
            if words:
                return words
        self._reports.put(kit, cell.at, left_ah)
        self._work_out()
        self.refresh()
        return ""
