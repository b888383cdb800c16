"""Nets at set times: when they are and how long each lasts."""

from __future__ import annotations

import re

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QHBoxLayout, QLabel, QPushButton, QVBoxLayout, QWidget

from app.editors.fields.clock_text import read_clock
from app.editors.fields.editor import NoteLabel
from app.editors.fields.line import LineEdit
from app.widgets.whole_box import WholeBox
from model.scenario.declare import MINUTES_A_DAY, minutes_of

USUAL_TIMES = "08:00 13:00 18:00"


class NetRow(QWidget):
    """Asks at which times the nets are and how long they last.

    ``wanted`` carries the times in minutes of the day and the length; ``previewed`` does while
    they are typed, with no times where they cannot be read.
    """

    wanted = Signal(object, int)
    previewed = Signal(object, int)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.times = LineEdit(24, self)
        self.times.setText(USUAL_TIMES)
        self.times.setAccessibleName("Times of the nets")
        self.minutes = WholeBox(self)
        self.minutes.setRange(1, MINUTES_A_DAY)
        self.minutes.setValue(30)
        self.minutes.setSuffix(" min")
        self.minutes.setAccessibleName("Length of each net")
        self.place = QPushButton("Add nets", self)
        self.place.setAutoDefault(False)
        self.note = NoteLabel(self)
        row = QHBoxLayout()
        row.addWidget(QLabel("Voice nets at", self))
        row.addWidget(self.times)
        row.addWidget(QLabel("for", self))
        row.addWidget(self.minutes)
        row.addWidget(self.place)
        row.addStretch(1)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(1)
        column.addLayout(row)
        column.addWidget(self.note)
        self.place.clicked.connect(self._on_place)
        self.times.returnPressed.connect(self._on_place)
        self.times.textEdited.connect(self._on_typed)
        self.times.given_up.connect(self._on_given_up)
        self.minutes.valueChanged.connect(self.preview)

    def _on_place(self) -> None:
        starts = starts_of(self.times.text())
        self._show_right(bool(starts))
        if starts:
            self.wanted.emit(starts, self.minutes.value())

    def preview(self) -> None:
        """Show what the times as they are typed would come to."""
        self.previewed.emit(starts_of(self.times.text()), self.minutes.value())

    def show_fault(self, sentence: str) -> None:
        """Say why the nets cannot be placed so."""
        self.note.show_lines("error", [sentence] if sentence else [])

    def _on_typed(self, text: str) -> None:
        if self.times.is_marked:
            self._show_right(bool(starts_of(text)))
        self.preview()

    def _on_given_up(self) -> None:
        self.times.show_text(USUAL_TIMES)
        self._show_right(True)

    def _show_right(self, is_right: bool) -> None:
        self.times.mark(not is_right)
        fault = "Times of the day separated by spaces, such as 08:00 13:00 18:00."
        self.note.show_lines("error", [] if is_right else [fault])


def starts_of(text: str) -> tuple[int, ...]:
    """Return the times in a text in minutes since midnight; none when one cannot be read."""
    starts = []
    for word in re.split(r"[\s,;]+", text.strip()):
        try:
            starts.append(minutes_of(read_clock(word)))
        except ValueError:
            return ()
    return () if MINUTES_A_DAY in starts else tuple(starts)
