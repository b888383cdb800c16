"""One letter beside a number that says where it comes from, and opens a menu to say otherwise."""

from __future__ import annotations

from functools import cached_property

from PySide6.QtCore import QSize
from PySide6.QtGui import QAction
from PySide6.QtWidgets import QMenu, QSizePolicy, QToolButton, QVBoxLayout, QWidget

from app.editors.fields.editor import plain_tip
from app.editors.fields.source import ORIGINS, source_at, source_words, table_of, write_source
from app.editors.fields.source_form import SourceForm
from app.state.edit_context import Desk
from model.editing.field_facts import describe, field_at
from model.results.wording import capital

LETTERS = {"measured": "M", "datasheet": "D", "guess": "G"}


class SourceGap(QWidget):
    """Stands where a number has no source, so that all numbers end at one edge."""

    def sizeHint(self) -> QSize:
        metrics = self.fontMetrics()
        return QSize(metrics.horizontalAdvance("M") + 14, metrics.height())

    def minimumSizeHint(self) -> QSize:
        return self.sizeHint()


class SourceButton(QToolButton):
    """One letter: M measured, D datasheet, G guess; opens a menu to say which.

    The menu is made when it is first asked for, and so are the details, at the end of ``below``:
    most numbers of a part never need them, and all together they cost as much as the part.
    """

    def __init__(
        self, desk: Desk, path: str, below: QVBoxLayout, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self._desk, self._path, self._below = desk, path, below
        self._details: SourceForm | None = None
        self.setAutoRaise(True)
        self.clicked.connect(self._open)
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)

    @cached_property
    def menu_of_origins(self) -> QMenu:
        """What the number may come from, and a way to its details."""
        menu = QMenu(self)
        for origin, words in ORIGINS:
            menu.addAction(capital(words)).setData(origin)
        menu.addSeparator()
        more = menu.addAction("Date and spread")
        more.setCheckable(True)
        more.toggled.connect(self._show_details)
        menu.triggered.connect(self._on_chosen)
        return menu

    def sizeHint(self) -> QSize:
        metrics = self.fontMetrics()
        return QSize(metrics.horizontalAdvance("M") + 14, metrics.height() + 6)

    def minimumSizeHint(self) -> QSize:
        return self.sizeHint()

    def refresh(self) -> None:
        """Show the source the document holds."""
        source = source_at(self._desk, self._path)
        self.setText(LETTERS[source.origin])
        words = source_words(source, field_at(self._path).spread)
        self.setAccessibleName(f"source of {describe(self._path)}: {words}")
        self.setToolTip(plain_tip(f"Source: {words}"))
        if self._details is not None:
            self._details.refresh()

    def _show_details(self, is_shown: bool) -> None:
        if self._details is None:
            self._details = SourceForm(self._desk, self._path)
            self._details.refresh()
            self._below.addWidget(self._details)
        self._details.setVisible(is_shown)

    def _open(self) -> None:
        self.menu_of_origins.popup(self.mapToGlobal(self.rect().bottomLeft()))

    def _on_chosen(self, action: QAction) -> None:
        origin = action.data()
        if origin is None:
            return
        source = table_of(source_at(self._desk, self._path)) | {"from": origin}
        if origin != "measured":
            source.pop("on", None)
        write_source(self._desk, self._path, source)
        self._desk.document.end_burst()
