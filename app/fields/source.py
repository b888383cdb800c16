"""Where a number comes from: measured, datasheet or guess, when, and how far it may be off."""

from __future__ import annotations

from datetime import date
from functools import cached_property
from typing import Any

from PySide6.QtCore import QSize
from PySide6.QtGui import QAction
from PySide6.QtWidgets import (
    QHBoxLayout,
    QLabel,
    QMenu,
    QSizePolicy,
    QToolButton,
    QVBoxLayout,
    QWidget,
)

from app.fields.editor import NoteLabel, fault_words, plain_tip
from app.fields.line import LineEdit
from app.number_text import NumberTextError, percent
from app.state.edit_context import Desk
from model.editing.faults import ScenarioError
from model.editing.field_facts import describe, field_at, place_words
from model.editing.paths import value_at, with_value
from model.scenario.declare import Source
from model.scenario.station import GUESS

LETTERS = {"measured": "M", "datasheet": "D", "guess": "G"}


def source_at(desk: Desk, path: str) -> Source:
    """Return the source of the number at a path; a guess unless said otherwise."""
    parent, _, name = path.rpartition(".")
    try:
        found = value_at(desk.document.scenario, f"{parent}.sources.{name}")
    except KeyError:
        return GUESS
    return found if isinstance(found, Source) else GUESS


def write_source(desk: Desk, path: str, source: dict[str, Any]) -> str:
    """Ask the document for another source; return why it is refused, or nothing."""
    parent, _, name = path.rpartition(".")
    sources = f"{parent}.sources"
    try:
        held = value_at(desk.document.scenario, sources)
        table = {key: item for key, item in held if key != name} | {name: source}
        changed = with_value(desk.document.scenario, sources, table)
    except ScenarioError as error:
        return fault_words(error.faults)
    desk.document.replace(f"source of {place_words(path)}", changed, f"{sources}.{name}")
    return ""


def table_of(source: Source) -> dict[str, Any]:
    """Return a source as the table a file holds."""
    return source.model_dump(exclude_none=True, exclude_defaults=True, by_alias=True)


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
        self._details: SourceDetails | None = None
        self.setAutoRaise(True)
        self.clicked.connect(self._open)
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)

    @cached_property
    def menu_of_origins(self) -> QMenu:
        """What the number may come from, and a way to its details."""
        menu = QMenu(self)
        for origin, words in (
            ("measured", "Measured"),
            ("datasheet", "From a datasheet"),
            ("guess", "A guess"),
        ):
            menu.addAction(words).setData(origin)
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
            self._details = SourceDetails(self._desk, self._path)
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


class SourceDetails(QWidget):
    """When a number was measured and how far it may be off."""

    def __init__(self, desk: Desk, path: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._desk, self._path = desk, path
        self._on, self._spread, self._remark = LineEdit(10), LineEdit(5), LineEdit(18)
        self._note = NoteLabel()
        self._settled = table_of(source_at(desk, path))
        self._on.setPlaceholderText("2027-03-01")
        self._on.setAccessibleName(f"date of measuring {describe(path)}")
        self._spread.setAccessibleName(f"spread of {describe(path)} in per cent")
        line = QHBoxLayout()
        line.setContentsMargins(12, 0, 0, 0)
        for item in (QLabel("on"), self._on, QLabel("±"), self._spread, QLabel("%")):
            line.addWidget(item)
        line.addStretch(1)
        self._remark.setPlaceholderText("how it was found")
        self._remark.setAccessibleName(f"note on the source of {describe(path)}")
        self._remark.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        second = QHBoxLayout()
        second.setContentsMargins(12, 0, 0, 0)
        second.addWidget(self._remark)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.addLayout(line)
        whole.addLayout(second)
        whole.addWidget(self._note)
        self._on.textEdited.connect(self._on_date_typed)
        self._spread.textEdited.connect(self._on_spread_typed)
        self._remark.textEdited.connect(self._on_remark_typed)
        for edit in (self._on, self._spread, self._remark):
            edit.entered.connect(self._on_entered)
            edit.given_up.connect(self._on_given_up)
            edit.left.connect(desk.document.end_burst)

    def refresh(self) -> None:
        """Show the source the document holds."""
        source = source_at(self._desk, self._path)
        for edit, text in self._texts(source):
            if not edit.hasFocus():
                edit.show_text(text)
        usual = field_at(self._path).spread
        self._spread.setPlaceholderText("" if usual is None else f"{usual * 100:.3g}")

    def _on_entered(self) -> None:
        if not any(edit.is_marked for edit in (self._on, self._spread, self._remark)):
            self._settled = table_of(source_at(self._desk, self._path))

    def _on_given_up(self) -> None:
        """Take back what was typed since the source was entered."""
        write_source(self._desk, self._path, self._settled)
        source = source_at(self._desk, self._path)
        for edit, text in self._texts(source):
            edit.show_text(text)
            self._refuse(edit, "")

    def _texts(self, source: Source) -> tuple[tuple[LineEdit, str], ...]:
        return (
            (self._on, source.on.isoformat() if source.on else ""),
            (self._spread, "" if source.spread is None else f"{source.spread * 100:.6g}"),
            (self._remark, source.note),
        )

    def _on_date_typed(self, text: str) -> None:
        source = table_of(source_at(self._desk, self._path))
        source.setdefault("from", "guess")
        source.pop("on", None)
        if text.strip():
            try:
                source["on"] = date.fromisoformat(text.strip())
            except ValueError:
                self._refuse(self._on, "A date reads 2027-03-01.")
                return
        self._write(self._on, source)

    def _on_spread_typed(self, text: str) -> None:
        source = table_of(source_at(self._desk, self._path))
        source.setdefault("from", "guess")
        source.pop("spread", None)
        parent, _, name = self._path.rpartition(".")
        try:
            value = self._desk.display.read(text, field_at(f"{parent}.sources.{name}.spread"))
        except NumberTextError as error:
            self._refuse(self._spread, str(error))
            return
        if value is not None:
            source["spread"] = float(value)
        self._write(self._spread, source)

    def _on_remark_typed(self, text: str) -> None:
        source = table_of(source_at(self._desk, self._path))
        source.setdefault("from", "guess")
        source.pop("note", None)
        if text.strip():
            source["note"] = text
        self._write(self._remark, source)

    def _write(self, line: LineEdit, source: dict[str, Any]) -> None:
        self._refuse(line, write_source(self._desk, self._path, source))

    def _refuse(self, line: LineEdit, why: str) -> None:
        line.mark(bool(why))
        self._note.show_lines("error", [why] if why else [])


def source_words(source: Source, usual_spread: float | None) -> str:
    """Return a source in words: ``measured on 2027-03-01, ±5 %``."""
    words = {"measured": "measured", "datasheet": "from a datasheet", "guess": "a guess"}
    text = words[source.origin]
    if source.on is not None:
        text += f" on {source.on.isoformat()}"
    spread = source.spread if source.spread is not None else usual_spread
    if source.origin == "guess" or source.spread is not None:
        text += f", ±{percent(spread)}" if spread else ""
    return f"{text}. {source.note}" if source.note else text
