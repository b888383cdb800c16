"""Parts that wait to be taken into the library: what each would change, and what was refused."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QHBoxLayout, QPlainTextEdit, QPushButton, QVBoxLayout, QWidget

from app.editors.fields.editor import NoteLabel
from app.pages.library.difference import row_words
from app.pages.library.shelf import Shelf
from app.state.display import Display
from model.library.catalogue import KIND_LABELS, difference, kind_of
from model.scenario.station import Part

LINES_SHOWN = 400
LINES_HIGH = 10


class Offer(QWidget):
    """Shows the difference before anything is taken in; hidden while nothing is offered."""

    closed = Signal()

    def __init__(self, shelf: Shelf, display: Display, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._shelf, self._display = shelf, display
        self._parts: tuple[Part, ...] = ()
        self._head = NoteLabel()
        self._lines = QPlainTextEdit()
        self._lines.setReadOnly(True)
        self._lines.setAccessibleName("parts offered, what they change, and lines refused")
        self._lines.setMaximumHeight(self.fontMetrics().lineSpacing() * LINES_HIGH)
        self.beside_button = QPushButton("Add")
        self.replace_button = QPushButton("Replace those of the same name")
        self.leave_button = QPushButton("Leave")
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.addWidget(self._head)
        whole.addWidget(self._lines)
        line = QHBoxLayout()
        for button in (self.beside_button, self.replace_button, self.leave_button):
            line.addWidget(button)
        line.addStretch(1)
        whole.addLayout(line)
        self.beside_button.clicked.connect(self._on_beside)
        self.replace_button.clicked.connect(self._on_replace)
        self.leave_button.clicked.connect(self._close)
        self.setFocusProxy(self.leave_button)
        self.hide()

    def show_parts(self, parts: tuple[Part, ...], refusals: tuple[str, ...] = ()) -> None:
        """Offer parts; refusals are lines of a file that were not understood."""
        self._parts = tuple(part for part in parts if self._shelf.held(part) != part)
        same = len(parts) - len(self._parts)
        known = [part for part in self._parts if self._shelf.held(part) is not None]
        words = [f"{_count(self._parts, 'part')} to import"]
        words += [f"{same} already in the library, unchanged"] if same else []
        words += [f"{_count(refusals, 'line')} refused"] if refusals else []
        self._head.show_lines("warning" if refusals else "hint", ["; ".join(words) + "."])
        lines = [line for part in self._parts for line in self._part_lines(part)]
        lines += [f"refused: {each}" for each in refusals]
        self._lines.setPlainText("\n".join(lines[:LINES_SHOWN]))
        self.beside_button.setText("Add beside existing parts" if known else "Add")
        self.beside_button.setEnabled(bool(self._parts))
        self.replace_button.setVisible(bool(known))
        self.show()

    def _part_lines(self, part: Part) -> list[str]:
        held = self._shelf.held(part)
        head = f"{KIND_LABELS[kind_of(part)]}: {part.name}"
        if held is None:
            return [f"{head} (new)"]
        rows = [row_words(row, part, self._display) for row in difference(held, part)]
        return [head, *(f"    {label}: {before} → {after}" for label, before, after in rows)]

    def _on_beside(self) -> None:
        if self._shelf.add_all(self._parts, replacing=False):
            self._close()

    def _on_replace(self) -> None:
        if self._shelf.add_all(self._parts, replacing=True):
            self._close()

    def _close(self) -> None:
        self._parts = ()
        self.hide()
        self.closed.emit()


def _count(things: tuple[object, ...], word: str) -> str:
    return f"1 {word}" if len(things) == 1 else f"{len(things)} {word}s"
