"""A table of figures that is read by eye, by keyboard and by ear."""

from __future__ import annotations

from PySide6.QtCore import QModelIndex, Signal
from PySide6.QtWidgets import QAbstractItemView, QWidget

from app.pages.signal.rows import Row
from app.widgets.figure_view import FigureView
from app.widgets.table_model import TableRow, TextTable

TEXT_COLUMNS = 2
LEAST_DIGITS = 24
MOST_ROWS_SEEN = 12
_GAP = 14
_ROW_MARGIN = 4


def _table_rows(heads: tuple[str, ...], rows: tuple[Row, ...]) -> list[TableRow]:
    """Return rows in which a block is written once, and spoken with each of its figures."""
    found, block = [], None
    for row in rows:
        first = "" if row.cells[0] == block else row.cells[0]
        block = row.cells[0]
        spoken = tuple(
            f"{row.spoken}: {head}, {cell}" if column >= TEXT_COLUMNS else row.spoken
            for column, (head, cell) in enumerate(zip(heads, row.cells, strict=True))
        )
        found.append(TableRow((first, *row.cells[1:]), spoken))
    return found


class FigureTable(FigureView):
    """As high as its rows, up to a dozen; scrolls sideways where what it holds has no room."""

    detail_changed = Signal(str)

    def __init__(self, name: str, heads: tuple[str, ...], parent: QWidget | None = None) -> None:
        super().__init__(name, TextTable(words=range(TEXT_COLUMNS)), parent)
        self._heads = heads
        self.rows: tuple[Row, ...] = ()
        self._widths: list[int] = []
        self.texts.show(heads, ())
        self.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        self.verticalHeader().hide()
        self.selectionModel().currentRowChanged.connect(self._on_row_changed)
        self.measure()

    def show_rows(self, rows: tuple[Row, ...]) -> None:
        """Show other rows; the row that is read stays where it is there."""
        if rows == self.rows:
            return
        here = self.currentIndex()
        row, column = here.row(), here.column()
        self.rows = rows
        self.texts.show(self._heads, _table_rows(self._heads, rows))
        self.setAccessibleDescription("\n".join(each.detail for each in rows))
        self.measure()
        if 0 <= row < len(rows):
            self.setCurrentIndex(self.texts.index(row, column))
        self.detail_changed.emit(self.detail)

    @property
    def detail(self) -> str:
        """All about the row that is read, the first one by default."""
        return self.rows[max(self.currentIndex().row(), 0)].detail if self.rows else ""

    def fit(self) -> None:
        if not self._widths:
            return
        row = self.fontMetrics().height() + _ROW_MARGIN
        self.verticalHeader().setDefaultSectionSize(row)
        widths = list(self._widths)
        bar = self.verticalScrollBar().sizeHint().width()
        scrolls = len(self.rows) > MOST_ROWS_SEEN
        least = sum(widths) + (bar if scrolls else 0)
        self.setMinimumWidth(min(least, self.fontMetrics().horizontalAdvance("0") * LEAST_DIGITS))
        free = self.width() - least
        widths[0] += max(free, 0)
        for column, width in enumerate(widths):
            self.setColumnWidth(column, width)
        seen = min(len(self.rows), MOST_ROWS_SEEN)
        below = self.horizontalScrollBar().sizeHint().height() if free < 0 else 0
        self.setFixedHeight(self.horizontalHeader().sizeHint().height() + seen * row + below)

    def measure(self) -> None:
        texts = zip(self._heads, *(row.cells for row in self.rows), strict=True)
        metrics = self.fontMetrics()
        self._widths = [max(map(metrics.horizontalAdvance, set(column))) + _GAP for column in texts]
        self.fit()

    def _on_row_changed(self, _now: QModelIndex, _before: QModelIndex) -> None:
        self.detail_changed.emit(self.detail)
