"""The sheet: what each station carries, side by side; asks the document for every change."""

from __future__ import annotations

from PySide6.QtCore import (
    QModelIndex,
    QPersistentModelIndex,
    QPoint,
    Qt,
    Signal,
)
from PySide6.QtGui import (
    QContextMenuEvent,
    QFocusEvent,
    QKeyEvent,
    QKeySequence,
    QMouseEvent,
)
from PySide6.QtWidgets import (
    QApplication,
    QStyledItemDelegate,
    QWidget,
)

from app.editors.sheet.cell_edit import CellEdit
from app.editors.sheet.cells import Cell
from app.editors.sheet.doing import Doing
from app.editors.sheet.grid import SheetGrid
from app.editors.sheet.painting import ARROW_PX, PAD_PX, has_list
from app.editors.sheet.rows import Row
from app.editors.sheet.scrub import Scrub
from app.state.edit_context import Desk
from model.engine.comparison import Comparison
from model.library.catalogue import Library
from model.scenario.scenario import Scenario

Index = QModelIndex | QPersistentModelIndex
EDITED = ("number", "text")


class SheetView(SheetGrid):
    """A row for each slot and field, a column for each station.

    ``station_selected`` carries the station, from 0, that the keyboard goes to.
    """

    station_selected = Signal(int)

    def __init__(self, desk: Desk, library: Library, parent: QWidget | None = None) -> None:
        super().__init__(desk, parent)
        self._desk = desk
        self.doing = Doing(desk, library, self.sheet, self)
        self._scrub: Scrub | None = None
        self.labels.toggled.connect(self.toggle)
        self.heads.menu_wanted.connect(self.doing.offer_station)
        self.doing.rename_wanted.connect(self.rename)

    # What is shown.

    def refresh(self) -> None:
        """Show what the document holds; what is open stays open, and the cell that is chosen."""
        key, column = self._current_spot()
        self.sheet.refresh()
        place = self.sheet.place_of(key)
        if place >= 0:
            self._close_if_gone(self.sheet.index(place, column))
        if self.follow_count() and place >= 0:
            self.setCurrentIndex(self.sheet.index(place, min(column, self.count - 1)))

    def show_comparison(self, comparison: Comparison) -> None:
        """Show what was found at the fields."""
        self.sheet.show_findings(comparison.findings)

    def hold(self, held: Scenario | None) -> None:
        """Show what differs from a scenario."""
        self.sheet.hold(held)

    def offer_library(self, library: Library) -> None:
        """Offer the parts of a library that changed."""
        self.doing.library = library

    # Where the keyboard is.

    def focused_station(self) -> int:
        """Return the station of the cell that is chosen, by default the first."""
        column = self.currentIndex().column()
        return column if 0 <= column < self.count else 0

    def choose(self, path: str) -> QModelIndex:
        """Open what a field of a station lies in, choose its cell and bring it into sight."""
        _, index, key = (*path.split(".", 2), "")[:3]
        place = self.sheet.reveal(key or "name")
        found = self.sheet.index(place, min(int(index), self.count - 1))
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

    def _close_if_gone(self, index: QModelIndex) -> None:
        """Close the line of a field whose part was taken away while it was typed in."""
        line = self.indexWidget(index)
        if isinstance(line, CellEdit) and not line.is_there():
            self.closeEditor(line, QStyledItemDelegate.EndEditHint.NoHint)

    def _at(self, index: Index) -> tuple[Row, Cell]:
        return self.sheet.rows[index.row()], self.sheet.cell(index.row(), index.column())

    # Doing.

    def toggle(self, place: int) -> None:
        """Open or close a row, or choose the first of its cells where nothing opens."""
        row = self.sheet.rows[place]
        if row.is_open is not None:
            self.sheet.set_open(row.key, not row.is_open)
            self._show_within(place)
        elif not row.is_text:
            self.setCurrentIndex(self.sheet.index(place, self.focused_station()))
            self.setFocus()

    def _show_within(self, place: int) -> None:
        """Scroll as far as it takes to see what a row holds, and at least the row itself."""
        key, rows = self.sheet.rows[place].key, self.sheet.rows
        last = place
        while last + 1 < len(rows) and rows[last + 1].key.startswith(f"{key}."):
            last += 1
        for each in (last, place):
            self.scrollTo(self.sheet.index(each, max(self.currentIndex().column(), 0)))

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
        if cell.role == "states" and not is_arrow:
            for line in self.painting.states_at(rect, row.key):
                for each in line:
                    if each.place.contains(at):
                        self.doing.put(each.key, index.column(), each.state, everywhere=shift)
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
