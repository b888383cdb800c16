"""Who can power whom: the battery of a row on the radio of a column, each cell with its reason."""

from __future__ import annotations

from PySide6.QtCore import QModelIndex, QPersistentModelIndex
from PySide6.QtWidgets import QAbstractItemView, QVBoxLayout, QWidget

from app.printing.group_words import cell_text, cell_words
from app.widgets.chosen_rows import ChosenTable
from app.widgets.labels import sentence_label
from app.widgets.table_model import TableRow, TextTable
from model.group.power_matrix import HOURS_MEAN, SWAP_WORDS, PowerCell

Index = QModelIndex | QPersistentModelIndex
READ = (
    "The battery of a row on the radio of a column: how long it runs the post, or why not."
    f" {HOURS_MEAN} Choose a cell for the whole reason."
)


class MatrixTable(ChosenTable):
    """Shows the cells; the one that is chosen is told in words by ``tell``."""

    def __init__(self, part: MatrixPart) -> None:
        super().__init__(part)
        self._part = part
        self.texts = TextTable(tells=True, parent=self)
        self.setModel(self.texts)
        self.setAccessibleName("who can power whom")
        self.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        self.setTabKeyNavigation(False)
        scroll = QAbstractItemView.ScrollMode
        self.setHorizontalScrollMode(scroll.ScrollPerPixel)
        self.setVerticalScrollMode(scroll.ScrollPerPixel)
        self.horizontalHeader().setSectionsClickable(False)
        self.verticalHeader().setSectionsClickable(False)

    def currentChanged(self, current: Index, previous: Index) -> None:
        super().currentChanged(current, previous)
        self._part.tell(current.row(), current.column())


class MatrixPart(QWidget):
    """The matrix with what to mind above it and the chosen cell in words below."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._rows: tuple[tuple[PowerCell, ...], ...] = ()
        self.table = MatrixTable(self)
        self.says = sentence_label()
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 4, 0, 0)
        whole.addWidget(sentence_label(f"⚠ {SWAP_WORDS} {READ}"))
        whole.addWidget(self.table, 1)
        whole.addWidget(self.says)
        self.setFocusProxy(self.table)

    def show_matrix(self, rows: tuple[tuple[PowerCell, ...], ...]) -> None:
        """Show another matrix."""
        chosen = self.table.currentIndex()
        at = max(chosen.row(), 0), max(chosen.column(), 0)
        self._rows = rows
        heads = [cell.kit for cell in rows[0]] if rows else []
        self.table.texts.show(
            heads,
            [
                TableRow(
                    tuple(cell_text(cell) for cell in row),
                    tuple(cell_words(cell) for cell in row),
                    row[0].lender,
                    row[0].lender,
                )
                for row in rows
            ],
            [f"post {kit}" for kit in heads],
        )
        self.fit()
        if rows:
            place = self.table.texts.index(min(at[0], len(rows) - 1), min(at[1], len(heads) - 1))
            self.table.setCurrentIndex(place)
            self.tell(place.row(), place.column())

    def fit(self) -> None:
        """Give the columns the width of what stands in them."""
        self.table.resizeColumnsToContents()
        self.table.verticalHeader().setDefaultSectionSize(
            round(self.table.fontMetrics().height() * 1.5)
        )

    def tell(self, row: int, column: int) -> None:
        """Say one cell in words."""
        if 0 <= row < len(self._rows) and 0 <= column < len(self._rows[row]):
            self.says.setText(cell_words(self._rows[row][column]))
