"""Where a number comes from, when it was measured, how far it may be off, and a note."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import Any

from PySide6.QtWidgets import QGridLayout, QLabel, QVBoxLayout, QWidget

from app.editors.fields.choices import QuietCombo
from app.editors.fields.editor import NoteLabel
from app.editors.fields.line import LineEdit
from app.editors.fields.source import ORIGINS, source_at, table_of, write_source
from app.state.edit_context import Desk
from app.widgets.number_text import NumberTextError
from model.editing.field_facts import describe, field_at
from model.scenario.declare import Source


class SourceForm(QWidget):
    """The source of one number; a date is that of a measurement, and goes with it."""

    def __init__(self, desk: Desk, path: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._desk, self._path = desk, path
        above, _, name = path.rpartition(".")
        # Without a spread of its own the usual one of the field holds.
        self._spread_facts = replace(field_at(f"{above}.sources.{name}.spread"), optional=True)
        self.origin, self.on = QuietCombo(), LineEdit(11)
        self.spread, self.note = LineEdit(7), LineEdit(28)
        self._fault = NoteLabel()
        self._settled = table_of(source_at(desk, path))
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
        for line in self._lines:
            line.entered.connect(self._on_entered)
            line.given_up.connect(self._on_given_up)
            line.left.connect(desk.document.end_burst)

    @property
    def _lines(self) -> tuple[LineEdit, ...]:
        return (self.on, self.spread, self.note)

    def _lay_out(self) -> None:
        grid = QGridLayout()
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setHorizontalSpacing(12)
        grid.setColumnStretch(2, 1)
        rows: tuple[tuple[str, QWidget, str], ...] = (
            ("Source", self.origin, ""), ("Date", self.on, ""), ("Spread", self.spread, "± %"),
            ("Note", self.note, ""),
        )  # fmt: skip
        for row, (words, widget, unit) in enumerate(rows):
            label = QLabel(words)
            label.setBuddy(widget)
            grid.addWidget(label, row, 0)
            grid.addWidget(widget, row, 1, 1, 1 if unit else 2)
            if unit:
                grid.addWidget(QLabel(unit), row, 2)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.addLayout(grid)
        whole.addWidget(self._fault)

    def refresh(self) -> None:
        """Show the source the document holds; a text that is refused stays."""
        source = source_at(self._desk, self._path)
        self.origin.setCurrentIndex([key for key, _ in ORIGINS].index(source.origin))
        for line, text in self._texts(source):
            if not line.hasFocus() and not line.is_marked:
                line.show_text(text)
        usual = field_at(self._path).spread
        self.spread.setPlaceholderText("" if usual is None else f"{usual * 100:.3g}")
        self.on.setEnabled(source.origin == "measured")

    def _texts(self, source: Source) -> tuple[tuple[LineEdit, str], ...]:
        return (
            (self.on, source.on.isoformat() if source.on else ""),
            (self.spread, "" if source.spread is None else f"{source.spread * 100:.6g}"),
            (self.note, source.note),
        )

    def _on_entered(self) -> None:
        if not any(line.is_marked for line in self._lines):
            self._settled = table_of(source_at(self._desk, self._path))

    def _on_given_up(self) -> None:
        """Take back what was typed since the source was entered."""
        write_source(self._desk, self._path, self._settled)
        for line, text in self._texts(source_at(self._desk, self._path)):
            line.show_text(text)
            self._refuse(line, "")

    def _on_origin(self, _at: int) -> None:
        origin = self.origin.currentData()
        changes: dict[str, Any] = {"from": origin}
        if origin != "measured":
            self.on.mark(False)
            changes["on"] = None
        self._write(None, changes)
        self._desk.document.end_burst()

    def _on_date(self, text: str) -> None:
        try:
            given = date.fromisoformat(text.strip()) if text.strip() else None
        except ValueError:
            self._refuse(self.on, "A date reads 2027-03-01.")
            return
        self._write(self.on, {"on": given})

    def _on_spread(self, text: str) -> None:
        try:
            given = self._desk.display.read(text, self._spread_facts)
        except NumberTextError as error:
            self._refuse(self.spread, str(error))
            return
        self._write(self.spread, {"spread": given})

    def _on_note(self, text: str) -> None:
        self._write(self.note, {"note": text if text.strip() else None})

    def _write(self, line: LineEdit | None, changes: dict[str, Any]) -> None:
        source = source_at(self._desk, self._path)
        table = {"from": source.origin} | table_of(source) | changes
        given = {key: item for key, item in table.items() if item is not None}
        self._refuse(line, write_source(self._desk, self._path, given))

    def _refuse(self, line: LineEdit | None, why: str) -> None:
        if line is not None:
            line.mark(bool(why))
        self._fault.show_lines("error", [why] if why else [])
