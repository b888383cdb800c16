"""The small editors of the row under the strip: a label above, a line of text below."""

from __future__ import annotations

from typing import Any

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QCheckBox, QComboBox, QLabel, QSizePolicy, QVBoxLayout, QWidget

from app.editors.fields.choices import explain_last
from app.editors.fields.clock_text import read_clock
from app.editors.fields.editor import plain_tip
from app.editors.fields.line import LineEdit
from app.editors.fields.words import tip_of, word_of
from app.widgets.number_text import number_text, plain, read_number, shown_as, step_of
from model.editing.field_facts import field_at, in_sentence
from model.scenario.declare import MINUTES_A_DAY, clock_of, minutes_of

# Shorter than this a time may still become one.
WHOLE_TIME = 4
# The number in the path is that of any block: the facts are the same for all.
FIELD_PATH = "plan.0."


class Cell(QWidget):
    """One field of a block; says what was typed as a value, or why it is none."""

    changed = Signal(str, object)
    refused = Signal(str, str)
    left = Signal()

    def __init__(self, name: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.name = name
        self.facts = field_at(FIELD_PATH + name)
        self._label = QLabel(self.words(), self)
        self._label.setTextFormat(Qt.TextFormat.PlainText)
        self._label.setWordWrap(True)
        # Two lines are enough for the longest label at this width.
        characters = min(len(self.words()), max(len(self.words()) // 2 + 3, 8))
        self._label.setMinimumWidth(self.fontMetrics().averageCharWidth() * characters)
        self._label.setAlignment(Qt.AlignmentFlag.AlignBottom | Qt.AlignmentFlag.AlignLeft)
        self.column = QVBoxLayout(self)
        self.column.setContentsMargins(0, 0, 0, 0)
        self.column.setSpacing(1)
        self.column.addWidget(self._label, 1)

    def words(self) -> str:
        """Return the label, with the unit shown."""
        unit = shown_as(self.facts, us=False).unit
        return f"{self.facts.label}, {unit}" if unit else self.facts.label

    def hold(self, editor: QWidget) -> None:
        """Take in the editor and name it for the keyboard and for assistive technology."""
        editor.setObjectName(f"plan.chosen.{self.name}")
        editor.setAccessibleName(f"block, {in_sentence(self.words())}")
        editor.setAccessibleDescription(self.facts.help)
        for widget in (self._label, editor):
            widget.setToolTip(plain_tip(self.facts.help))
        self._label.setBuddy(editor)
        self.setFocusProxy(editor)
        self.column.addWidget(editor)

    def show_value(self, value: Any) -> None:
        """Show a value without telling anybody."""
        raise NotImplementedError

    def mark(self, is_wrong: bool) -> None:
        """Mark what stands here as refused, or take the mark away."""

    def forget(self) -> None:
        """Let go of a text that was refused: another block is shown from now on."""


class LineCell(Cell):
    """Text that stands for a value; it stays, marked, when it cannot be used."""

    characters = 8
    waits_to_be_left = False

    def __init__(self, name: str, parent: QWidget | None = None) -> None:
        super().__init__(name, parent)
        self._shown: Any = None
        self._before: Any = self
        self._is_typing = False
        self.edit = LineEdit(self.characters)
        self.hold(self.edit)
        self.edit.textEdited.connect(self._on_typed)
        self.edit.stepped.connect(self._on_stepped)
        self.edit.entered.connect(self._on_entered)
        self.edit.given_up.connect(self._on_given_up)
        self.edit.left.connect(self._on_left)
        self.edit.returnPressed.connect(self._on_left)

    def read(self, text: str) -> Any:
        """Return the value of a text; raises ValueError with a sentence."""
        return text

    def text_of(self, value: Any) -> str:
        """Return the text of a value."""
        return str(value)

    def stepped(self, value: Any, direction: int) -> Any:
        """Return the value one press of an arrow key further; None where there is none."""
        return None

    def show_value(self, value: Any) -> None:
        """Show a value without telling anybody."""
        unchanged, self._shown = value == self._shown, value
        if self._is_typing and self._means(value):
            return
        if unchanged and self.edit.is_marked:
            return
        self.edit.show_text(self.text_of(value))
        self.mark(False)

    def mark(self, is_wrong: bool) -> None:
        """Mark what stands here as refused, or take the mark away."""
        self.edit.mark(is_wrong)

    def forget(self) -> None:
        """Let go of a text that was refused."""
        self._shown = None
        self._before = self
        self._is_typing = False
        self.mark(False)

    def _means(self, value: Any) -> bool:
        try:
            return bool(self.read(self.edit.text()) == value)
        except ValueError:
            return False

    def _on_entered(self) -> None:
        if not self.edit.is_marked:
            self._before = self._shown

    def _on_given_up(self) -> None:
        """Take back what was typed since the field was entered."""
        value = self._shown if self._before is self else self._before
        self._is_typing = False
        self.edit.show_text(self.text_of(value))
        self.mark(False)
        self.changed.emit(self.name, value)

    def _on_left(self) -> None:
        if self.waits_to_be_left and self._is_typing and not self.edit.is_marked:
            self._take(self.edit.text())
        self._is_typing = False
        if not self.edit.is_marked:
            self._before = self._shown
        self.left.emit()

    def _on_typed(self, text: str) -> None:
        self._is_typing = True
        # Half of a time is no fault.
        if not self.waits_to_be_left or len(text.strip()) >= WHOLE_TIME:
            self._take(text, is_whole=not self.waits_to_be_left)
        else:
            self.mark(False)

    def _take(self, text: str, *, is_whole: bool = True) -> None:
        """Hand a text on as a value where it is one; say why where it is none."""
        try:
            value = self.read(text)
        except ValueError as error:
            self.mark(True)
            self.refused.emit(self.name, str(error))
            return
        self.mark(False)
        if is_whole:
            self.changed.emit(self.name, value)

    def _on_stepped(self, direction: int) -> None:
        try:
            value = self.stepped(self.read(self.edit.text()), direction)
        except ValueError:
            return
        if value is not None:
            self.edit.setText(self.text_of(value))
            self._is_typing = True
            self._take(self.edit.text())


class ClockCell(LineCell):
    """A clock time; 6, 6:30 and 0630 are understood, 24:00 is the end of the day.

    Its neighbours give way to it, so it counts only once it is whole: on Enter, or when it is left.
    """

    characters = 6
    waits_to_be_left = True

    def read(self, text: str) -> str:
        """Return the value of a text."""
        return read_clock(text)

    def stepped(self, value: str, direction: int) -> str:
        """Return the value one press of an arrow key further."""
        return clock_of((minutes_of(value) + 5 * direction) % MINUTES_A_DAY)


class NumberCell(LineCell):
    """A number in the unit shown."""

    def read(self, text: str) -> float | None:
        """Return the value of a text."""
        return read_number(text, self.facts, us=False)

    def text_of(self, value: float | None) -> str:
        """Return the text of a value."""
        return number_text(value, self.facts, us=False)

    def stepped(self, value: float | None, direction: int) -> float | None:
        """Return the value one press of an arrow key further."""
        if value is None:
            return None
        shown = shown_as(self.facts, us=False)
        here = shown.of(value)
        return read_number(
            plain(max(here + direction * step_of(here), 0.0), 10), self.facts, us=False
        )


class NoteCell(LineCell):
    """A line of text that takes what room there is."""

    characters = 14

    def __init__(self, name: str, parent: QWidget | None = None) -> None:
        super().__init__(name, parent)
        self.edit.setMaxLength(self.facts.max_length or 200)
        self.edit.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)


class ChoiceCell(Cell):
    """One of a few words."""

    def __init__(self, name: str, parent: QWidget | None = None) -> None:
        super().__init__(name, parent)
        self.edit = QComboBox(self)
        for choice in self.facts.choices:
            self.edit.addItem(word_of(choice), choice)
            explain_last(self.edit, tip_of(name, choice))
        self.hold(self.edit)
        self.edit.activated.connect(self._on_activated)

    def show_value(self, value: Any) -> None:
        """Show a value without telling anybody."""
        self.edit.setCurrentIndex(self.facts.choices.index(value))

    def _on_activated(self, index: int) -> None:
        self.changed.emit(self.name, self.facts.choices[index])


class FlagCell(Cell):
    """Yes or no."""

    def __init__(self, name: str, parent: QWidget | None = None) -> None:
        super().__init__(name, parent)
        self.edit = QCheckBox(self)
        # No wider than its box: all of it can be pressed.
        self.edit.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)
        self.hold(self.edit)
        self.edit.clicked.connect(self._on_clicked)

    def show_value(self, value: Any) -> None:
        """Show a value without telling anybody."""
        self.edit.setChecked(bool(value))

    def _on_clicked(self, is_checked: bool) -> None:
        self.changed.emit(self.name, is_checked)
