"""The sheet: what each station carries, side by side; asks the document for every change."""

from __future__ import annotations

from PySide6.QtCore import (
    QEvent,
    QModelIndex,
    QObject,
    QPersistentModelIndex,
    QPoint,
    Qt,
    Signal,
)
from PySide6.QtGui import (
    QColor,
    QContextMenuEvent,
    QFocusEvent,
    QKeyEvent,
    QKeySequence,
    QMouseEvent,
    QPainter,
    QPalette,
    QResizeEvent,
)
from PySide6.QtWidgets import (
    QAbstractButton,
    QAbstractItemView,
    QApplication,
    QFrame,
    QTableView,
    QWidget,
)

from app.editors.sheet.cell_edit import CellEdit
from app.editors.sheet.cells import Cell
from app.editors.sheet.delegate import ARROW_PX, PAD_PX, SheetDelegate, has_list, states_at
from app.editors.sheet.doing import Doing
from app.editors.sheet.headers import LabelHeader, StationHeader
from app.editors.sheet.model import SheetModel
from app.editors.sheet.rows import Row
from app.editors.sheet.scrub import Scrub
from app.state.edit_context import Desk
from app.widgets.tokens import tints
from model.engine.comparison import Comparison
from model.library.catalogue import Library
from model.scenario.scenario import Scenario

Index = QModelIndex | QPersistentModelIndex
# Widths in digits: of the labels at least and as they best are, of a column likewise.
LABEL_DIGITS, USUAL_LABEL_DIGITS = 16, 24
COLUMN_DIGITS, USUAL_COLUMN_DIGITS, MOST_COLUMN_DIGITS = 13, 18, 30
ROW_MARGIN_PX = 4
EDITED = ("number", "text")


class SheetView(QTableView):
    """A row for each slot and field, a column for each station.

    ``station_selected`` carries the station, from 0, that the keyboard goes to; ``shared`` the
    width of the labels and of the columns, for what stands under them.
    """

    station_selected = Signal(int)
    shared = Signal(int, object)

    def __init__(self, desk: Desk, library: Library, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._desk = desk
        self.sheet = SheetModel(desk, self)
        self.setModel(self.sheet)
        self.doing = Doing(desk, library, self.sheet, self)
        self._delegate = SheetDelegate(desk, self.sheet, self)
        self.setItemDelegate(self._delegate)
        self._labels = LabelHeader(self.sheet, self)
        self._heads = StationHeader(self.sheet, self)
        self.setVerticalHeader(self._labels)
        self.setHorizontalHeader(self._heads)
        self._scrub: Scrub | None = None
        self._count = 0
        self._look()
        self._labels.toggled.connect(self.toggle)
        self._heads.menu_wanted.connect(self.doing.offer_station)
        self.doing.rename_wanted.connect(self.rename)
        self.sheet.rows_changed.connect(self._lay_rows)

    def _look(self) -> None:
        self.setAccessibleName("stations")
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setShowGrid(False)
        self.setWordWrap(False)
        self.setTabKeyNavigation(False)
        self.setSelectionMode(QAbstractItemView.SelectionMode.NoSelection)
        self.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.setVerticalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        self.setHorizontalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        for header in (self._labels, self._heads):
            header.viewport().setBackgroundRole(QPalette.ColorRole.Base)
        for corner in self.findChildren(QAbstractButton):
            if corner.parent() is self:
                corner.setFocusPolicy(Qt.FocusPolicy.NoFocus)
                corner.setAccessibleName("What you carry")
                corner.installEventFilter(self)

    # What is shown.

    def refresh(self) -> None:
        """Show what the document holds; what is open stays open, and the cell that is chosen."""
        key, column = self._current_spot()
        self.sheet.refresh()
        count = self.sheet.columnCount()
        if count != self._count:
            self._count = count
            self._share()
            self._lay_rows()
            place = self.sheet.place_of(key)
            if place >= 0:
                self.setCurrentIndex(self.sheet.index(place, min(column, count - 1)))

    def show_comparison(self, comparison: Comparison) -> None:
        """Show what was found at the fields."""
        self.sheet.show_findings(comparison.findings)

    def hold(self, held: Scenario | None) -> None:
        """Show what differs from a scenario."""
        self.sheet.hold(held)

    def offer_library(self, library: Library) -> None:
        """Offer the parts of a library that changed."""
        self.doing.library = library

    def usual_width(self, room: int) -> int:
        """Return the width at which every station stands side by side, within the room."""
        digit = self.fontMetrics().horizontalAdvance("0")
        count = max(self._count, 2)
        usual = digit * (USUAL_LABEL_DIGITS + USUAL_COLUMN_DIGITS * count)
        least = digit * (LABEL_DIGITS + COLUMN_DIGITS * count)
        return max(min(usual, room), least) + self._bar_px()

    def _bar_px(self) -> int:
        return self.verticalScrollBar().sizeHint().width()

    def _share(self) -> None:
        """Share the width out among the labels and the stations; room for a bar is always left."""
        digit = self.fontMetrics().horizontalAdvance("0")
        room, count = self.width() - self._bar_px(), max(self._count, 1)
        column = (room - digit * USUAL_LABEL_DIGITS) // count
        column = max(min(column, digit * MOST_COLUMN_DIGITS), digit * COLUMN_DIGITS)
        label = max(room - column * count, digit * LABEL_DIGITS)
        if label == digit * LABEL_DIGITS:
            column = max((room - label) // count, digit * COLUMN_DIGITS)
        self._labels.setFixedWidth(label)
        self._heads.setDefaultSectionSize(column)
        self.shared.emit(label, [column] * count)

    def _lay_rows(self) -> None:
        """Give every row its height, and sentences the whole width."""
        usual = self.fontMetrics().height() + ROW_MARGIN_PX
        column = self._heads.defaultSectionSize()
        if self._labels.defaultSectionSize() != usual:
            self._labels.setDefaultSectionSize(usual)
        self._delegate.label_px = self._labels.width()
        self._delegate.columns_px = self._labels.columns_px = column * self._count
        self.clearSpans()
        for place, row in enumerate(self.sheet.rows):
            height = usual
            if row.is_text:
                if self._count > 1:
                    self.setSpan(place, 0, 1, self._count)
                height = self._delegate.words_height(place, usual, self.font())
            elif row.kind == "name":
                height = usual + self._delegate.second_line(place, column, self.font())
            if self.rowHeight(place) != height:
                self.setRowHeight(place, height)

    def sized_height(self) -> int:
        """Return the height at which no row is out of sight [px]."""
        return self._labels.length() + self._heads.sizeHint().height() + 2

    def resizeEvent(self, event: QResizeEvent) -> None:
        before = (self._labels.width(), self._heads.defaultSectionSize())
        if event.size().width() != event.oldSize().width():
            self._share()
            if before != (self._labels.width(), self._heads.defaultSectionSize()):
                self._lay_rows()
        super().resizeEvent(event)

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() == QEvent.Type.FontChange and self._count:
            self._share()
            self._lay_rows()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if event.type() == QEvent.Type.Paint and isinstance(watched, QAbstractButton):
            with QPainter(watched) as painter:
                own, rect = tints(), watched.rect()
                painter.fillRect(rect, QColor(own.field))
                painter.setPen(QColor(own.quiet_text))
                painter.drawText(rect.adjusted(8, 0, 0, 0), _LEFT, "What you carry")
            return True
        return super().eventFilter(watched, event)

    # Where the keyboard is.

    def focused_station(self) -> int:
        """Return the station of the cell that is chosen, by default the first."""
        column = self.currentIndex().column()
        return column if 0 <= column < self._count else 0

    def choose(self, path: str) -> QModelIndex:
        """Open what a field of a station lies in, choose its cell and bring it into sight."""
        _, index, key = (*path.split(".", 2), "")[:3]
        place = self.sheet.reveal(key or "name")
        found = self.sheet.index(place, min(int(index), self._count - 1))
        self.setCurrentIndex(found)
        self.scrollTo(found)
        return found

    def reveal(self, path: str) -> None:
        """Show the cell of a field, and give it the keyboard."""
        self.choose(path)
        self.setFocus()

    def rename(self, index: int) -> None:
        """Begin to type the name of a station."""
        self.reveal(f"stations.{index}.name")
        self.begin()

    def currentChanged(self, current: Index, previous: Index) -> None:
        super().currentChanged(current, previous)
        if current.isValid():
            self.station_selected.emit(current.column())

    def focusInEvent(self, event: QFocusEvent) -> None:
        super().focusInEvent(event)
        if not self.currentIndex().isValid() and self.sheet.rowCount():
            self.setCurrentIndex(self.sheet.index(0, 0))
        self.station_selected.emit(self.focused_station())

    def _current_spot(self) -> tuple[str, int]:
        index = self.currentIndex()
        rows = self.sheet.rows
        if not index.isValid() or index.row() >= len(rows):
            return "", 0
        return rows[index.row()].key, index.column()

    def _at(self, index: Index) -> tuple[Row, Cell]:
        return self.sheet.rows[index.row()], self.sheet.cell(index.row(), index.column())

    # Doing.

    def toggle(self, place: int) -> None:
        """Open or close a row, or choose the first of its cells where nothing opens."""
        row = self.sheet.rows[place]
        if row.is_open is not None:
            self.sheet.set_open(row.key, not row.is_open)
        elif not row.is_text:
            self.setCurrentIndex(self.sheet.index(place, self.focused_station()))
            self.setFocus()

    def begin(self, typed: str | None = None) -> CellEdit | None:
        """Begin to type in the cell that is chosen, over what stands there or as it is."""
        index = self.currentIndex()
        if not index.isValid() or self._at(index)[1].role not in EDITED:
            return None
        if self.indexWidget(index) is None:
            self.edit(index)
        editor = self.indexWidget(index)
        if not isinstance(editor, CellEdit):
            return None
        if typed is not None:
            editor.type_over(typed)
        return editor

    def _do(self, index: Index, *, with_list: bool = False) -> None:
        """Do what Return does with a cell, or open its list."""
        row, cell = self._at(index)
        at = self.viewport().mapToGlobal(self.visualRect(index).bottomLeft())
        if with_list and has_list(row, cell) and cell.role in (*EDITED, "states"):
            self.doing.offer_library(row.key, index.column())
        elif with_list and row.kind == "list":
            self.doing.open_list(row.key, index.column())
        elif cell.role in EDITED:
            self.begin()
        elif row.kind in ("more", "list"):
            self.toggle(index.row())
        else:
            self.doing.open(row, index.column(), cell, at)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        index, key = self.currentIndex(), event.key()
        if not index.isValid():
            super().keyPressEvent(event)
            return
        row, cell = self._at(index)
        is_alt = bool(event.modifiers() & Qt.KeyboardModifier.AltModifier)
        commands = Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.AltModifier
        if event.matches(QKeySequence.StandardKey.Copy):
            QApplication.clipboard().setText(cell.text)
        elif key == Qt.Key.Key_Down and is_alt:
            self._do(index, with_list=True)
        elif key in (Qt.Key.Key_Return, Qt.Key.Key_Enter, Qt.Key.Key_F2):
            self._do(index)
        elif key == Qt.Key.Key_Space and cell.role != "text":
            self._turn(index, row, cell)
        elif key in (Qt.Key.Key_Delete, Qt.Key.Key_Backspace):
            self.begin("")
        elif event.text().isprintable() and event.text() and not event.modifiers() & commands:
            editor = self.begin()
            if editor is not None:
                QApplication.sendEvent(editor, event)
        else:
            super().keyPressEvent(event)

    def _turn(self, index: Index, row: Row, cell: Cell) -> None:
        if row.is_open is not None:
            self.toggle(index.row())
        else:
            self._do(index)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        at = event.position().toPoint()
        super().mousePressEvent(event)
        index = self.indexAt(at)
        if event.button() != Qt.MouseButton.LeftButton or not index.isValid():
            return
        row, cell = self._at(index)
        rect = self.visualRect(index)
        is_arrow = at.x() >= rect.right() - ARROW_PX - PAD_PX
        shift = bool(event.modifiers() & Qt.KeyboardModifier.ShiftModifier)
        if cell.role == "states" and cell.key:
            for state, _, place in states_at(rect, cell, self.font()):
                if place.contains(at):
                    self.doing.put(cell.key, index.column(), state, everywhere=shift)
        elif is_arrow and has_list(row, cell):
            self._do(index, with_list=True)
        elif cell.role in ("flag", "choice", "add") or (cell.role == "part" and cell.value is None):
            self._do(index)
        elif row.kind == "more":
            self.toggle(index.row())
        elif cell.role == "number" and cell.key and not cell.is_refused:
            self._begin_scrub(cell, index.column(), at)

    def _begin_scrub(self, cell: Cell, index: int, at: QPoint) -> None:
        value = self.doing.value(cell.key, index)
        if value is not None:
            self._scrub = Scrub(self._desk, cell.key, index, float(value), at.x())

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        if self._scrub is None or not event.buttons() & Qt.MouseButton.LeftButton:
            super().mouseMoveEvent(event)
            return
        shift = bool(event.modifiers() & Qt.KeyboardModifier.ShiftModifier)
        if self._scrub.move(round(event.position().x()), everywhere=shift):
            self.viewport().setCursor(Qt.CursorShape.SizeHorCursor)

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        super().mouseReleaseEvent(event)
        if self._scrub is not None:
            self._scrub.end()
            self._scrub = None
            self.viewport().unsetCursor()

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:
        index = self.indexAt(event.position().toPoint())
        if index.isValid() and self._at(index)[1].role in (*EDITED, "rows", "list"):
            self._do(index)
        else:
            self.mousePressEvent(event)

    def contextMenuEvent(self, event: QContextMenuEvent) -> None:
        index = self.currentIndex()
        at = event.globalPos()
        if event.reason() == QContextMenuEvent.Reason.Mouse:
            index = self.indexAt(self.viewport().mapFromGlobal(at))
            self.setCurrentIndex(index)
        elif index.isValid():
            at = self.viewport().mapToGlobal(self.visualRect(index).bottomLeft())
        if index.isValid() and not self._at(index)[0].is_text:
            row, cell = self._at(index)
            self.doing.offer_all(row, index.column(), cell, at)


_LEFT = Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter
