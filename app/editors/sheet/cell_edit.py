"""The line in which a cell is typed: read at each key, written at once, given up as a whole."""

from __future__ import annotations

from typing import Any

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeyEvent, QWheelEvent
from PySide6.QtWidgets import QWidget

from app.editors.fields.line import LineEdit
from app.editors.sheet.model import SheetModel
from app.editors.sheet.rows import facts_of
from app.editors.sheet.writing import (
    path_of,
    stations_with,
    supply_v_of,
    values_of,
    write,
    write_all,
)
from app.state.edit_context import Desk
from app.widgets.number_text import NumberTextError, plain, shown_as, step_of
from model.editing.field_facts import describe
from model.editing.paths import value_at

STEPS = {Qt.Key.Key_Up: 1, Qt.Key.Key_Down: -1}


class CellEdit(LineEdit):
    """What is typed counts at each key where it can be used, and stays, marked, where it cannot.

    With Shift, Return and the arrows give the value to every station that has the field.
    """

    def __init__(
        self, desk: Desk, sheet: SheetModel, key: str, index: int, parent: QWidget
    ) -> None:
        super().__init__(6, parent)
        self._desk, self._sheet, self.key, self.index = desk, sheet, key, index
        self._facts = facts_of(key)
        self._everywhere = stations_with(desk.document.scenario, key)
        self._settled = values_of(desk.document.scenario, key, self._everywhere)
        self._shown: Any = self
        self._is_refusing = False
        if self._is_number:
            self.setAlignment(Qt.AlignmentFlag.AlignRight)
        self.setFrame(False)
        self.setAccessibleName(describe(path_of(key, index)))
        self.setAccessibleDescription(desk.display.help(self._facts))
        self.textEdited.connect(self._on_typed)
        self.stepped.connect(self._on_stepped)
        self.given_up.connect(self.give_up)

    @property
    def _is_number(self) -> bool:
        return self._facts.kind in ("number", "whole")

    @property
    def _path(self) -> str:
        return path_of(self.key, self.index)

    @property
    def is_begun(self) -> bool:
        """Whether it shows its cell already."""
        return self._shown is not self

    def is_there(self) -> bool:
        """Whether the document still has a place for this field."""
        try:
            value_at(self._desk.document.scenario, self._path)
        except KeyError:
            return False
        return True

    def value(self) -> Any:
        """Return what the document holds here."""
        return value_at(self._desk.document.scenario, self._path)

    def read(self, text: str) -> Any:
        """Return the value of a text; raises ValueError with a sentence."""
        if not self._is_number:
            return text
        supply_v = supply_v_of(self._desk, self.key, self.index, self._facts.unit)
        return self._desk.display.read(text, self._facts, supply_v)

    def text_of(self, value: Any) -> str:
        """Return the text of a value."""
        return self._desk.display.text(value, self._facts) if self._is_number else str(value)

    def begin(self, typed: str) -> None:
        """Begin with what stands in the cell: a refused text, or that of the value."""
        self._shown = self.value()
        self.setText(typed)
        if typed != self.text_of(self._shown):
            self.mark(True)
        self.selectAll()

    def follow(self) -> None:
        """Show what the document holds unless the text means just that."""
        if self._is_refusing or not self.is_there():
            return
        value = self.value()
        if value == self._shown:
            return
        self._shown = value
        if not self._means(value):
            self.show_text(self.text_of(value))
            self.mark(False)
            self._settled = values_of(self._desk.document.scenario, self.key, self._everywhere)

    def type_over(self, text: str) -> None:
        """Put another text in place of what stands there, as if it were typed."""
        self.setText(text)
        self._on_typed(text)

    def leave(self, *, everywhere: bool = False) -> None:
        """Be done: a text that cannot be used stays in the cell, any other counts."""
        if self.is_there() and not self.is_marked:
            if everywhere:
                self._write(self.value(), everywhere=True)
            self._sheet.accept(self.key, self.index)
        self._desk.document.end_burst()

    def let_go(self) -> None:
        """Hold nothing of the window any more: the binding never lets go of a line it was given."""
        for name in ("_desk", "_sheet", "_settled", "_shown", "_everywhere"):
            delattr(self, name)

    def give_up(self) -> None:
        """Take back what was typed since the cell was entered."""
        if not self.is_there():
            return
        held = values_of(self._desk.document.scenario, self.key, self._everywhere)
        if held != self._settled:
            write_all(self._desk, self.key, self._settled, self._path)
        self._shown = self.value()
        self.show_text(self.text_of(self._shown))
        self.mark(False)
        self.setModified(False)
        self._sheet.accept(self.key, self.index)

    def _value_of(self, text: str) -> Any:
        """Return the value of a text; as it stood before typing it means what it stood for."""
        settled = self._settled[self._path]
        # What is shown in another unit is rounded: read back it would be a little off.
        if settled is not None and text == self.text_of(settled):
            return settled
        return self.read(text)

    def _means(self, value: Any) -> bool:
        try:
            return bool(self._value_of(self.text()) == value)
        except ValueError:
            return False

    def _on_typed(self, text: str) -> None:
        try:
            value = self._value_of(text)
        except ValueError as error:
            self._refuse(text, str(error))
            return
        refusal = self._write(value)
        if refusal:
            self._refuse(text, refusal)
            return
        self.mark(False)
        understood = ""
        if self._is_number:
            supply_v = supply_v_of(self._desk, self.key, self.index, self._facts.unit)
            understood = self._desk.display.understood(text, self._facts, supply_v)
        self._sheet.accept(self.key, self.index, understood)

    def _write(self, value: Any, *, everywhere: bool = False) -> str:
        stations = self._everywhere if everywhere else [self.index]
        if value == self.value() and not everywhere:
            return ""
        if value == self._settled[self._path] and not everywhere:
            # What it had put out of use comes back with it.
            own = {path: held for path, held in self._settled.items() if self._is_own(path)}
            return write_all(self._desk, self.key, own, self._path)
        return write(self._desk, self.key, value, stations, self._path)

    def _is_own(self, path: str) -> bool:
        return path.startswith(f"stations.{self.index}.")

    def _refuse(self, text: str, sentence: str) -> None:
        """Say why a text is refused; what was typed on the way to it does not count either."""
        self.mark(True)
        self._is_refusing = True
        own = {path: held for path, held in self._settled.items() if self._is_own(path)}
        if self.value() != self._settled[self._path]:
            write_all(self._desk, self.key, own, self._path)
        self._shown = self.value()
        self._sheet.refuse(self.key, self.index, text, sentence)
        self._is_refusing = False

    def _on_stepped(self, direction: int) -> None:
        self.step(direction, everywhere=False)

    def step(self, direction: int, *, everywhere: bool) -> None:
        """Make a number larger or smaller by one in its second digit."""
        if not self._is_number:
            return
        shown = shown_as(self._facts, us=self._desk.display.is_us)
        try:
            value = self.read(self.text())
        except NumberTextError:
            return
        here = shown.of(value) if value is not None else 0.0
        step = max(step_of(here), 1.0) if self._facts.kind == "whole" else step_of(here)
        self.type_over(plain(here + direction * step, 10))
        if everywhere and not self.is_marked:
            self._write(self.value(), everywhere=True)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        step = STEPS.get(Qt.Key(event.key()))
        if step is not None and event.modifiers() & Qt.KeyboardModifier.ShiftModifier:
            self.step(step, everywhere=True)
            return
        super().keyPressEvent(event)
        # A key that a line leaves alone would otherwise be one for the cell under it.
        event.accept()

    def wheelEvent(self, event: QWheelEvent) -> None:
        turn = event.angleDelta().y()
        if turn:
            is_shifted = bool(event.modifiers() & Qt.KeyboardModifier.ShiftModifier)
            self.step(1 if turn > 0 else -1, everywhere=is_shifted)
        event.accept()
