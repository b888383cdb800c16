"""The comparison table: a row for each figure, a column for each station, then differences."""

from __future__ import annotations

from typing import Any

from PySide6.QtCore import (
    QAbstractTableModel,
    QEvent,
    QModelIndex,
    QPersistentModelIndex,
    QSize,
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

from app.number_text import MINUS, fixed, shown_unit
from app.state.display import Display
from app.widgets.tokens import station_style
from model.support.figures import change
from model.verdict.table import Row, Verdict

Index = QModelIndex | QPersistentModelIndex
NOTHING = "–"
CONVERTED = ("kg",)
CELL_MARGIN_PX = 10
COLUMN_CHARACTERS = 16
ROW_MARGIN = 4


class ComparisonModel(QAbstractTableModel):
    """Rows of a verdict in the units shown."""

    def __init__(self, display: Display, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._display = display
        self._names: tuple[str, ...] = ()
        self.rows: tuple[Row, ...] = ()

    def show_verdict(self, verdict: Verdict) -> None:
        """Show another verdict; the selection stays where rows and columns stay."""
        names = tuple(line.name for line in verdict.lines)
        same_shape = len(names) == len(self._names) and len(verdict.rows) == len(self.rows)
        if not same_shape:
            self.beginResetModel()
        self._names, self.rows = names, verdict.rows
        if same_shape:
            last = self.index(self.rowCount() - 1, self.columnCount() - 1)
            self.dataChanged.emit(self.index(0, 0), last)
            self.headerDataChanged.emit(Qt.Orientation.Vertical, 0, self.rowCount() - 1)
        else:
            self.endResetModel()

    def station_of(self, column: int) -> int:
        """Return the station a column is about; a difference is about the second of its pair."""
        count = len(self._names)
        return column if column < count else column - count + 1

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        return 0 if parent.isValid() else len(self.rows)

    def columnCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        return 0 if parent.isValid() else max(2 * len(self._names) - 1, 0)

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        if role == Qt.ItemDataRole.TextAlignmentRole:
            return Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter
        row, column = self.rows[index.row()], index.column()
        if role == Qt.ItemDataRole.DisplayRole:
            return self._text(row, column)
        if role == Qt.ItemDataRole.AccessibleTextRole:
            head = self.headerData(column, Qt.Orientation.Horizontal, role)
            return f"{row.label}, {head}: {self._text(row, column)} {self._unit(row)}".strip()
        if role == Qt.ItemDataRole.ToolTipRole:
            return "Return or a click shows the sum behind this figure"
        return None

    def headerData(
        self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole
    ) -> Any:
        if role not in (Qt.ItemDataRole.DisplayRole, Qt.ItemDataRole.AccessibleTextRole):
            return None
        if orientation == Qt.Orientation.Vertical:
            row = self.rows[section]
            unit = self._unit(row)
            label = row.label[:1].upper() + row.label[1:]
            return f"{label}, {unit}" if unit else label
        count = len(self._names)
        if section < count:
            letter = station_style(section).letter
            is_spoken = role == Qt.ItemDataRole.AccessibleTextRole
            return f"{letter}, {self._names[section]}" if is_spoken else letter
        return f"{station_style(section - count + 1).letter} {MINUS} A"

    def _unit(self, row: Row) -> str:
        if row.unit == "time":
            return ""
        return shown_unit(row.unit, row.decimals, us=self._display.is_us).unit

    def _text(self, row: Row, column: int) -> str:
        count = len(self._names)
        if column < count:
            value = row.values[column]
            if value is None or row.unit not in CONVERTED:
                return row.texts[column].replace("-", MINUS)
            shown = shown_unit(row.unit, row.decimals, us=self._display.is_us)
            return fixed(shown.of(value), row.decimals)
        difference = row.differences[column - count]
        if difference is None:
            return NOTHING
        if row.unit == "time":
            return change(difference)
        shown = shown_unit(row.unit, row.decimals, us=self._display.is_us)
        text = fixed(difference * shown.factor, row.decimals)
        return text if text.startswith(MINUS) or float(text) == 0 else f"+{text}"


class ComparisonTable(QTableView):
    """Shows all rows at once; any figure can be opened with a click or Return."""

    figure_opened = Signal(str, int)

    def __init__(self, display: Display, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.rows = ComparisonModel(display, self)
        self._needed_px = 0
        self.setModel(self.rows)
        self.setAccessibleName("comparison table")
        self.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        self.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setTabKeyNavigation(False)
        self.setAlternatingRowColors(True)
        self.setShowGrid(False)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.viewport().setBackgroundRole(QPalette.ColorRole.Window)
        self.setCornerButtonEnabled(False)
        across, down = self.horizontalHeader(), self.verticalHeader()
        across.setSectionResizeMode(QHeaderView.ResizeMode.Fixed)
        across.setDefaultAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
        across.setHighlightSections(False)
        # Rows that measure themselves cost more than the rest of the window together.
        down.setSectionResizeMode(QHeaderView.ResizeMode.Fixed)
        down.setDefaultAlignment(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter)
        down.setHighlightSections(False)
        self.clicked.connect(self._on_opened)
        self.activated.connect(self._on_opened)

    def show_verdict(self, verdict: Verdict) -> None:
        """Show the rows of a verdict."""
        self.rows.show_verdict(verdict)
        self._measure()
        self._fit()

    def _measure(self) -> None:
        metrics = self.fontMetrics()
        texts = {
            str(self.rows.data(self.rows.index(row, column)))
            for row in range(self.rows.rowCount())
            for column in range(self.rows.columnCount())
        }
        widest = max((metrics.horizontalAdvance(text) for text in texts), default=0)
        self._needed_px = widest + CELL_MARGIN_PX

    def _fit(self) -> None:
        row = self.fontMetrics().height() + ROW_MARGIN
        self.verticalHeader().setDefaultSectionSize(row)
        columns = max(self.rows.columnCount(), 1)
        widest = self.fontMetrics().horizontalAdvance("0" * COLUMN_CHARACTERS)
        free = self.viewport().width()
        # Rather scrolled than cut.
        width = max(min(widest, free // columns), self._needed_px)
        self.horizontalHeader().setDefaultSectionSize(width)
        self.setFixedHeight(self.sizeHint().height())

    def sizeHint(self) -> QSize:
        rows = self.rows.rowCount() * self.verticalHeader().defaultSectionSize()
        head = self.horizontalHeader().sizeHint().height()
        bar = self.horizontalScrollBar()
        below = bar.sizeHint().height() if bar.maximum() > 0 else 0
        return QSize(super().sizeHint().width(), head + rows + below + 2 * self.frameWidth())

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._fit()

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() == QEvent.Type.FontChange:
            self._measure()
            self._fit()

    def focusInEvent(self, event: QFocusEvent) -> None:
        super().focusInEvent(event)
        if not self.currentIndex().isValid() and self.rows.rowCount():
            self.setCurrentIndex(self.rows.index(0, 0))

    def _on_opened(self, index: QModelIndex) -> None:
        row = self.rows.rows[index.row()]
        self.figure_opened.emit(row.key, self.rows.station_of(index.column()))
