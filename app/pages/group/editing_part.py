"""A part of the group's window that changes the group: one undo step, or a remark why not."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QPushButton, QWidget

from app.state.group_document import GroupDocument
from model.editing.faults import ScenarioError
from model.group.group import Group


class EditingPart(QWidget):
    """``said`` carries remarks for the foot."""

    said = Signal(str)

    def __init__(self, document: GroupDocument, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._document = document

    @staticmethod
    def button(text: str, tip: str, slot: Callable[[], None]) -> QPushButton:
        """Return a button that says what it does before it does it."""
        button = QPushButton(text)
        button.setToolTip(tip)
        button.setAccessibleDescription(tip)
        button.clicked.connect(slot)
        return button

    def change(self, text: str, change: Callable[[Group], Group]) -> bool:
        """Change the group as one undo step; return whether it was taken."""
        try:
            self._document.put(text, change(self._document.group))
        except ScenarioError as error:
            self.said.emit(error.faults[0].message)
            return False
        return True
