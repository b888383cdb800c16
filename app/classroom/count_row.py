"""Hands raised for each choice, counted and typed: one field a letter."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QRegularExpression, Qt, Signal
from PySide6.QtGui import QFont, QRegularExpressionValidator
from PySide6.QtWidgets import QHBoxLayout, QLabel, QLineEdit, QWidget

from app.classroom.kept import COUNT_LIMIT
from model.lessons.run import letter

_DIGITS = QRegularExpression(f"[0-9]{{0,{len(str(COUNT_LIMIT))}}}")


class CountRow(QWidget):
    """A field for each letter; every digit typed is a count at once."""

    counted = Signal(list)

    def __init__(self, most: int) -> None:
        super().__init__()
        self.fields: list[QLineEdit] = []
        self._labels: list[QLabel] = []
        self._shown = 0
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        self._hands = QLabel("Hands:")
        row.addWidget(self._hands)
        for index in range(most):
            field, label = QLineEdit(), QLabel(letter(index))
            # A validator of numbers takes the signs between thousands of some languages too.
            field.setValidator(QRegularExpressionValidator(_DIGITS, field))
            field.textEdited.connect(self._on_edited)
            label.setBuddy(field)
            for widget in (label, field):
                row.addWidget(widget)
            self.fields.append(field)
            self._labels.append(label)
        for label in (self._hands, *self._labels):
            label.setTextFormat(Qt.TextFormat.PlainText)
        row.addStretch(1)

    def ask(self, names: Sequence[str], counts: Sequence[int]) -> None:
        """Take counts of so many choices, beginning with those known."""
        self._shown = len(names)
        for index, (field, label) in enumerate(zip(self.fields, self._labels, strict=True)):
            is_asked = index < len(names)
            field.setVisible(is_asked)
            label.setVisible(is_asked)
            count = counts[index] if index < len(counts) else 0
            field.setText(str(count) if count else "")
            if is_asked:
                field.setAccessibleName(f"Hands for {letter(index)}: {names[index]}")

    def fit(self, font: QFont, wide_px: int) -> None:
        """Set the type, and the width of a field. [px]"""
        for widget in (self._hands, *self.fields, *self._labels):
            widget.setFont(font)
        for field in self.fields:
            field.setFixedWidth(wide_px)

    def step_on(self) -> bool:
        """Go to the next field; False at the last, or where none has the keyboard."""
        here = next((at for at, field in enumerate(self.fields) if field.hasFocus()), None)
        if here is None or here + 1 >= self._shown:
            return False
        self.fields[here + 1].setFocus()
        self.fields[here + 1].selectAll()
        return True

    def _on_edited(self, _: str) -> None:
        self.counted.emit([int(field.text() or 0) for field in self.fields[: self._shown]])
