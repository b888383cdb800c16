"""A popover over a cell: its edits are one undo step, which Escape takes back."""

from __future__ import annotations

from PySide6.QtCore import QRect, Qt
from PySide6.QtGui import QKeyEvent, QPalette
from PySide6.QtWidgets import QAbstractButton, QLabel, QVBoxLayout, QWidget

from app.editors.fields.line import LineEdit
from app.state.edit_context import Desk
from app.widgets.popover import Popover
from app.widgets.tokens import NOTES
from model.editing.field_facts import place_words

KEYS = "Return keeps this, Escape takes it back."


class Sheet(QWidget):
    """What lies in a popover: subclasses show what the document holds at ``path``.

    ``scope`` is the path that one undo step is about: all edits at it or below it.
    """

    def __init__(self, desk: Desk, path: str, scope: str = "") -> None:
        super().__init__()
        self.desk, self.path, self.scope = desk, path, scope or path
        self.popover: Popover | None = None
        self.whole = QVBoxLayout(self)
        self.whole.setContentsMargins(0, 0, 0, 0)

    @property
    def title(self) -> str:
        """What stands over it."""
        words = place_words(self.path)
        return words[:1].upper() + words[1:]

    @property
    def deed(self) -> str:
        """What the undo step is called."""
        return f"change of {place_words(self.path)}"

    def is_there(self) -> bool:
        """Whether the document still has what this is about."""
        raise NotImplementedError

    def refresh(self) -> None:
        """Show what the document holds."""
        raise NotImplementedError

    def first(self) -> QWidget:
        """Return what the keyboard goes to first."""
        raise NotImplementedError

    def holds_refused(self) -> bool:
        """Whether a text is refused, and would be lost if this closed."""
        return any(each.is_marked for each in self.findChildren(LineEdit) if each.isVisible())

    def listen(self) -> None:
        """Let Escape in any of the lines close the popover, and take all back."""
        popover = self.popover
        for line in self.findChildren(LineEdit):
            if popover is not None and not line.property("is_listened_to"):
                line.setProperty("is_listened_to", True)
                line.given_up.connect(popover.escape)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() not in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            super().keyPressEvent(event)
            return
        focused = self.focusWidget()
        if isinstance(focused, QAbstractButton):
            focused.click()
        elif not self.holds_refused() and self.popover is not None:
            self.popover.close_popover()


def open_sheet(sheet: Sheet, anchor: QRect, owner: QWidget, *, beside: bool = False) -> Popover:
    """Open a sheet over a place on the screen, or beside it; it goes when it is closed."""
    popover = Popover(sheet.title, sheet, owner, scrolls=True, stays_with=sheet)
    popover.is_held = sheet.holds_refused
    sheet.popover = popover
    sheet.whole.addWidget(_keys_label())
    _Deed(sheet, popover)
    sheet.refresh()
    popover.open_over(anchor, beside=beside)
    sheet.first().setFocus()
    return popover


def _keys_label() -> QLabel:
    label = QLabel(KEYS)
    font = label.font()
    font.setPointSizeF(font.pointSizeF() * NOTES)
    label.setFont(font)
    label.setForegroundRole(QPalette.ColorRole.PlaceholderText)
    return label


class _Deed(QWidget):
    """Holds the undo step of a sheet from its opening to its end; never shown."""

    def __init__(self, sheet: Sheet, popover: Popover) -> None:
        super().__init__(popover)
        self.hide()
        self._sheet, self._popover = sheet, popover
        self._document = sheet.desk.document
        self._step = self._document.begin_step(sheet.deed, sheet.scope)
        self._is_over = False
        self._document.scenario_changed.connect(self._on_changed)
        sheet.desk.display.units_changed.connect(self._on_changed)
        popover.escaped.connect(self._on_escaped)
        popover.closed.connect(self._on_closed)

    def _on_changed(self) -> None:
        if self._is_over:
            return
        if not self._sheet.is_there():
            self._popover.close_popover()
            return
        self._sheet.refresh()
        self._sheet.listen()

    def _on_escaped(self) -> None:
        self._is_over = True
        self._document.take_back(self._step)

    def _on_closed(self) -> None:
        self._is_over = True
        self._document.end_step(self._step)
        self._popover.deleteLater()
