"""The instructor's side: what is typed, the clock, the next step; on a screen of its own the rest.

On a screen of its own it also shows notes and what the room has guessed. On the one screen that
the room sees too it is a strip of two lines, and says nothing that the room must not read.
"""

from __future__ import annotations

import re

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QHBoxLayout, QLabel, QLineEdit, QPushButton, QVBoxLayout, QWidget

from app.classroom import words
from app.classroom.big_text import BigText, least_px, sized
from app.classroom.count_row import CountRow
from app.classroom.course import Course
from app.classroom.curve_pad import CurvePad
from app.classroom.dots_picture import Dots, DotsPicture, ruler_over
from app.classroom.pace import ahead_words, clock_text
from app.classroom.showing import clock_ruler
from app.classroom.vote_bars import VoteBars
from model.lessons.lesson import CHOICES_LIMIT, ChoiceAnswer, CurveAnswer

KEYS = "Page Down next · Page Up back · B dark · Backspace takes a line back · Esc list"
STRIP_TIP = "F8 hides this strip, and shows it again"
OWN_SCREEN_LEAST_SHARE = 34
MARGIN_SHARE = 24
TEXT_LIMIT = 400


class Desk(QWidget):
    """Takes what is typed, and shows the instructor where the class stands."""

    counted = Signal(list)
    drawn = Signal(list)
    went_on = Signal()
    went_back = Signal()

    def __init__(self) -> None:
        super().__init__()
        self.has_own_screen = False
        self.entry, self.counts, self.note = QLineEdit(), CountRow(CHOICES_LIMIT), QLabel()
        self.entry.setMaxLength(TEXT_LIMIT)
        self.clock, self.next, self.keys = QLabel(), QLabel(), QLabel(KEYS)
        self.back_button, self.next_button = QPushButton("‹"), QPushButton("›")
        self.here = BigText(16, bold=True, on_top=True)
        self.question, self.notes = BigText(24, on_top=True), BigText(28, quiet=True, on_top=True)
        self.dots, self.votes, self.pad = DotsPicture(), VoteBars(), CurvePad()
        self.clock.setToolTip(STRIP_TIP)
        self.counts.counted.connect(self.counted)
        self.pad.drawn.connect(self.drawn)
        self.back_button.clicked.connect(self.went_back)
        self.next_button.clicked.connect(self.went_on)
        for label in (self.note, self.clock, self.next, self.keys):
            label.setTextFormat(Qt.TextFormat.PlainText)
            label.setWordWrap(label is self.keys)
        for button in (self.back_button, self.next_button):
            button.setFocusPolicy(Qt.FocusPolicy.NoFocus)
            button.setToolTip("Next" if button is self.next_button else "Back")
            button.setAccessibleName(button.toolTip())
        self._lay_out()

    def _lay_out(self) -> None:
        column = QVBoxLayout(self)
        self._column = column
        for widget, stretch in ((self.here, 1), (self.question, 2), (self.notes, 4), (self.dots, 5),
                                (self.votes, 5), (self.pad, 5)):  # fmt: skip
            column.addWidget(widget, stretch)
        first, second = QHBoxLayout(), QHBoxLayout()
        first.addWidget(self.entry, 3)
        first.addWidget(self.counts, 3)
        first.addWidget(self.note, 2)
        second.addWidget(self.next, 0)
        second.addSpacing(24)
        second.addWidget(self.clock, 1)
        second.addWidget(self.back_button)
        second.addWidget(self.next_button)
        for row in (first, second):
            column.addLayout(row)
        column.addWidget(self.keys)

    def show_course(self, course: Course, prompt: str, note: str) -> None:
        """Show where a class stands.

        Parameters
        ----------
        prompt : what the line asks for; nothing where the screen takes no line.
        note : what came of the last thing typed.
        """
        step = course.question.step if course.question else None
        self.entry.clear()
        self.entry.setPlaceholderText(prompt)
        self.entry.setAccessibleName(prompt)
        self.entry.setVisible(bool(prompt))
        names: list[str] = []
        if step is not None and course.screen.kind == "reason":
            names, counts = [each.text for each in step.reasons], course.said.reasons
            self.counts.ask(names, counts)
        elif step is not None and course.round and isinstance(step.answer, ChoiceAnswer):
            names = [each.text for each in step.answer.choices]
            self.counts.ask(names, course.said.votes.get(course.round, []))
        self.counts.setVisible(bool(names))
        self.say(note)
        self.next.setText(words.next_words(course))
        self.show_clock(course)
        self._show_own(course)

    def say(self, note: str) -> None:
        """Say what came of what was typed."""
        self.note.setText(note)
        self.note.setVisible(bool(note))

    def mark(self, entry: str) -> None:
        """Select what was refused in the line, so that typing replaces that alone."""
        found = re.search(rf"(?<![^\s;,]){re.escape(entry)}(?![^\s;,])", self.entry.text())
        if entry and found is not None:
            self.entry.setSelection(found.start(), len(entry))
        else:
            self.entry.selectAll()

    def show_clock(self, course: Course) -> None:
        """Show planned and actual time of the part and of the whole."""
        read = course.pace.reading()
        part = f"{clock_text(read.part_spent_s)}/{clock_text(read.part_planned_s)}"
        whole = f"{clock_text(read.spent_s)}/{clock_text(read.planned_s)}"
        self.clock.setText(f"Part {part} · all {whole} · {ahead_words(read.ahead_s)}")

    def show_said(self, course: Course) -> None:
        """Show what the room has said to this question, without what the run says."""
        for picture in (self.dots, self.votes):
            picture.forget()
            picture.hide()
        question = course.question
        if not self.has_own_screen or question is None:
            return
        if course.screen.kind == "reason":
            self.votes.show_choices(words.reason_choices(course))
            self.votes.show()
        elif isinstance(question.step.answer, ChoiceAnswer):
            self.votes.show_choices(words.vote_choices(course, is_open=False))
            self.votes.show()
        elif course.numbers(1) or course.numbers(2):
            first, second = course.numbers(1), course.numbers(2)
            is_time = question.step.answer.kind == "time"
            ruler = clock_ruler(course.run, []) if is_time else ruler_over([*first, *second])
            self.dots.show_dots(Dots(first, second, ruler, _Words(course)))
            self.dots.show()

    def _show_own(self, course: Course) -> None:
        own = self.has_own_screen
        question = course.question
        self.keys.setVisible(own)
        lesson = course.programme.lesson_of(course.screen.part)
        self.question.set_text(course.text(question.step.question) if question else "")
        said = [lesson.notes, lesson.measure] if lesson and own else []
        self.notes.set_text("\n".join(" ".join(each.split()) for each in said if each.strip()))
        self.here.set_text(words.here(course))
        self.here.setVisible(own)
        self.question.setVisible(own and bool(self.question.text))
        self.notes.setVisible(own and bool(self.notes.text))
        self.pad.forget()
        draws = question is not None and isinstance(question.step.answer, CurveAnswer)
        self.pad.setVisible(own and draws and course.round > 0)
        self.show_said(course)
        self.fit_type()

    def takes_focus(self) -> QWidget | None:
        """Return the field that what is typed belongs to."""
        if not self.entry.isHidden():
            return self.entry
        if not self.counts.isHidden():
            return self.counts.fields[0]
        return None

    def fit_type(self) -> None:
        """Set the type: in the strip that of the room, on an own screen that of a desk."""
        px = least_px(self)
        if self.has_own_screen:
            px = max(self.window().height() // OWN_SCREEN_LEAST_SHARE, 12)
        side = self.window().width() // MARGIN_SHARE
        self._column.setContentsMargins(side, 4, side, 12)
        font = sized(self.font(), px)
        for widget in (self.entry, self.note, self.clock, self.next, self.keys,
                       self.back_button, self.next_button):  # fmt: skip
            widget.setFont(font)
        for button in (self.back_button, self.next_button):
            button.setFixedWidth(round(px * 2.2))
        self.counts.fit(font, round(px * 2.6))

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self.fit_type()


class _Words:
    """Says a guess of one question."""

    def __init__(self, course: Course) -> None:
        self._course = course

    def __call__(self, value: float) -> str:
        return words.say_guess(self._course, value)
