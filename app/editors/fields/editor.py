"""What every field editor has: label, room for the editor, and one sentence when it is wrong."""

from __future__ import annotations

import html
from collections.abc import Iterable
from typing import Any

from PySide6.QtCore import QEvent, Qt
from PySide6.QtWidgets import QHBoxLayout, QLabel, QSizePolicy, QVBoxLayout, QWidget

from app.state.edit_context import Desk
from app.widgets.tokens import level_colour
from model.editing.faults import Fault
from model.editing.field_facts import field_at
from model.editing.paths import describe, value_at
from model.findings.rules import Finding


class FieldEditor(QWidget):
    """One field of the scenario. Shows what the document holds and asks it for changes.

    Subclasses put their editor into ``line``, give it to `use_as_editor` and override
    `show_value`.
    """

    def __init__(self, desk: Desk, path: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.desk = desk
        self.path = path
        self.facts = field_at(path)
        self.setObjectName(path)
        self._fault = self._understood = ""
        self._settled: Any = self
        self._shown: Any = self
        self._is_refusing = False
        self._findings: tuple[Finding, ...] = ()
        self.label = QLabel(self.facts.label)
        self.label.setTextFormat(Qt.TextFormat.PlainText)
        self.label.setWordWrap(True)
        self.label.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Preferred)
        self.note = NoteLabel(self)
        self.line = QHBoxLayout()
        self.line.setContentsMargins(0, 0, 0, 0)
        self.line.setSpacing(4)
        self.line.addWidget(self.label, 1)
        self.whole = QVBoxLayout(self)
        self.whole.setContentsMargins(0, 0, 0, 0)
        self.whole.setSpacing(1)
        self.whole.addLayout(self.line)
        self.whole.addWidget(self.note)
        self._editor: QWidget = self

    def use_as_editor(self, editor: QWidget) -> None:
        """Name the editor for the keyboard, for assistive technology and for tests."""
        self.label.setBuddy(editor)
        editor.setAccessibleName(describe(self.path))
        self.setFocusProxy(editor)
        self._editor = editor
        self.show_help()

    def show_help(self) -> None:
        """Say what the field is, in the units shown."""
        words = self.desk.display.help(self.facts)
        self._editor.setAccessibleDescription(words)
        if words:
            for widget in (self.label, self._editor):
                widget.setToolTip(plain_tip(words))

    def value(self) -> Any:
        """Return what the document holds here."""
        return value_at(self.desk.document.scenario, self.path)

    def is_there(self) -> bool:
        """Return whether the document still has a place for this field."""
        try:
            self.value()
        except KeyError:
            return False
        return True

    def refresh(self) -> None:
        """Show what the document holds; a text that was refused stays until the value changes."""
        value = self.value()
        if self._is_refusing:
            self._shown = value
            return
        self.show_value(value)
        if self._findings:
            # In the units shown, which may be others by now.
            self._show_note()

    def show_value(self, value: Any) -> None:
        """Show a value without telling anybody."""
        raise NotImplementedError

    def settle(self) -> None:
        """Remember what the document holds, before typing or after it."""
        self._settled = self.value()

    def refuse(self, sentence: str) -> None:
        """Say why a text is refused; what was typed on the way to it does not count either."""
        self._is_refusing = True
        if self.value() != self._settled:
            self.write(self._settled)
        self._is_refusing = False
        self.show_fault(sentence)

    def forget_refused(self) -> None:
        """Let the next refresh put what the document holds in place of a text that was refused."""
        if self._fault:
            self._shown = self
            self.show_fault("")

    def give_up(self) -> None:
        """Take back what was typed since the field was entered."""
        if self.value() != self._settled:
            self.write(self._settled)

    def write(self, value: Any) -> bool:
        """Ask the document to hold ``value`` here; say why if it is refused."""
        faults = self.desk.document.edit(self.path, value)
        self.show_fault(fault_words(faults))
        return not faults

    @property
    def fault(self) -> str:
        """Why what stands here is refused; empty while it is not."""
        return self._fault

    def show_fault(self, sentence: str) -> None:
        """Mark the field as refused, with one sentence; an empty one clears the mark."""
        self._fault = sentence
        self._show_note()

    def show_understood(self, sentence: str) -> None:
        """Say what was understood of a text; it stands where nothing worse is to be said."""
        if sentence != self._understood:
            self._understood = sentence
            self._show_note()

    def show_findings(self, findings: Iterable[Finding]) -> None:
        """Show the findings that are at this field or inside it."""
        mine = tuple(f for f in findings if f.path == self.path or _inside(f.path, self.path))
        if mine != self._findings:
            self._findings = mine
            self._show_note()

    def _show_note(self) -> None:
        if self._fault:
            self.note.show_lines("error", [self._fault])
        elif self._understood:
            self.note.show_lines("hint", [self._understood])
        elif self._findings:
            lines = [self.desk.display.finding(each) for each in self._findings]
            self.note.show_lines(self._findings[0].level, lines)
        else:
            self.note.show_lines("hint", [])


class NoteLabel(QLabel):
    """Sentences under a field, marked by level; hidden while there is nothing to say."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setTextFormat(Qt.TextFormat.PlainText)
        self.setWordWrap(True)
        self._level = "hint"
        self.hide()

    def show_lines(self, level: str, lines: list[str]) -> None:
        """Show sentences; none hides the label."""
        marks = {"error": "✕", "warning": "▲", "hint": "•"}
        text = "\n".join(f"{marks[level]} {line}" for line in lines)
        if (level, text) == (self._level, self.text()):
            return
        self._level = level
        self.setText(text)
        self._colour()
        self.setVisible(bool(lines))

    def _colour(self) -> None:
        palette = self.palette()
        colour = level_colour(self._level)
        if palette.color(self.foregroundRole()) != colour:
            palette.setColor(self.foregroundRole(), colour)
            self.setPalette(palette)

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() == QEvent.Type.ApplicationPaletteChange:
            self._colour()


def forget_refused(whole: QWidget) -> None:
    """Let go of texts refused in any field inside, which are about to stand for something else."""
    for editor in whole.findChildren(FieldEditor):
        editor.forget_refused()


def plain_tip(text: str) -> str:
    """Return a tooltip that wraps, and in which nothing is markup."""
    return f"<qt>{html.escape(text)}</qt>"


def fault_words(faults: tuple[Fault, ...]) -> str:
    """Return faults as one sentence beside a field."""
    if not faults:
        return ""
    words = "; ".join(fault.message for fault in faults)
    return f"{words[:1].upper()}{words[1:]}."


def _inside(path: str, parent: str) -> bool:
    return path.startswith(f"{parent}.")
