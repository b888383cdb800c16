"""Editors of text: names, clock times, dates, several numbers, notes."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import date
from typing import Any

from PySide6.QtCore import QEvent
from PySide6.QtWidgets import QLabel, QPlainTextEdit, QSizePolicy, QWidget

from app.editors.fields.clock_text import read_clock
from app.editors.fields.editor import FieldEditor
from app.editors.fields.line import leaves_undo_to_the_document
from app.editors.fields.typed import TypedEditor
from app.state.edit_context import Desk
from app.widgets.number_text import NumberTextError, number_text
from model.scenario.daily import INDEX_LIMIT, SKY_WORDS, SkyWord
from model.sky.cloud_words import sky_from_text


class TextEditor(TypedEditor):
    """A name or another single line; it takes what room there is."""

    def __init__(self, desk: Desk, path: str, parent: QWidget | None = None) -> None:
        super().__init__(desk, path, parent)
        self.label.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Preferred)
        self.edit.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.line.setStretchFactor(self.edit, 3)


class ClockEditor(TypedEditor):
    """A clock time; 6, 6:30 and 0630 are understood."""

    characters = 5

    def read(self, text: str) -> str:
        return read_clock(text)


class DateEditor(TypedEditor):
    """A date, written year first."""

    characters = 10

    def read(self, text: str) -> date:
        try:
            return date.fromisoformat(text.strip())
        except ValueError:
            raise ValueError("A date reads 2027-03-01.") from None

    def text_of(self, value: date) -> str:
        return value.isoformat()


class NumbersEditor(TypedEditor):
    """One number, or one for each local date, separated by spaces."""

    characters = 9

    def __init__(self, desk: Desk, path: str, parent: QWidget | None = None) -> None:
        super().__init__(desk, path, parent)
        self._one = replace(self.facts, kind="number", optional=False)
        self.unit = QLabel(desk.display.unit(self._one))
        self.line.addWidget(self.unit)

    def read(self, text: str) -> tuple[float, ...]:
        pieces = [piece for piece in re.split(r"[;\s]+", text.strip()) if piece]
        if not pieces:
            raise NumberTextError("One number, or one for each date, separated by spaces.")
        numbers = [self.desk.display.read(piece, self._one) for piece in pieces]
        return tuple(float(number) for number in numbers if number is not None)

    def text_of(self, value: tuple[float, ...]) -> str:
        us = self.desk.display.is_us
        return " ".join(number_text(number, self._one, us=us) for number in value)

    def show_value(self, value: Any) -> None:
        unit = self.desk.display.unit(self._one)
        if unit != self.unit.text():
            self.unit.setText(unit)
            self._shown = self
            self.edit.clear()
        super().show_value(value)


class SkiesEditor(TypedEditor):
    """The sky of all dates or of each: words, indices, or eighths that become an index."""

    characters = 24

    def read(self, text: str) -> tuple[SkyWord | float, ...]:
        pieces = [piece for piece in re.split(r";|,\s", text) if piece.strip()]
        climate = self.desk.document.scenario.climate
        skies = [sky_from_text(piece, climate) for piece in pieces]
        if None in skies:
            skies = [sky_from_text(piece, climate) for piece in text.split()]
        if not skies or None in skies:
            raise ValueError(
                f"A word ({', '.join(SKY_WORDS)}), the index from 0 to {INDEX_LIMIT:g}, or a day's"
                " mean cover as 5/8; several are separated by semicolons."
            )
        return tuple(sky for sky in skies if sky is not None)

    def text_of(self, value: tuple[SkyWord | float, ...]) -> str:
        return "; ".join(sky if isinstance(sky, str) else f"{sky:g}" for sky in value)


class ProseEditor(FieldEditor):
    """Notes of several lines."""

    def __init__(self, desk: Desk, path: str, parent: QWidget | None = None) -> None:
        super().__init__(desk, path, parent)
        self.edit = _Prose()
        self.whole.insertWidget(1, self.edit)
        self.use_as_editor(self.edit)
        self.edit.textChanged.connect(self._on_changed)
        self.edit.setTabChangesFocus(True)

    def show_value(self, value: Any) -> None:
        if value != self.edit.toPlainText():
            self.edit.blockSignals(True)
            self.edit.setPlainText(value)
            self.edit.blockSignals(False)
            self.show_fault("")

    def _on_changed(self) -> None:
        self.write(self.edit.toPlainText())


class _Prose(QPlainTextEdit):
    """A text box about four lines high."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setMinimumHeight(self.fontMetrics().height() * 4)
        self.setMaximumHeight(self.fontMetrics().height() * 8)
        self.setUndoRedoEnabled(False)

    def event(self, event: QEvent) -> bool:
        if leaves_undo_to_the_document(event):
            event.ignore()
            return False
        return super().event(event)
