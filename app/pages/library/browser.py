"""Browse the library: search, filter, edit, copy, delete with undo, bring in and take out."""

from __future__ import annotations

from typing import cast

from PySide6.QtCore import QEvent, QItemSelection, QObject, Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import (
    QComboBox,
    QFrame,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QPushButton,
    QScrollArea,
    QSplitter,
    QVBoxLayout,
    QWidget,
)

from app.editors.fields.editor import NoteLabel
from app.pages.library.difference import row_words
from app.pages.library.offer import Offer
from app.pages.library.part_editor import PartEditor
from app.pages.library.part_rows import COLUMNS, TEXT_COLUMNS, part_rows
from app.pages.library.parts_table import PartsTable
from app.pages.library.shelf import Shelf
from app.pages.library.versions_menu import LibraryVersions
from app.state.display import Display
from app.widgets.flow import FlowLayout
from app.widgets.table_model import TextTable
from app.widgets.tokens import GRID_PX
from model.library.catalogue import KIND_LABELS, KINDS, LISTS, Kind, difference, kind_of
from model.library.new_station import new_part
from model.scenario.station import Part, Station

ALL_KINDS = "All parts"
EDITOR_CHARACTERS = 50
INVENTED = (
    "The parts that came with the program are invented; your own measured numbers replace them."
)


class LibraryBrowser(QWidget):
    """The person's parts. Files and stations are asked for by signals.

    ``import_wanted`` and ``export_wanted`` ask for a file; ``part_wanted`` brings the chosen part
    into the station that asked.
    """

    import_wanted = Signal()
    export_wanted = Signal(object)
    part_wanted = Signal(object)

    def __init__(self, shelf: Shelf, display: Display, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._shelf, self._display = shelf, display
        self._station: Station | None = None
        self._edited: Part | None = None
        self._is_showing = False
        self._kinds = QComboBox()
        self._search = QLineEdit(clearButtonEnabled=True)
        self._parts: tuple[Part, ...] = ()
        self._model = TextTable(words=TEXT_COLUMNS)
        self._table = PartsTable(self._model)
        self.editor = PartEditor(display)
        self.offer = Offer(shelf, display)
        self._state, self._change = NoteLabel(), NoteLabel()
        self.buttons = {
            name: QPushButton(words)
            for name, words in (
                ("new", "New"), ("copy", "Copy"), ("delete", "Delete"), ("undo", "Undo"),
                ("import", "Import…"), ("export", "Export…"), ("versions", "Earlier versions"),
                ("use", "Put into the station"),
            )
        }  # fmt: skip
        self.versions = LibraryVersions(shelf, self)
        self.buttons["versions"].setMenu(self.versions)
        self._lay_out()
        self._wire()
        self._show_faults()
        self._show()

    def _lay_out(self) -> None:
        self._kinds.addItems([ALL_KINDS, *(KIND_LABELS[kind] for kind in KINDS)])
        self._kinds.setAccessibleName("kind of part")
        self._search.setPlaceholderText("Search (down goes to the parts)")
        self._search.setAccessibleName("search the library")
        left = QWidget()
        column = QVBoxLayout(left)
        column.setContentsMargins(0, GRID_PX, 0, 0)
        top, row = QHBoxLayout(), QWidget()
        bottom = FlowLayout(row)
        top.addWidget(self._kinds)
        top.addWidget(self._search, 1)
        for name in ("new", "copy", "delete", "undo", "import", "export", "versions"):
            bottom.addWidget(self.buttons[name])
        column.addLayout(top)
        column.addWidget(self._table, 1)
        column.addWidget(row)
        column.addWidget(self._state)
        column.addWidget(self.offer)
        across = QSplitter(Qt.Orientation.Horizontal)
        across.addWidget(left)
        across.addWidget(self._right())
        across.setStretchFactor(0, 1)
        across.setStretchFactor(1, 0)
        # The form needs no more than its least width; the list gets the rest.
        across.setSizes([10_000, 1])
        across.setHandleWidth(2 * GRID_PX)
        across.setChildrenCollapsible(False)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.addWidget(across)

    def _right(self) -> QWidget:
        right = QWidget()
        column = QVBoxLayout(right)
        column.setContentsMargins(0, GRID_PX, 0, 0)
        area = QScrollArea(widgetResizable=True)
        form = QWidget()
        inside = QVBoxLayout(form)
        inside.setContentsMargins(0, 0, 0, 0)
        said = QLabel(INVENTED)
        said.setWordWrap(True)
        # What is said of a part scrolls with its fields: low windows hold both.
        inside.addWidget(said)
        inside.addWidget(self._change)
        inside.addWidget(self.editor, 1)
        area.setWidget(form)
        area.setFrameShape(QFrame.Shape.NoFrame)
        area.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        area.setMinimumWidth(self.fontMetrics().averageCharWidth() * EDITOR_CHARACTERS)
        column.addWidget(area, 1)
        column.addWidget(self.buttons["use"], 0, Qt.AlignmentFlag.AlignLeft)
        return right

    def _wire(self) -> None:
        self._search.installEventFilter(self)
        self.first: QWidget = self._search
        self._kinds.activated.connect(self._show)
        self._search.textChanged.connect(self._show)
        self._table.selectionModel().selectionChanged.connect(self._on_selected)
        self._shelf.library_changed.connect(self._on_library_changed)
        self._shelf.save_failed.connect(self._show_refusal)
        self._shelf.refused.connect(self._show_refusal)
        self._display.units_changed.connect(self._show)
        self.editor.part_changed.connect(self._on_part_changed)
        self.offer.closed.connect(self._show)
        for name, slot in (
            ("new", self._on_new), ("copy", self._on_copy), ("delete", self._on_delete),
            ("undo", self._shelf.undo), ("import", self.import_wanted),
            ("export", self._on_export), ("use", self._on_use),
        ):  # fmt: skip
            self.buttons[name].clicked.connect(slot)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Go from the search to the parts found by the key that points there."""
        if (
            watched is self._search
            and isinstance(event, QKeyEvent)
            and event.type() == QEvent.Type.KeyPress
            and event.key() == Qt.Key.Key_Down
        ):
            self._table.setFocus()
            return True
        return False

    def compare_with(self, station: Station | None) -> None:
        """Compare each chosen part with the one that a station carries in its place."""
        self._station = station
        self._show_change(self.selected())

    def keep(self, part: Part) -> None:
        """Offer to take a part out of a station into the library."""
        self.offer.show_parts((part,))
        self.offer.setFocus()

    def selected(self) -> Part | None:
        """Return the part whose row is chosen."""
        rows = self._table.selectionModel().selectedRows()
        return self._parts[rows[0].row()] if rows else None

    def select(self, part: Part) -> None:
        """Choose the row of a part, if it is shown."""
        for row, shown in enumerate(self._parts):
            if kind_of(shown) == kind_of(part) and shown.name == part.name:
                self._table.selectRow(row)

    def _kind(self) -> Kind | None:
        index = self._kinds.currentIndex()
        return KINDS[index - 1] if index > 0 else None

    def _show(self, *_: object) -> None:
        chosen = self._edited or self.selected()
        found = self._shelf.library.search(self._search.text(), self._kind())
        if self._edited is not None and self._edited not in found:
            # A name being typed need not hold the words that are searched for.
            found = (*found, self._edited)
        self._is_showing = True
        self._parts = found
        self._model.show(COLUMNS, part_rows(found, self._display))
        self._table.fit()
        if chosen is not None and self.selected() is None:
            self.select(chosen)
        self._is_showing = False
        self._on_selected()

    def _on_selected(self, *_: QItemSelection) -> None:
        if self._is_showing:
            return
        part = self.selected()
        self.editor.show_part(part)
        for name in ("copy", "delete", "use"):
            self.buttons[name].setEnabled(part is not None)
        self.buttons["export"].setEnabled(bool(self._parts))
        undo = self._shelf.undo_words
        self.buttons["undo"].setEnabled(bool(undo))
        self.buttons["undo"].setToolTip(f"Undo {undo}".replace("&", "&&") if undo else "")
        self._show_change(part)

    def _show_change(self, part: Part | None) -> None:
        """Say what the chosen part would change in the station, before it is brought in."""
        old = self._carried(kind_of(part)) if part is not None else None
        if part is None or old is None:
            self._change.show_lines("hint", self._added(part))
            return
        rows = [
            row_words(row, part, self._display)
            for row in difference(old, part)
            if not row.field.startswith("sources.")
        ]
        lines = [f"{label}: {before} → {after}" for label, before, after in rows]
        self._change.show_lines("hint", lines or ["The station carries this part as it is."])

    def _carried(self, kind: Kind) -> Part | None:
        """Return the part whose place one of this kind would take, if there is one."""
        if self._station is None or kind in LISTS:
            return None
        return cast("Part | None", getattr(self._station, kind))

    def _added(self, part: Part | None) -> list[str]:
        if part is None or self._station is None:
            return []
        return [f"The station would carry one more {KIND_LABELS[kind_of(part)].lower()}."]

    def _show_faults(self) -> None:
        lines = [str(fault) for fault in self._shelf.faults[:6]]
        self._state.show_lines("warning", lines)

    def _show_refusal(self, words: str) -> None:
        """Say why something was not done, until the next change is made."""
        self._state.show_lines("error", [words])

    def _on_library_changed(self) -> None:
        self._show_faults()
        self._show()

    def _on_part_changed(self, part: Part) -> None:
        old = self.selected()
        if old is None or kind_of(old) != kind_of(part):
            return
        self._edited = part
        fault = self._shelf.replace(old, part)
        self._edited = None
        self.editor.show_fault(fault)

    def _on_new(self) -> None:
        """Start a part of the kind that is shown, or of the chosen one's kind."""
        chosen = self.selected()
        kind = self._kind() or (kind_of(chosen) if chosen is not None else KINDS[0])
        self._search.clear()
        self._choose(self._shelf.add(new_part(kind)))

    def _on_copy(self) -> None:
        part = self.selected()
        if part is not None:
            self._choose(self._shelf.duplicate(part))

    def _choose(self, added: Part | None) -> None:
        if added is not None:
            self.select(added)

    def _on_delete(self) -> None:
        part = self.selected()
        if part is not None:
            self._shelf.delete(part)

    def _on_export(self) -> None:
        self.export_wanted.emit(self._parts)

    def _on_use(self) -> None:
        part = self.selected()
        if part is not None:
            self.part_wanted.emit(part)
