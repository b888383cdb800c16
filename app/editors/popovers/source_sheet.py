"""A number with all that is known of it: value, unit, source, date, spread and a note."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import Any

from PySide6.QtWidgets import QGridLayout, QLabel, QWidget

from app.editors.popovers.field_popover import Sheet
from app.fields.choices import QuietCombo
from app.fields.editor import NoteLabel
from app.fields.line import LineEdit
from app.fields.number import NumberEditor, can_have_source
from app.fields.source import source_at, table_of, write_source
from app.number_text import NumberTextError
from app.state.edit_context import Desk
from model.editing.field_facts import describe, field_at
from model.scenario.declare import Source

__all__ = ["SourceSheet", "can_have_source"]
ORIGINS = (("measured", "measured"), ("datasheet", "from a datasheet"), ("guess", "a guess"))


class SourceSheet(Sheet):
    """The value, and under it where it comes from; a date is that of a measurement."""

    def __init__(self, desk: Desk, path: str) -> None:
        parent, _, self._name = path.rpartition(".")
        super().__init__(desk, path, parent)
        self._is_number = field_at(path).kind in ("number", "whole")
        self._spread_facts = field_at(f"{parent}.sources.{self._name}.spread")
        self.value = NumberEditor(desk, path, with_source=False) if self._is_number else None
        self.origin, self.on = QuietCombo(), LineEdit(11)
        self.spread, self.note = LineEdit(7), LineEdit(28)
        self._fault = NoteLabel()
        for key, words in ORIGINS:
            self.origin.addItem(words, key)
        where = describe(path)
        for widget, words in (
            (self.origin, f"source of {where}"),
            (self.on, f"date of measuring {where}"),
            (self.spread, f"spread of {where} in per cent"),
            (self.note, f"note on the source of {where}"),
        ):
            widget.setAccessibleName(words)
        self.on.setPlaceholderText("2027-03-01")
        self.note.setPlaceholderText("how it was found")
        self._lay_out()
        self.origin.activated.connect(self._on_origin)
        self.on.textEdited.connect(self._on_date)
        self.spread.textEdited.connect(self._on_spread)
        self.note.textEdited.connect(self._on_note)
        for line in (self.on, self.spread, self.note):
            line.given_up.connect(self._forget)

    def _lay_out(self) -> None:
        if self.value is not None:
            self.value.label.setText("Value")
            self.whole.addWidget(self.value)
        grid = QGridLayout()
        grid.setHorizontalSpacing(12)
        grid.setColumnStretch(2, 1)
        rows: tuple[tuple[str, QWidget, str], ...] = (
            ("Source", self.origin, ""), ("Date", self.on, ""), ("Spread", self.spread, "%"),
            ("Note", self.note, ""),
        )  # fmt: skip
        for row, (words, widget, unit) in enumerate(rows):
            label = QLabel(words)
            label.setBuddy(widget)
            grid.addWidget(label, row, 0)
            grid.addWidget(widget, row, 1, 1, 1 if unit else 2)
            if unit:
                grid.addWidget(QLabel(unit), row, 2)
        self.whole.addLayout(grid)
        self.whole.addWidget(self._fault)

    def is_there(self) -> bool:
        try:
            return self.value is None or self.value.is_there()
        except KeyError:
            return False

    def refresh(self) -> None:
        if self.value is not None:
            self.value.refresh()
        source = self._source
        self.origin.setCurrentIndex([key for key, _ in ORIGINS].index(source.origin))
        for line, text in self._texts(source):
            if not line.hasFocus() and not line.is_marked:
                line.show_text(text)
        usual = field_at(self.path).spread
        self.spread.setPlaceholderText("" if usual is None else f"{usual * 100:.3g}")
        self.on.setEnabled(source.origin == "measured")
        self.listen()

    def first(self) -> QWidget:
        return self.value if self.value is not None else self.origin

    @property
    def _source(self) -> Source:
        return source_at(self.desk, self.path)

    def _texts(self, source: Source) -> tuple[tuple[LineEdit, str], ...]:
        return (
            (self.on, source.on.isoformat() if source.on else ""),
            (self.spread, "" if source.spread is None else f"{source.spread * 100:.6g}"),
            (self.note, source.note),
        )

    def _on_origin(self, _at: int) -> None:
        origin = self.origin.currentData()
        changes: dict[str, Any] = {"from": origin}
        if origin != "measured":
            self.on.mark(False)
            changes["on"] = None
        self._write(None, changes)

    def _on_date(self, text: str) -> None:
        try:
            given = date.fromisoformat(text.strip()) if text.strip() else None
        except ValueError:
            self._refuse(self.on, "A date reads 2027-03-01.")
            return
        self._write(self.on, {"on": given})

    def _on_spread(self, text: str) -> None:
        facts = replace(self._spread_facts, optional=True)
        try:
            given = self.desk.display.read(text, facts)
        except NumberTextError as error:
            self._refuse(self.spread, str(error))
            return
        self._write(self.spread, {"spread": given})

    def _on_note(self, text: str) -> None:
        self._write(self.note, {"note": text.strip() or None})

    def _write(self, line: LineEdit | None, changes: dict[str, Any]) -> None:
        table = {"from": self._source.origin} | table_of(self._source) | changes
        given = {key: item for key, item in table.items() if item is not None}
        self._refuse(line, write_source(self.desk, self.path, given))

    def _refuse(self, line: LineEdit | None, why: str) -> None:
        if line is not None:
            line.mark(bool(why))
        self._fault.show_lines("error", [why] if why else [])

    def _forget(self) -> None:
        for line in (self.on, self.spread, self.note):
            line.mark(False)
        self._refuse(None, "")
