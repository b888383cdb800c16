"""The log as a table: a cell is typed over, a row added at the end, rows pasted or deleted."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from PySide6.QtCore import QModelIndex, QPersistentModelIndex, Qt, Signal
from PySide6.QtGui import QKeyEvent, QKeySequence, QStandardItem, QStandardItemModel
from PySide6.QtWidgets import QAbstractItemView, QHeaderView, QWidget

from app.widgets.chosen_rows import ChosenTable
from app.widgets.in_sight import keep_in_sight
from model.engine.run import StationRun
from model.field.log_text import COLUMNS, HEADS, cells_of
from model.scenario.station import FieldReading

Index = QModelIndex | QPersistentModelIndex
MOST_ROWS = 7
KEYS = tuple(column.key for column in COLUMNS)
TIP = "Type over a cell or into the empty row; Ctrl+V pastes rows, Ctrl+C copies, Del removes."


class LogTable(ChosenTable):
    """Shows the readings of a run and one empty row.

    ``row_typed`` carries the place of a row and the texts of its cells by key, ``removed`` places
    of rows; ``paste_wanted`` and ``copy_wanted`` follow the usual keys. It changes nothing itself.
    """

    row_typed = Signal(int, object)
    removed = Signal(object)
    paste_wanted = Signal()
    copy_wanted = Signal()
    _cell_changed = Signal(int)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._items = QStandardItemModel(self)
        self._items.setHorizontalHeaderLabels(list(HEADS))
        self.setModel(self._items)
        self.setAccessibleName("field log")
        self.setToolTip(TIP)
        self.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectItems)
        self.setEditTriggers(
            QAbstractItemView.EditTrigger.AnyKeyPressed
            | QAbstractItemView.EditTrigger.DoubleClicked
            | QAbstractItemView.EditTrigger.EditKeyPressed
        )
        self.setTabKeyNavigation(False)
        self.verticalHeader().setVisible(False)
        self.horizontalHeader().setSectionResizeMode(QHeaderView.ResizeMode.ResizeToContents)
        self._items.itemChanged.connect(self._on_item_changed)
        # Told once the editor has closed: what follows may make all rows anew.
        self._cell_changed.connect(self._on_cell_changed, Qt.ConnectionType.QueuedConnection)

    def currentChanged(self, current: Index, previous: Index) -> None:
        super().currentChanged(current, previous)
        keep_in_sight(self, current)

    @property
    def drafts(self) -> dict[str, str]:
        """What stands in the empty row and is no reading yet, by key."""
        return {key: text for key, text in self.cells(self._items.rowCount() - 1).items() if text}

    def cells(self, row: int) -> dict[str, str]:
        """Return the texts of a row by key."""
        found = {}
        for column, key in enumerate(KEYS):
            item = self._items.item(row, column)
            found[key] = item.text().strip() if item is not None else ""
        return found

    def show_log(
        self, run: StationRun | None, log: Sequence[FieldReading], draft: Mapping[str, str]
    ) -> None:
        """Show a log, and what was typed into the row after it."""
        at = self.currentIndex()
        rows = [cells_of(run, each) for each in log] if run is not None else []
        rows.append([draft.get(key, "") for key in KEYS])
        self._items.setRowCount(0)
        for number, row in enumerate(rows):
            items = [QStandardItem(text) for text in row]
            which = f"reading {number + 1}" if number < len(rows) - 1 else "new reading"
            for item, head in zip(items, HEADS, strict=True):
                item.setData(f"{which}, {head}: {item.text()}", Qt.ItemDataRole.AccessibleTextRole)
            self._items.appendRow(items)
        if at.isValid():
            row_now = min(at.row(), len(rows) - 1)
            self.setCurrentIndex(self._items.index(row_now, at.column()))
        shown = min(len(rows), MOST_ROWS)
        height = self.horizontalHeader().sizeHint().height() + 2 * self.frameWidth()
        bar = self.horizontalScrollBar().sizeHint().height()
        self.setFixedHeight(height + bar + shown * self.verticalHeader().defaultSectionSize())

    def _on_item_changed(self, item: QStandardItem) -> None:
        self._cell_changed.emit(item.row())

    def _on_cell_changed(self, row: int) -> None:
        if row < self._items.rowCount():
            self.row_typed.emit(row, self.cells(row))

    def keyPressEvent(self, event: QKeyEvent) -> None:
        last = self._items.rowCount() - 1
        if event.matches(QKeySequence.StandardKey.Paste):
            self.paste_wanted.emit()
        elif event.matches(QKeySequence.StandardKey.Copy):
            self.copy_wanted.emit()
        elif event.key() in (Qt.Key.Key_Delete, Qt.Key.Key_Backspace):
            rows = sorted({index.row() for index in self.selectedIndexes()} - {last})
            if rows:
                self.removed.emit(tuple(rows))
        else:
            super().keyPressEvent(event)
