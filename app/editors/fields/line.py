"""A single-line editor that marks text it cannot use and knows when a person is done with it."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QMetaMethod, QSize, Qt, Signal
from PySide6.QtGui import QFocusEvent, QKeyEvent, QKeySequence, QMouseEvent, QPalette
from PySide6.QtWidgets import QLineEdit, QSizePolicy, QWidget

from app.widgets.tokens import level_colour, tints


def leaves_undo_to_the_document(event: QEvent) -> bool:
    """Return whether a text editor asks here to keep undo or redo for itself."""
    return (
        event.type() == QEvent.Type.ShortcutOverride
        and isinstance(event, QKeyEvent)
        and (
            event.matches(QKeySequence.StandardKey.Undo)
            or event.matches(QKeySequence.StandardKey.Redo)
        )
    )


class LineEdit(QLineEdit):
    """Text of about so many characters; ``typed`` comes only from a person.

    All of it is selected when the keyboard comes in, so that what is typed stands in its place; a
    second press puts the cursor where it was pressed.
    """

    entered = Signal()
    left = Signal()
    stepped = Signal(int)
    given_up = Signal()

    def __init__(self, characters: int, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._characters = characters
        self._is_marked = self._is_first_press = False
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)

    def show_text(self, text: str) -> None:
        """Show text, leaving the cursor alone when it already stands there."""
        if text != self.text():
            self.setText(text)
            self.setCursorPosition(0)

    def set_characters(self, characters: int) -> None:
        """Be about so many characters wide."""
        self._characters = characters
        self.updateGeometry()

    def mark(self, is_wrong: bool) -> None:
        """Mark the text as one that is not used, or take the mark away."""
        if is_wrong == self._is_marked:
            return
        self._is_marked = is_wrong
        self._colour()

    @property
    def is_marked(self) -> bool:
        """Whether the text is marked as not used."""
        return self._is_marked

    def _colour(self) -> None:
        if not self._is_marked:
            self.setPalette(QPalette())
            return
        palette = self.palette()
        palette.setColor(QPalette.ColorRole.Base, tints().refused)
        palette.setColor(QPalette.ColorRole.Text, level_colour("error"))
        self.setPalette(palette)

    def sizeHint(self) -> QSize:
        height, metrics = super().sizeHint().height(), self.fontMetrics()
        frame = height - metrics.height()
        width = metrics.horizontalAdvance("0") * self._characters + frame + 8
        return QSize(width, height)

    def minimumSizeHint(self) -> QSize:
        return self.sizeHint()

    def focusInEvent(self, event: QFocusEvent) -> None:
        super().focusInEvent(event)
        self._is_first_press = event.reason() == Qt.FocusReason.MouseFocusReason
        if event.reason() == Qt.FocusReason.OtherFocusReason:
            self.selectAll()
        self.entered.emit()

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        super().mouseReleaseEvent(event)
        if self._is_first_press and not self.hasSelectedText():
            self.selectAll()
        self._is_first_press = False

    def focusOutEvent(self, event: QFocusEvent) -> None:
        super().focusOutEvent(event)
        self.left.emit()

    def event(self, event: QEvent) -> bool:
        # Undo is the document's: a field that kept its own would undo half of a change.
        if leaves_undo_to_the_document(event):
            event.ignore()
            return False
        return super().event(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        steps = {Qt.Key.Key_Up: 1, Qt.Key.Key_Down: -1}
        step = steps.get(Qt.Key(event.key()))
        if event.key() == Qt.Key.Key_Escape and self._can_be_given_up():
            self.given_up.emit()
            self.setModified(False)
            return
        if step is None or event.modifiers() & ~Qt.KeyboardModifier.KeypadModifier:
            super().keyPressEvent(event)
            return
        self.stepped.emit(step)

    def _can_be_given_up(self) -> bool:
        is_changed = self._is_marked or self.isModified()
        return is_changed and self.isSignalConnected(QMetaMethod.fromSignal(self.given_up))

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() == QEvent.Type.ApplicationPaletteChange and self._is_marked:
            self._colour()
