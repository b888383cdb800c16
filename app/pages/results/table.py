"""The comparison table: a row for each figure, a column for each station, then differences."""

from __future__ import annotations

from PySide6.QtCore import QModelIndex, QSize, Qt, Signal
from PySide6.QtWidgets import QWidget

from app.state.display import Display
from app.widgets.figure_view import FigureView
from app.widgets.number_text import MINUS, Shown, fixed, shown_unit
from app.widgets.table_model import TableRow, TextTable
from app.widgets.tokens import station_style
from model.support.figures import change, with_unit
from model.verdict.table import Row, Verdict

NOTHING = "–"
CONVERTED = ("kg",)
CELL_MARGIN_PX = 10
COLUMN_CHARACTERS = 16
ROW_MARGIN = 4


def comparison_rows(verdict: Verdict, *, us: bool) -> tuple[list[str], list[str], list[TableRow]]:
    """Return the heads of a verdict's table, the same read aloud, and its rows in the units shown.

    The stations come first; each difference is about the second of its pair.
    """
    letters = [station_style(index).letter for index in range(len(verdict.lines))]
    differences = [f"{letter} {MINUS} A" for letter in letters[1:]]
    names = [f"{letter}, {line.name}" for letter, line in zip(letters, verdict.lines, strict=True)]
    spoken_heads = names + differences
    rows = []
    for row in verdict.rows:
        shown = None if row.unit == "time" else shown_unit(row.unit, row.decimals, us=us)
        unit = shown.unit if shown else ""
        cells = (
            *(_value_text(row, column, shown) for column in range(len(letters))),
            *(_difference_text(row, column, shown) for column in range(len(differences))),
        )
        spoken = tuple(
            f"{row.label}, {head}: {with_unit(cell, unit)}"
            for head, cell in zip(spoken_heads, cells, strict=True)
        )
        label = row.label[:1].upper() + row.label[1:]
        rows.append(TableRow(cells, spoken, f"{label}, {unit}" if unit else label))
    return letters + differences, spoken_heads, rows


def _value_text(row: Row, column: int, shown: Shown | None) -> str:
    value = row.values[column]
    if value is None or shown is None or row.unit not in CONVERTED:
        return row.texts[column].replace("-", MINUS)
    return fixed(shown.of(value), row.decimals)


def _difference_text(row: Row, column: int, shown: Shown | None) -> str:
    difference = row.differences[column]
    if difference is None:
        return NOTHING
    if shown is None:
        return change(difference)
    text = fixed(difference * shown.factor, row.decimals)
    return text if text.startswith(MINUS) or float(text) == 0 else f"+{text}"


class ComparisonTable(FigureView):
    """Shows all rows at once; any figure can be opened with a click or Return."""

    figure_opened = Signal(str, int)

    def __init__(self, display: Display, parent: QWidget | None = None) -> None:
        texts = TextTable(tip="Return or a click shows the sum behind this figure")
        super().__init__("comparison table", texts, parent)
        self._display = display
        self._verdict: Verdict | None = None
        self._needed_px = 0
        self.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setCornerButtonEnabled(False)
        self.clicked.connect(self._on_opened)
        self.activated.connect(self._on_opened)

    def show_verdict(self, verdict: Verdict) -> None:
        """Show the rows of a verdict."""
        self._verdict = verdict
        self.refresh_units()

    def refresh_units(self) -> None:
        """Show the same figures in the units that are shown now."""
        if self._verdict is None:
            return
        heads, spoken_heads, rows = comparison_rows(self._verdict, us=self._display.is_us)
        self.texts.show(heads, rows, spoken_heads)
        self.measure()

    def measure(self) -> None:
        metrics = self.fontMetrics()
        texts = {text for column in self.texts.column_texts() for text in column[1:]}
        widest = max((metrics.horizontalAdvance(text) for text in texts), default=0)
        self._needed_px = widest + CELL_MARGIN_PX
        self.fit()

    def fit(self) -> None:
        row = self.fontMetrics().height() + ROW_MARGIN
        self.verticalHeader().setDefaultSectionSize(row)
        columns = max(self.texts.columnCount(), 1)
        widest = self.fontMetrics().horizontalAdvance("0" * COLUMN_CHARACTERS)
        free = self.viewport().width()
        # Rather scrolled than cut.
        width = max(min(widest, free // columns), self._needed_px)
        self.horizontalHeader().setDefaultSectionSize(width)
        self.setFixedHeight(self.sizeHint().height())

    def sizeHint(self) -> QSize:
        rows = self.texts.rowCount() * self.verticalHeader().defaultSectionSize()
        head = self.horizontalHeader().sizeHint().height()
        bar = self.horizontalScrollBar()
        below = bar.sizeHint().height() if bar.maximum() > 0 else 0
        return QSize(super().sizeHint().width(), head + rows + below + 2 * self.frameWidth())

    def _on_opened(self, index: QModelIndex) -> None:
        assert self._verdict is not None
        count, column = len(self._verdict.lines), index.column()
        station = column if column < count else column - count + 1
        self.figure_opened.emit(self._verdict.rows[index.row()].key, station)
