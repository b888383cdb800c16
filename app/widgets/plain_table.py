"""A table of results: words to the left, numbers to the right, as high as its rows."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QModelIndex, QPersistentModelIndex, Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QAbstractItemView, QHeaderView, QSizePolicy, QTableView, QWidget

from app.widgets.in_sight import keep_in_sight
from app.widgets.table_model import TableRow, TextTable

Index = QModelIndex | QPersistentModelIndex
MOST_ROWS_PX = 360
# A column of names takes no more than this share of the table, or this much where it is narrow.
MOST_NAME_SHARE, LEAST_NAME_PX = 0.16, 90


class PlainTable(QTableView):
    """Shows rows of text; the wide columns share what room there is, and wrap."""

    row_chosen = Signal()

    def __init__(
        self,
        name: str,
        *,
        words: Sequence[int],
        wide: Sequence[int],
        chooses: bool = False,
        parent: QWidget | None = None,
    ) -> None:
        """Make an empty table; ``words`` are columns of text, ``chooses`` says that rows can be."""
        super().__init__(parent)
        self._words, self._wide = frozenset(words), frozenset(wide)
        self._texts = TextTable(words=words, parent=self)
        self.setModel(self._texts)
        self.setAccessibleName(name)
        self.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        modes = QAbstractItemView.SelectionMode
        self.setSelectionMode(modes.SingleSelection if chooses else modes.NoSelection)
        self.setTabKeyNavigation(False)
        self.setVerticalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        self.verticalHeader().setVisible(False)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.selectionModel().currentChanged.connect(self._on_current_changed)
        self.hide()

    @property
    def chosen_row(self) -> int:
        """The row that is chosen, -1 where none is."""
        return self.currentIndex().row()

    def choose(self, row: int) -> None:
        """Choose a row."""
        self.setCurrentIndex(self._texts.index(row, 0))

    def show_rows(self, heads: Sequence[str], rows: Sequence[Sequence[str]]) -> None:
        """Show other rows; the same one stays chosen."""
        chosen = self.chosen_row
        self._texts.show(heads, [TableRow(tuple(row)) for row in rows])
        header = self.horizontalHeader()
        for column in range(len(heads)):
            modes = QHeaderView.ResizeMode
            mode = modes.Fixed if column in self._words else modes.ResizeToContents
            header.setSectionResizeMode(column, modes.Stretch if column in self._wide else mode)
        if rows:
            self.choose(min(max(chosen, 0), len(rows) - 1))
        self.show()
        self._fit()

    def _fit(self) -> None:
        """Give the table the height of its rows, and of its scroll bar where it needs one."""
        header = self.horizontalHeader()
        most_px = max(MOST_NAME_SHARE * self.viewport().width(), LEAST_NAME_PX)
        for column in self._words - self._wide:
            header.resizeSection(column, round(min(self.sizeHintForColumn(column) + 4, most_px)))
        self.resizeRowsToContents()
        height = header.sizeHint().height() + 2 * self.frameWidth()
        rows_px = sum(self.rowHeight(row) for row in range(self._texts.rowCount()))
        height += min(rows_px, max(MOST_ROWS_PX, self.rowHeight(0)))
        if header.length() > self.viewport().width():
            height += self.horizontalScrollBar().sizeHint().height()
        self.setFixedHeight(height)

    def currentChanged(self, current: Index, previous: Index) -> None:
        super().currentChanged(current, previous)
        keep_in_sight(self, current)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        if event.size().width() != event.oldSize().width():
            self._fit()

    def _on_current_changed(self, _now: QModelIndex, _before: QModelIndex) -> None:
        self.row_chosen.emit()
