"""The results pinned under the parts: a row for each figure, a column for each station."""

from __future__ import annotations

import re
from collections.abc import Sequence

from PySide6.QtCore import QEvent, QModelIndex, QPersistentModelIndex, QRect, QSize, Qt, Signal
from PySide6.QtGui import (
    QAction,
    QColor,
    QContextMenuEvent,
    QFont,
    QFontMetrics,
    QKeyEvent,
    QKeySequence,
    QPainter,
    QPalette,
)
from PySide6.QtWidgets import (
    QAbstractItemView,
    QMenu,
    QScrollBar,
    QStyle,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QWidget,
)

from app.pages.results.pinned_labels import PinnedLabels
from app.state.display import Display
from app.widgets.figure_view import FigureView
from app.widgets.number_text import fixed, shown_unit
from app.widgets.table_model import TableRow, TextTable
from app.widgets.tokens import BODY, NOTES, RESULTS, is_dark, station_style, tints
from model.verdict.results import Figure, Result

# What is told of first, in larger text.
LARGE = "receive"
ROW_MARGIN_PX, LARGE_MARGIN_PX, CELL_MARGIN_PX, NOTE_GAP_PX = 3, 6, 8, 6
LEAST_MARGIN_PX = 2
# In columns so wide, figures end where the numbers above them do, which have an arrow behind them.
WIDE_PX, WIDE_MARGIN_PX = 116, 18
LABEL_SHARE, MOST_STATION_DIGITS = 0.32, 22
Index = QModelIndex | QPersistentModelIndex
MENU = (("Show the sum", "sum"), ("Copy all as text", "text"), ("Copy all as CSV", "csv"))


class ResultsTable(FigureView):
    """Shows all rows at once; a click or Return opens the sum of a figure.

    ``figure_opened`` carries the key of a figure, its station and where it stands on the screen,
    ``figure_passed`` those of one that the keyboard came to; ``escaped`` tells that Escape was
    pressed, ``copy_wanted`` whether a copy is to be CSV.
    """

    figure_opened = Signal(str, int, QRect)
    figure_passed = Signal(str, int, QRect)
    escaped = Signal()
    copy_wanted = Signal(bool)

    def __init__(self, display: Display, parent: QWidget | None = None) -> None:
        tip = "Return or a click shows the sum behind this figure"
        texts = TextTable(words=(0,), tip=tip, tells=True)
        super().__init__("results", texts, parent)
        self._display = display
        self._above: QScrollBar | None = None
        self.rows: tuple[Result, ...] = ()
        self.names: tuple[str, ...] = ()
        self.is_outdated = False
        self._shared: tuple[int, ...] = ()
        self._measured: tuple[object, ...] = ()
        # Made once for each size of text: a table of them would take as long to make as to paint.
        self._fonts: dict[tuple[float, bool, bool], tuple[QFont, QFontMetrics]] = {}
        # For each row as it stands: its room, and whether it is slanted.
        self.fitted: dict[tuple[int, int, bool], tuple[QFont, QFontMetrics]] = {}
        self.setAlternatingRowColors(False)
        self.setItemDelegate(_FigureDelegate(self))
        self.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setHorizontalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        self.verticalHeader().hide()
        # Rows are as high as their figures, whatever the style thinks the least.
        self.verticalHeader().setMinimumSectionSize(8)
        self.viewport().setBackgroundRole(QPalette.ColorRole.Base)
        self.horizontalScrollBar().valueChanged.connect(PinnedLabels(self).follow)
        self.clicked.connect(self._on_opened)
        self.activated.connect(self._on_opened)
        self.selectionModel().currentChanged.connect(self._on_current)

    def show_results(self, rows: tuple[Result, ...], names: Sequence[str]) -> None:
        """Show other results, of stations of these names."""
        self.rows, self.names, self.is_outdated = rows, tuple(names), False
        self.refresh_units()

    def show_outdated(self) -> None:
        """Say that what is shown is of an earlier scenario."""
        if not self.is_outdated:
            self.is_outdated = True
            self._fill()
            self.viewport().update()

    def refresh_units(self) -> None:
        """Show the same figures in the units that are shown now."""
        if self.rows:
            self._fill()
            shape = (self.names, *(row.label for row in self.rows))
            if shape != self._measured:
                self._measured = shape
                self.measure()

    def set_columns(self, label_px: int, station_px: Sequence[int]) -> None:
        """Stand under columns of these widths, whose heads are those of the results as well."""
        self._shared = (label_px, *station_px)
        self.horizontalHeader().setVisible(not self._shared)
        self.measure()

    def go_across_with(self, bar: QScrollBar) -> None:
        """Go sideways with what stands above: a figure stays under its station."""
        own = self.horizontalScrollBar()
        self._above = bar
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        bar.rangeChanged.connect(self.updateGeometries)
        bar.valueChanged.connect(own.setValue)
        own.valueChanged.connect(bar.setValue)

    def updateGeometries(self) -> None:  # noqa: N802
        super().updateGeometries()
        if self._above is not None:
            # A bar beside one of the two must not let one go further than the other.
            self.horizontalScrollBar().setRange(0, self._above.maximum())

    def scrollTo(  # noqa: N802
        self,
        index: Index,
        hint: QAbstractItemView.ScrollHint = QAbstractItemView.ScrollHint.EnsureVisible,
    ) -> None:
        super().scrollTo(index, hint)
        bar = self.horizontalScrollBar()
        hidden_px = self.columnWidth(0) - self.visualRect(index).left()
        if index.column() == len(self.names):
            # To the end: its column above has less room where a bar stands beside it.
            bar.setValue(bar.maximum())
        elif index.column() > 0 and hidden_px > 0:
            bar.setValue(bar.value() - hidden_px)

    def figure(self, row: int, station: int) -> Figure:
        """Return a figure in the units shown."""
        found, held = self.rows[row], self.rows[row].figures[station]
        if not self._display.is_us or not found.values:
            return held
        shown = shown_unit(found.unit, found.decimals, us=True)
        text = fixed(shown.of(found.values[station]), shown.decimals, shown.unit)
        return Figure(text, held.note, held.is_end, held.is_old)

    def _fill(self) -> None:
        self.fitted.clear()
        letters = [station_style(index).letter for index in range(len(self.names))]
        old = ", out of date" if self.is_outdated else ""
        table = []
        for at, row in enumerate(self.rows):
            figures = [self.figure(at, station) for station in range(len(row.figures))]
            spoken = tuple(
                f"{letter}, {name}: {row.full_label}: {figure.words}"
                f"{old or (', out of date' if figure.is_old else '')}"
                for letter, name, figure in zip(letters, self.names, figures, strict=True)
            )
            cells = (row.label, *(figure.text for figure in figures))
            table.append(TableRow(cells, (row.full_label, *spoken), key=row.key))
        heads = [f"{letter}, {name}" for letter, name in zip(letters, self.names, strict=True)]
        self.texts.show(["", *letters], table, ["", *heads])

    def measure(self) -> None:
        self._fonts.clear()
        self.fitted.clear()
        for row, found in enumerate(self.rows):
            self.setRowHeight(row, self.row_height(found.key))
        self.fit()

    def row_height(self, key: str) -> int:
        """Return how high the row of a figure is."""
        is_large = key == LARGE
        _, metrics = self.font_of(RESULTS if is_large else BODY)
        return metrics.height() + (LARGE_MARGIN_PX if is_large else ROW_MARGIN_PX)

    def font_of(
        self, scale: float, *, bold: bool = False, italic: bool = False
    ) -> tuple[QFont, QFontMetrics]:
        """Return the font of the table in a size of the scale of type, and its metrics."""
        kind = (scale, bold, italic)
        if kind not in self._fonts:
            font = QFont(self.font())
            font.setPointSizeF(font.pointSizeF() * scale)
            font.setBold(bold)
            font.setItalic(italic)
            self._fonts[kind] = (font, QFontMetrics(font))
        return self._fonts[kind]

    def fit(self) -> None:
        for column, width in enumerate(self._shared or self._own_widths()):
            self.horizontalHeader().resizeSection(column, width)
        self.setFixedHeight(self.sizeHint().height())

    def _own_widths(self) -> list[int]:
        """Return widths for the whole width of the table, where nothing above shares them."""
        metrics, stations = self.fontMetrics(), max(len(self.names), 1)
        labels = [metrics.horizontalAdvance(row.label) for row in self.rows]
        least = max(labels, default=0) + 2 * CELL_MARGIN_PX
        room = self.viewport().width()
        label_px = max(least, round(room * LABEL_SHARE))
        most = metrics.horizontalAdvance("0") * MOST_STATION_DIGITS
        return [label_px, *[min((room - label_px) // stations, most)] * stations]

    def sizeHint(self) -> QSize:
        rows = sum(self.row_height(row.key) for row in self.rows)
        header = self.horizontalHeader()
        head = 0 if header.isHidden() else header.sizeHint().height()
        bar = self.horizontalScrollBar()
        below = bar.sizeHint().height() if bar.maximum() > 0 and self._above is None else 0
        return QSize(super().sizeHint().width(), head + rows + below)

    def place_of(self, index: Index) -> QRect:
        """Return where a cell stands on the screen."""
        place = self.visualRect(index)
        return QRect(self.viewport().mapToGlobal(place.topLeft()), place.size())

    def _on_opened(self, index: QModelIndex) -> None:
        if index.column() > 0:
            key = self.rows[index.row()].key
            self.figure_opened.emit(key, index.column() - 1, self.place_of(index))

    def _on_current(self, current: Index, _previous: Index) -> None:
        if current.isValid() and current.column() > 0:
            key = self.rows[current.row()].key
            self.figure_passed.emit(key, current.column() - 1, self.place_of(current))

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_Escape:
            self.escaped.emit()
        elif event.matches(QKeySequence.StandardKey.Copy):
            self.copy_wanted.emit(False)
        else:
            super().keyPressEvent(event)

    def contextMenuEvent(self, event: QContextMenuEvent) -> None:
        index = self.currentIndex()
        menu = QMenu(self)
        menu.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        for words, key in MENU:
            menu.addAction(words).setData(key)
        menu.actions()[0].setEnabled(index.isValid() and index.column() > 0)
        menu.triggered.connect(self._on_menu)
        menu.popup(event.globalPos())

    def _on_menu(self, action: QAction) -> None:
        if action.data() == "sum":
            self._on_opened(self.currentIndex())
        else:
            self.copy_wanted.emit(action.data() == "csv")

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() == QEvent.Type.PaletteChange:
            self.viewport().update()


class _FigureDelegate(QStyledItemDelegate):
    """Paints a label, or a figure at the right edge with its note before it where there is room."""

    def __init__(self, table: ResultsTable) -> None:
        super().__init__(table)
        self._table = table

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        table, own = self._table, tints(self._table.palette())
        painter.save()
        # Reached by Tab, a figure is the current one and not yet chosen.
        is_current = option.state & (
            QStyle.StateFlag.State_Selected | QStyle.StateFlag.State_HasFocus
        )
        has_keyboard = bool(is_current) and table.hasFocus()
        if has_keyboard:
            painter.fillRect(option.rect, QColor(own.keyboard))
        painter.setPen(QColor(own.line))
        painter.drawLine(option.rect.bottomLeft(), option.rect.bottomRight())
        left_px = CELL_MARGIN_PX if index.column() == 0 else LEAST_MARGIN_PX
        right_px = WIDE_MARGIN_PX if option.rect.width() >= WIDE_PX else CELL_MARGIN_PX
        place = option.rect.adjusted(left_px, 0, -right_px, 0)
        if index.column() == 0:
            colour = own.on_keyboard if has_keyboard else own.quiet_text
            self._label(painter, place, table.rows[index.row()].label, colour)
        else:
            self._figure(painter, place, index, is_chosen=has_keyboard)
        painter.restore()

    def _label(self, painter: QPainter, place: QRect, label: str, colour: str) -> None:
        painter.setFont(self._table.font())
        painter.setPen(QColor(colour))
        shown = painter.fontMetrics().elidedText(label, Qt.TextElideMode.ElideRight, place.width())
        painter.drawText(place, _LEFT, shown)

    def _figure(self, painter: QPainter, place: QRect, index: Index, *, is_chosen: bool) -> None:
        table, own = self._table, tints(self._table.palette())
        station = index.column() - 1
        figure = table.figure(index.row(), station)
        is_large = table.rows[index.row()].key == LARGE
        is_old = table.is_outdated or figure.is_old
        room_px = place.width()
        font, metrics = self._fitting(index.row(), room_px, italic=is_old)
        painter.setFont(font)
        colour = own.on_keyboard if is_chosen else own.quiet_text if is_old else own.text
        if is_large and figure.is_end and not is_old and not is_chosen:
            colour = station_style(station).colour(dark=is_dark(table.palette()))
        painter.setPen(QColor(colour))
        text = figure.text
        if metrics.horizontalAdvance(text) > room_px:
            text = without_weekday(text)
        text = metrics.elidedText(text, Qt.TextElideMode.ElideRight, room_px)
        painter.drawText(place, _RIGHT, text)
        place.setRight(place.right() - metrics.horizontalAdvance(text) - NOTE_GAP_PX)
        font, metrics = table.font_of(NOTES)
        if figure.note and metrics.horizontalAdvance(figure.note) <= place.width():
            painter.setFont(font)
            painter.setPen(QColor(own.on_keyboard if is_chosen else own.quiet_text))
            painter.drawText(place, _RIGHT, figure.note)

    def _fitting(self, row: int, room_px: int, *, italic: bool) -> tuple[QFont, QFontMetrics]:
        """Return the largest font in which all figures of a row fit: long trips need more room."""
        table, asked = self._table, (row, room_px, italic)
        if asked not in table.fitted:
            table.fitted[asked] = self._fit(row, room_px, italic=italic)
        return table.fitted[asked]

    def _fit(self, row: int, room_px: int, *, italic: bool) -> tuple[QFont, QFontMetrics]:
        table = self._table
        texts = [table.figure(row, station).text for station in range(len(table.names))]
        sizes = (
            ((RESULTS, True), (RESULTS, False), (BODY, True))
            if table.rows[row].key == LARGE
            else ()
        )
        for scale, bold in (*sizes, (BODY, False), (NOTES, False)):
            font, metrics = table.font_of(scale, bold=bold, italic=italic)
            if max(metrics.horizontalAdvance(text) for text in texts) <= room_px:
                break
        return font, metrics


def without_weekday(text: str) -> str:
    """Return a time without the day of the week where its date is written beside it."""
    return _WEEKDAY.sub("", text)


# A name of a day counts only before a date: "Sun 04:11" has no other.
_WEEKDAY = re.compile(r"\b(?:Mon|Tue|Wed|Thu|Fri|Sat|Sun)\s(?=\d{1,2}\s)")
_LEFT = Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter
_RIGHT = Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter
