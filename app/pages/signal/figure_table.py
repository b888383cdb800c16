"""A table of figures that is read by eye, by keyboard and by ear."""

from __future__ import annotations

from PySide6.QtCore import QModelIndex, Qt, Signal
from PySide6.QtGui import QFontMetrics
from PySide6.QtWidgets import QAbstractItemView, QWidget

from app.pages.signal.rows import Row
from app.widgets.figure_view import FigureView
from app.widgets.table_model import TableRow, TextTable

TEXT_COLUMNS = 2
LEAST_DIGITS = 24
MOST_ROWS_SEEN = 12
_GAP = 14
_ROW_MARGIN = 4
_NO_END_PX = 10_000


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
    """As high as its rows, up to a dozen.

    Where lines have no room, heads and cells go on in the next one; only where a single word has
    none, the table scrolls sideways.
    """

    detail_changed = Signal(str)

    def __init__(self, name: str, heads: tuple[str, ...], parent: QWidget | None = None) -> None:
        super().__init__(name, TextTable(words=range(TEXT_COLUMNS)), parent)
        self._heads = heads
        self.rows: tuple[Row, ...] = ()
        self._shown: list[TableRow] = []
        # Of each column, what its longest line and its longest word take.
        self._lines_px: list[int] = []
        self._words_px: list[int] = []
        self.texts.show(heads, (), heads)
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
        self._shown = _table_rows(self._heads, rows)
        self.texts.show(self._heads, self._shown, self._heads)
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
        if not self._lines_px:
            return
        bar = self.verticalScrollBar().sizeHint().width()
        kept_px = bar if len(self.rows) > MOST_ROWS_SEEN else 0
        least = sum(self._words_px) + kept_px
        self.setMinimumWidth(min(least, self.fontMetrics().horizontalAdvance("0") * LEAST_DIGITS))
        widths = _shared(self._lines_px, self._words_px, self.width() - kept_px)
        for column, width in enumerate(widths):
            self.setColumnWidth(column, width)
        self._break_heads(widths)
        heights = self._row_heights(widths)
        for row, height in enumerate(heights):
            self.setRowHeight(row, height)
        below = self.horizontalScrollBar().sizeHint().height() if self.width() < least else 0
        head = self.horizontalHeader().sizeHint().height()
        self.setFixedHeight(head + sum(heights[:MOST_ROWS_SEEN]) + below)

    def measure(self) -> None:
        # What is measured for a head must be what it is written with.
        self.horizontalHeader().setFont(self.font())
        texts = zip(self._heads, *(row.cells for row in self.rows), strict=True)
        columns = [set(column) for column in texts]
        metrics = self.fontMetrics()
        self._lines_px = [_widest(metrics, column) for column in columns]
        # Split at plain spaces alone: a number keeps its unit.
        self._words_px = [
            _widest(metrics, {word for text in column for word in text.split(" ")})
            for column in columns
        ]
        self.fit()

    def _break_heads(self, widths: list[int]) -> None:
        metrics = self.fontMetrics()
        heads = [
            _broken(metrics, head, width - _GAP)
            for head, width in zip(self._heads, widths, strict=True)
        ]
        self.texts.show(heads, self._shown, self._heads)

    def _row_heights(self, widths: list[int]) -> list[int]:
        """Return how high each row is with its texts in columns of these widths."""
        metrics = self.fontMetrics()
        line_px = metrics.height()
        known: dict[tuple[int, str], int] = {}
        heights = []
        for row in self._shown:
            for cell in enumerate(row.cells):
                if cell not in known:
                    column, text = cell
                    known[cell] = _height(metrics, text, widths[column] - _GAP)
            heights.append(max(line_px, *(known[cell] for cell in enumerate(row.cells))))
        return [height + _ROW_MARGIN for height in heights]

    def _on_row_changed(self, _now: QModelIndex, _before: QModelIndex) -> None:
        self.detail_changed.emit(self.detail)


def _shared(lines_px: list[int], words_px: list[int], room_px: int) -> list[int]:
    """Return widths that fill a room: whole lines if it holds them, else what words need first."""
    free = room_px - sum(lines_px)
    if free >= 0:
        return [lines_px[0] + free, *lines_px[1:]]
    over = [line - word for line, word in zip(lines_px, words_px, strict=True)]
    share = max(room_px - sum(words_px), 0) / max(sum(over), 1)
    return [word + int(each * share) for word, each in zip(words_px, over, strict=True)]


def _widest(metrics: QFontMetrics, texts: set[str]) -> int:
    return max(map(metrics.horizontalAdvance, texts)) + _GAP


def _height(metrics: QFontMetrics, text: str, width: int) -> int:
    if metrics.horizontalAdvance(text) <= width:
        return metrics.height()
    flags = Qt.TextFlag.TextWordWrap.value
    return metrics.boundingRect(0, 0, width, _NO_END_PX, flags, text).height()


def _broken(metrics: QFontMetrics, text: str, width: int) -> str:
    """Return a text with its lines broken at spaces: a head breaks none by itself."""
    lines = [""]
    for word in text.split(" "):
        longer = f"{lines[-1]} {word}".strip()
        if lines[-1] and metrics.horizontalAdvance(longer) > width:
            lines.append(word)
        else:
            lines[-1] = longer
    return "\n".join(lines)
