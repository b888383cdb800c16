"""The view of a table of the group: typed in place, with the strips at its end where they stand."""

from __future__ import annotations

from PySide6.QtCore import QModelIndex, QPersistentModelIndex, Qt, Signal
from PySide6.QtGui import QKeyEvent, QResizeEvent
from PySide6.QtWidgets import QAbstractItemView, QHeaderView, QWidget

from app.pages.group.columns import STRIP
from app.pages.group.posts_model import PostsModel
from app.pages.group.records_model import ColumnsModel
from app.pages.group.strip import DayStrip, StripHeader
from app.widgets.chosen_rows import ChosenTable

Index = QModelIndex | QPersistentModelIndex
STRIP_CHARACTERS = 18
ROW_LINES, MOST_LINES = 1.7, 4.5


class RecordsTable(ChosenTable):
    """Return or F2 types in a field; Ctrl+Return opens the kit of the row.

    ``opened`` carries the row whose kit is asked for, ``row_changed`` the one that is chosen.
    """

    opened = Signal(int)
    row_changed = Signal(int)

    def __init__(self, name: str, model: ColumnsModel, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.records = model
        self.setAccessibleName(name)
        self.setModel(model)
        modes = QAbstractItemView.SelectionMode
        self.setSelectionMode(modes.SingleSelection)
        triggers = QAbstractItemView.EditTrigger
        self.setEditTriggers(
            triggers.DoubleClicked | triggers.EditKeyPressed | triggers.AnyKeyPressed
        )
        self.setTabKeyNavigation(False)
        self.setAlternatingRowColors(True)
        scroll = QAbstractItemView.ScrollMode
        self.setVerticalScrollMode(scroll.ScrollPerPixel)
        self.setHorizontalScrollMode(scroll.ScrollPerPixel)
        self.verticalHeader().setVisible(False)
        self.setCornerButtonEnabled(False)
        self._strip = model.columns.index(STRIP) if STRIP in model.columns else -1
        if self._strip >= 0 and isinstance(model, PostsModel):
            self._painter = DayStrip(model, self)
            self.setItemDelegateForColumn(self._strip, self._painter)
            self.setHorizontalHeader(StripHeader(model, self._strip, self))
        self.doubleClicked.connect(self._on_double_clicked)
        model.modelReset.connect(self._on_reset)
        model.dataChanged.connect(self._on_shown)
        model.headerDataChanged.connect(self.fit)
        self.fit()

    @property
    def row(self) -> int:
        """The row that is chosen, the first where none is."""
        return max(self.currentIndex().row(), 0)

    def choose(self, row: int, column: int = 0) -> None:
        """Choose a cell and bring it into sight."""
        index = self.records.index(min(row, self.records.rowCount() - 1), column)
        self.setCurrentIndex(index)
        self.scrollTo(index)

    def fit(self) -> None:
        """Give the columns their width in this size of text."""
        digit_px = self.fontMetrics().horizontalAdvance("0")
        header = self.horizontalHeader()
        columns = zip(self.records.columns, self.records.heads(), strict=True)
        for at, (column, head) in enumerate(columns):
            head_px = self.fontMetrics().horizontalAdvance(head) + 2 * digit_px
            header.resizeSection(at, max(column.characters * digit_px + digit_px, head_px))
        # A figure stays beside its row on a wide screen; words may take what is left.
        header.setStretchLastSection(self._strip < 0 and not self.records.columns[-1].is_figure)
        self._fit_strip()
        self._fit_rows()

    def _fit_strip(self) -> None:
        """Give the strips what the other columns leave, and never less than can be read."""
        if self._strip < 0:
            return
        header = self.horizontalHeader()
        others = sum(header.sectionSize(at) for at in range(header.count()) if at != self._strip)
        least = STRIP_CHARACTERS * self.fontMetrics().horizontalAdvance("0")
        modes = QHeaderView.ResizeMode
        if self.viewport().width() - others >= least:
            header.setSectionResizeMode(self._strip, modes.Stretch)
        else:
            header.setSectionResizeMode(self._strip, modes.Fixed)
            header.resizeSection(self._strip, least)

    def _fit_rows(self) -> None:
        """Let the strips be as high as the window has room for."""
        line_px = self.fontMetrics().height()
        least, most = round(line_px * ROW_LINES), round(line_px * MOST_LINES)
        free = self.viewport().height() // max(self.records.rowCount(), 1)
        high = min(max(free, least), most) if self._strip >= 0 else least
        self.verticalHeader().setDefaultSectionSize(high)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._fit_strip()
        self._fit_rows()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        is_return = event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter)
        is_closed = self.state() != QAbstractItemView.State.EditingState
        if is_return and event.modifiers() & Qt.KeyboardModifier.ControlModifier:
            self.opened.emit(self.row)
        elif is_return and is_closed and self.currentIndex().isValid():
            if self.records.columns[self.currentIndex().column()].key:
                self.edit(self.currentIndex())
            else:
                self.opened.emit(self.row)
        else:
            super().keyPressEvent(event)

    def currentChanged(self, current: Index, previous: Index) -> None:
        super().currentChanged(current, previous)
        if current.row() != previous.row():
            self.row_changed.emit(current.row())

    def _on_double_clicked(self, index: QModelIndex) -> None:
        if not self.records.columns[index.column()].key:
            self.opened.emit(index.row())

    def _on_reset(self) -> None:
        if self.records.rowCount():
            self.choose(0)
        self._fit_rows()

    def _on_shown(self) -> None:
        # The ruler over the strips follows the run.
        self.horizontalHeader().viewport().update()
