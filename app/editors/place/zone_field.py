"""The time zone: typed in part, and chosen from the list of zones that hold what was typed."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from zoneinfo import available_timezones

from PySide6.QtCore import QModelIndex, QPoint, QStringListModel, Qt
from PySide6.QtWidgets import QAbstractItemView, QListView, QToolButton, QWidget

from app.editors.fields.editor import plain_tip
from app.editors.fields.typed import TypedEditor
from app.state.edit_context import Desk
from app.work.disk import disk

PATH = "site.timezone"
TIP = "Type part of a name, such as a large city in your zone; the arrow keys open the list"
UNKNOWN = (
    "No time zone is called so: type part of a name, such as Rome or New York, and choose one."
)
ROWS, LETTERS = 12, 32


class ZoneField(TypedEditor):
    """A name of the list of zones; part of a name finds those that hold it."""

    characters = 20

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(desk, PATH, parent)
        self.found = ZoneList()
        self.found.clicked.connect(self._on_clicked)
        self.all = QToolButton()
        self.all.setText("▾")
        self.all.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.all.setAccessibleName("list of time zones")
        self.all.clicked.connect(self._on_all)
        self.line.addWidget(self.all)
        for widget in (self.edit, self.all):
            widget.setToolTip(plain_tip(TIP))
        self.edit.stepped.connect(self._on_stepped)

    def read(self, text: str) -> str:
        names = zone_names()
        if not names:
            # Without a list the document says whether there is such a zone.
            return text.strip()
        found = names_with(text)
        if len(found) == 1:
            return found[0]
        raise ValueError(UNKNOWN)

    def _on_all(self) -> None:
        if self.found.isVisible():
            self.found.hide()
        else:
            self.edit.setFocus()
            self.found.open_under(self.edit, zone_names())

    def _on_typed(self, text: str) -> None:
        names = names_with(text)
        self.found.open_under(self.edit, names)
        if len(names) > 1:
            # On the way to a name: nothing is wrong yet, and nothing chosen.
            self.edit.mark(False)
            self.give_up()
            self.show_fault("")
        else:
            super()._on_typed(text)

    def _on_stepped(self, direction: int) -> None:
        if self.found.isVisible():
            self.found.step(-direction)
        else:
            self.found.open_under(self.edit, zone_names())

    def _on_clicked(self, index: QModelIndex) -> None:
        self._choose(index.data())

    def _choose(self, name: str) -> None:
        self.found.hide()
        self.edit.setText(name)
        super()._on_typed(name)
        self.desk.document.end_burst()
        self.settle()

    def _on_given_up(self) -> None:
        self.found.hide()
        super()._on_given_up()

    def _on_left(self) -> None:
        chosen = self.found.chosen()
        if chosen and self.edit.hasFocus():
            # Enter, not a way out of the field.
            self._choose(chosen)
            return
        self.found.hide()
        try:
            self.read(self.edit.text())
        except ValueError as error:
            if self.is_there():
                self.edit.mark(True)
                self.refuse(str(error))
        super()._on_left()


class ZoneList(QListView):
    """The zones that fit, over the sheet and under the field; the keyboard stays in the field."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._names = QStringListModel(self)
        self.setModel(self._names)
        self.setUniformItemSizes(True)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.setAccessibleName("time zones that fit")
        self.hide()

    def names(self) -> list[str]:
        """Return what is offered."""
        return self._names.stringList()

    def open_under(self, field: QWidget, names: Sequence[str]) -> None:
        """Offer names under a field; a single one, or none, needs no list."""
        around = field.parentWidget()
        sheet = around.parentWidget() if around is not None else None
        if len(names) < 2 or sheet is None:
            self.hide()
            return
        self._names.setStringList(list(names))
        self.setParent(sheet)
        corner = field.mapTo(sheet, QPoint(0, field.height()))
        row_px = self.sizeHintForRow(0)
        height = row_px * min(len(names), ROWS) + 2 * self.frameWidth()
        width = self.fontMetrics().horizontalAdvance("0") * LETTERS
        self.setGeometry(corner.x(), corner.y(), width, min(height, sheet.height() - corner.y()))
        self.scrollToTop()
        self.show()
        self.raise_()

    def step(self, rows: int) -> None:
        """Go some rows down."""
        row = max(self.currentIndex().row() + rows, 0)
        self.setCurrentIndex(self._names.index(min(row, self._names.rowCount() - 1)))

    def chosen(self) -> str:
        """Return the name the keyboard stands at; empty without one, or when the list is closed."""
        return str(self.currentIndex().data() or "") if self.isVisible() else ""


def names_with(text: str) -> tuple[str, ...]:
    """Return the one zone that is called so, or all whose names hold the words."""
    wanted = text.strip().replace(" ", "_").casefold()
    found = tuple(name for name in zone_names() if wanted and wanted in name.casefold())
    exact = tuple(name for name in found if name.casefold() == wanted)
    return exact or found


def zone_names() -> tuple[str, ...]:
    """Return the names of all time zones, sorted; none where the disk gives no answer."""
    try:
        return _zone_names()
    except OSError:
        return ()


@lru_cache(maxsize=1)
def _zone_names() -> tuple[str, ...]:
    return tuple(sorted(disk.get(available_timezones)))
