"""Leads, chargers or extras of a station: their list, and a form for the one that is chosen."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtGui import QAction
from PySide6.QtWidgets import QHBoxLayout, QMenu, QPushButton, QVBoxLayout, QWidget

from app.editors.fields.build import editor_for
from app.editors.fields.editor import FieldEditor
from app.editors.popovers.field_popover import Sheet
from app.editors.popovers.part_table import PartTable
from app.state.edit_context import Desk
from model.editing.edit_stations import fitted, station_of, with_part_duplicated
from model.editing.field_facts import known_keys
from model.editing.paths import value_at, with_moved, with_removed
from model.library.catalogue import Library
from model.results.wording import heading_at
from model.scenario.kinds import KIND_OF_SLOT, PartKind
from model.scenario.scenario import Scenario
from model.scenario.station import Part

LAST, HIDDEN = ("mass_kg", "cost"), ("sources",)
FORM_DIGITS = 46


class EntryForm(QWidget):
    """Every field of one entry."""

    def __init__(self, desk: Desk, path: str) -> None:
        super().__init__()
        names = [name for name in known_keys(path) if name not in ("name", *LAST, *HIDDEN)]
        self.editors: list[FieldEditor] = []
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.setSpacing(3)
        for name in ("name", *names, *LAST):
            editor = editor_for(desk, f"{path}.{name}")
            self.editors.append(editor)
            whole.addWidget(editor)
        whole.addStretch(1)
        self.setFixedWidth(self.fontMetrics().horizontalAdvance("0") * FORM_DIGITS)

    def refresh(self) -> None:
        """Show what the document holds."""
        for editor in self.editors:
            editor.refresh()


class ListSheet(Sheet):
    """The entries with the numbers that matter; the chosen one is edited beside them."""

    def __init__(self, desk: Desk, path: str, library: Library) -> None:
        super().__init__(desk, path)
        self.kind: PartKind = KIND_OF_SLOT[path.split(".")[2]]
        self._library, self._chosen = library, 0
        self.form: EntryForm | None = None
        self.table = PartTable(f"list: {self.title}", self.kind, desk.display)
        self.table.part_chosen.connect(self._on_chosen)
        self._offered = QMenu(self)
        self._offered.triggered.connect(self._on_added)
        self.add = self._button("Add", f"Add a {self.kind.words} of the library")
        self.add.setMenu(self._offered)
        self._offered.aboutToShow.connect(self._on_offer)
        self.copy = self._button("Duplicate", "Put a copy below the chosen one")
        self.up = self._button("Move up", "Move the chosen one up")
        self.remove = self._button("Remove", "Take the chosen one away")
        self.copy.clicked.connect(self._on_copy)
        self.up.clicked.connect(self._on_up)
        self.remove.clicked.connect(self._on_remove)
        buttons = QHBoxLayout()
        for button in (self.add, self.copy, self.up, self.remove):
            buttons.addWidget(button)
        buttons.addStretch(1)
        left = QVBoxLayout()
        left.addWidget(self.table)
        left.addLayout(buttons)
        left.addStretch(1)
        self._beside = QHBoxLayout()
        self._beside.setSpacing(16)
        self._beside.addLayout(left)
        self.whole.addLayout(self._beside)

    def _button(self, text: str, tip: str) -> QPushButton:
        button = QPushButton(text)
        button.setToolTip(tip)
        button.setAutoDefault(False)
        return button

    @property
    def title(self) -> str:
        who = heading_at(self.desk.document.scenario, station_of(self.path))
        return f"{KIND_OF_SLOT[self.path.split('.')[2]].label}s of {who}"

    def is_there(self) -> bool:
        return station_of(self.path) < len(self.desk.document.scenario.stations)

    def first(self) -> QWidget:
        return self.table if self._entries else self.add

    @property
    def _entries(self) -> tuple[Part, ...]:
        held: tuple[Part, ...] = value_at(self.desk.document.scenario, self.path)
        return held

    def refresh(self) -> None:
        entries = self._entries
        self._chosen = max(min(self._chosen, len(entries) - 1), 0)
        self.table.show_parts(entries, self._chosen if entries else -1)
        if not entries and self.remove.hasFocus():
            # A button that goes grey hands the keyboard on, to a form that is about to go or out
            # of the popover.
            self.add.setFocus()
        for button in (self.copy, self.remove):
            button.setEnabled(bool(entries))
        self.up.setEnabled(self._chosen > 0)
        self._show_form()

    def _show_form(self) -> None:
        wanted = f"{self.path}.{self._chosen}" if self._entries else ""
        if self.form is not None and self.form.objectName() != wanted:
            self._beside.removeWidget(self.form)
            self.form.hide()
            self.form.deleteLater()
            self.form = None
        if wanted and self.form is None:
            self.form = EntryForm(self.desk, wanted)
            self.form.setObjectName(wanted)
            self._beside.addWidget(self.form, 0, Qt.AlignmentFlag.AlignTop)
        if self.form is not None:
            self.form.refresh()
        self.listen()

    # What a person does.

    def _on_chosen(self, row: int) -> None:
        self._chosen = row
        self.refresh()

    def _on_offer(self) -> None:
        self._offered.clear()
        for number, part in enumerate(self._library.of(self.kind.key)):
            self._offered.addAction(part.name.replace("&", "&&")).setData(number)
        if self._offered.isEmpty():
            self._offered.addAction("The library has none").setEnabled(False)

    def _on_added(self, action: QAction) -> None:
        if action.data() is not None:
            part = self._library.of(self.kind.key)[action.data()]
            self._chosen = len(self._entries)
            scenario = self.desk.document.scenario
            self._put(fitted(scenario, station_of(self.path), part))

    def _on_copy(self) -> None:
        self._chosen += 1
        self._put(with_part_duplicated(self.desk.document.scenario, self._path_of(-1)))

    def _on_up(self) -> None:
        self._chosen -= 1
        self._put(with_moved(self.desk.document.scenario, self._path_of(1), self._chosen))

    def _on_remove(self) -> None:
        self._put(with_removed(self.desk.document.scenario, self._path_of(0)))

    def _path_of(self, step: int) -> str:
        """Return the path of the chosen entry, before or after it changes its place."""
        return f"{self.path}.{self._chosen + step}"

    def _put(self, after: Scenario) -> None:
        self.desk.document.replace(self.deed, after, self.path)
