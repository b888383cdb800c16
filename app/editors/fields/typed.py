"""One line of text that stands for a value: read as it is typed, written as it is shown."""

from __future__ import annotations

from typing import Any

from PySide6.QtWidgets import QWidget

from app.editors.fields.editor import FieldEditor
from app.editors.fields.line import LineEdit
from app.state.edit_context import Desk


class TypedEditor(FieldEditor):
    """Text that stands for a value; subclasses say how it is read and written."""

    characters = 16

    def __init__(self, desk: Desk, path: str, parent: QWidget | None = None) -> None:
        super().__init__(desk, path, parent)
        self.edit = LineEdit(self.characters)
        self.line.addWidget(self.edit)
        self.use_as_editor(self.edit)
        self.edit.textEdited.connect(self._on_typed)
        self.edit.entered.connect(self._on_entered)
        self.edit.given_up.connect(self._on_given_up)
        self.edit.left.connect(self._on_left)
        self.edit.returnPressed.connect(self._on_left)

    def read(self, text: str) -> Any:
        """Return the value of a text; raises ValueError with a sentence that says what is right."""
        return text

    def text_of(self, value: Any) -> str:
        """Return the text of a value."""
        return str(value)

    def show_value(self, value: Any) -> None:
        if value == self._shown:
            return
        self._shown = value
        if self.edit.hasFocus() and self._means(value):
            return
        self._put(value)

    def _put(self, value: Any) -> None:
        self.edit.show_text(self.text_of(value))
        self._accept()
        self.settle()

    def _accept(self) -> None:
        """Take what stands there for good: it is not marked, and nothing is said of it."""
        self.edit.mark(False)
        self.show_understood("")
        self.show_fault("")

    def _value_of(self, text: str) -> Any:
        """Return the value of a text; as it stood before typing it means what it stood for."""
        settled = self._settled
        # What is shown in another unit is rounded: read back it would be a little off.
        if settled is not self and settled is not None and text == self.text_of(settled):
            return settled
        return self.read(text)

    def _means(self, value: Any) -> bool:
        try:
            return bool(self._value_of(self.edit.text()) == value)
        except ValueError:
            return False

    def _on_typed(self, text: str) -> None:
        try:
            value = self._value_of(text)
        except ValueError as error:
            self.edit.mark(True)
            self.refuse(str(error))
            return
        self.edit.mark(not self.write(value))
        if self.edit.is_marked:
            self.refuse(self.fault)

    def _on_given_up(self) -> None:
        if not self.is_there():
            return
        self.give_up()
        self.edit.show_text(self.text_of(self.value()))
        self._accept()

    def _on_entered(self) -> None:
        # A field whose part was just removed is entered when the button that did it goes grey.
        if not self.edit.is_marked and self.is_there():
            self.settle()

    def _on_left(self) -> None:
        self.desk.document.end_burst()
        # The keyboard also leaves a field whose part or station was just removed.
        if not self.edit.is_marked and self.is_there():
            self.settle()
            self.show_understood("")
            self.edit.show_text(self.text_of(self.value()))
