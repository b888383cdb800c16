"""A table of figures that is read by eye, by keyboard and by ear."""

from __future__ import annotations

from typing import Any

from PySide6.QtCore import (
    QAbstractTableModel,
    QEvent,
    QModelIndex,
    QPersistentModelIndex,
    Qt,
    Signal,
)
from PySide6.QtGui import QFocusEvent, QPalette, QResizeEvent
from PySide6.QtWidgets import (
    QAbstractItemView,
    QFrame,
    QHeaderView,
    QSizePolicy,
    QTableView,
    QWidget,
)

from app.signals.rows import Row

Index = QModelIndex | QPersistentModelIndex
TEXT_COLUMNS = 2
LEAST_DIGITS = 24
MOST_ROWS_SEEN = 12
_GAP = 14
_ROW_MARGIN = 4


class FigureModel(QAbstractTableModel):
    """Rows under heads; a block is written once, and spoken with each of its figures."""

    def __init__(self, heads: tuple[str, ...], parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.heads = heads
        self.rows: tuple[Row, ...] = ()

    def show_rows(self, rows: tuple[Row, ...]) -> None:
        """Show other rows."""
        self.beginResetModel()
        self.rows = rows
        self.endResetModel()

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        return 0 if parent.isValid() else len(self.rows)

    def columnCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        return 0 if parent.isValid() else len(self.heads)

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        row, column = index.row(), index.column()
        if role == Qt.ItemDataRole.DisplayRole:
            is_told = column == 0 and row > 0 and self._block(row) == self._block(row - 1)
            return "" if is_told else self.rows[row].cells[column]
        if role == Qt.ItemDataRole.AccessibleTextRole:
            cell = self.rows[row].cells[column]
            is_figure = column >= TEXT_COLUMNS
            figure = f": {self.heads[column]}, {cell}" if is_figure else ""
            return f"{self.rows[row].spoken}{figure}"
        if role == Qt.ItemDataRole.TextAlignmentRole:
            return self._alignment(column)
        return None

    def headerData(
        self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole
    ) -> Any:
        if orientation == Qt.Orientation.Vertical:
            return None
        if role == Qt.ItemDataRole.TextAlignmentRole:
            return self._alignment(section)
        return self.heads[section] if role == Qt.ItemDataRole.DisplayRole else None

    def _block(self, row: int) -> str:
        return self.rows[row].cells[0]

    def _alignment(self, column: int) -> Qt.AlignmentFlag:
        side = Qt.AlignmentFlag.AlignRight if column >= TEXT_COLUMNS else Qt.AlignmentFlag.AlignLeft
        return side | Qt.AlignmentFlag.AlignVCenter


class FigureTable(QTableView):
    """As high as its rows, up to a dozen; scrolls sideways where what it holds has no room."""

    detail_changed = Signal(str)

    def __init__(self, name: str, heads: tuple[str, ...], parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.figures = FigureModel(heads, self)
        self._widths: list[int] = []
        self.setModel(self.figures)
        self.setAccessibleName(name)
        self.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        self.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setTabKeyNavigation(False)
        self.setAlternatingRowColors(True)
        self.setShowGrid(False)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.viewport().setBackgroundRole(QPalette.ColorRole.Window)
        across, down = self.horizontalHeader(), self.verticalHeader()
        across.setSectionResizeMode(QHeaderView.ResizeMode.Fixed)
        across.setHighlightSections(False)
        down.setSectionResizeMode(QHeaderView.ResizeMode.Fixed)
        down.hide()
        self.selectionModel().currentRowChanged.connect(self._on_row_changed)
        self._measure()

    def show_rows(self, rows: tuple[Row, ...]) -> None:
        """Show other rows; the row that is read stays where it is there."""
        if rows == self.figures.rows:
            return
        here = self.currentIndex()
        row, column = here.row(), here.column()
        self.figures.show_rows(rows)
        self.setAccessibleDescription("\n".join(each.detail for each in rows))
        self._measure()
        if 0 <= row < len(rows):
            self.setCurrentIndex(self.figures.index(row, column))
        self.detail_changed.emit(self.detail)

    @property
    def detail(self) -> str:
        """All about the row that is read, the first one by default."""
        rows = self.figures.rows
        return rows[max(self.currentIndex().row(), 0)].detail if rows else ""

    def _fit(self) -> None:
        if not self._widths:
            return
        row = self.fontMetrics().height() + _ROW_MARGIN
        self.verticalHeader().setDefaultSectionSize(row)
        widths = list(self._widths)
        bar = self.verticalScrollBar().sizeHint().width()
        scrolls = self.figures.rowCount() > MOST_ROWS_SEEN
        least = sum(widths) + (bar if scrolls else 0)
        self.setMinimumWidth(min(least, self.fontMetrics().horizontalAdvance("0") * LEAST_DIGITS))
        free = self.width() - least
        widths[0] += max(free, 0)
        for column, width in enumerate(widths):
            self.setColumnWidth(column, width)
        seen = min(self.figures.rowCount(), MOST_ROWS_SEEN)
        below = self.horizontalScrollBar().sizeHint().height() if free < 0 else 0
        self.setFixedHeight(self.horizontalHeader().sizeHint().height() + seen * row + below)

    def _measure(self) -> None:
        texts = zip(self.figures.heads, *(row.cells for row in self.figures.rows), strict=True)
        metrics = self.fontMetrics()
        self._widths = [max(map(metrics.horizontalAdvance, set(column))) + _GAP for column in texts]
        self._fit()

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._fit()

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() == QEvent.Type.FontChange:
            self._measure()

    def focusInEvent(self, event: QFocusEvent) -> None:
        super().focusInEvent(event)
        if not self.currentIndex().isValid() and self.figures.rows:
            self.setCurrentIndex(self.figures.index(0, 0))

    def _on_row_changed(self, _now: QModelIndex, _before: QModelIndex) -> None:
        self.detail_changed.emit(self.detail)
