"""The presenting view: one question at a time, guesses in, then the reveal; all by keyboard."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QEvent, QObject, Qt, Signal
from PySide6.QtGui import QColor, QKeyEvent, QPalette, QResizeEvent
from PySide6.QtWidgets import QHBoxLayout, QLineEdit, QPushButton, QVBoxLayout, QWidget

from app.classroom import words
from app.classroom.big_text import BigText, least_px, sized
from app.classroom.change_one import ChangeOne
from app.classroom.class_lesson import ClassLesson
from app.classroom.curve_pad import HELP, CurvePad
from app.classroom.pictures import TITLES, ResultPicture
from app.classroom.strip import GuessStrip
from model.lessons.answer import clock_words, guess_words, spread_of
from model.lessons.entry import GuessError
from model.lessons.lesson import CurveAnswer, NumberAnswer, TimeAnswer
from model.support.figures import NBSP

NEXT_KEYS = (Qt.Key.Key_PageDown, Qt.Key.Key_Right, Qt.Key.Key_Space, Qt.Key.Key_Return,
             Qt.Key.Key_Enter)  # fmt: skip
BACK_KEYS = (Qt.Key.Key_PageUp, Qt.Key.Key_Left)
DARK_KEYS = (Qt.Key.Key_B, Qt.Key.Key_Period)
HINT = "Page Down: next   Page Up: back   B: dark   F11: full   Esc: list"
TYPED = ("time", "number", "choice", "order")


class LessonPage(QWidget):
    """Shows the screens of a course, and takes what is typed and drawn."""

    left = Signal()
    ended = Signal()

    def __init__(self) -> None:
        super().__init__()
        self._course: ClassLesson | None = None
        self._change = ChangeOne()
        self._is_warned = False
        self.heading, self.main, self.more = BigText(24), BigText(9, bold=True), BigText(18)
        self.listed, self.foot, self.note = BigText(13), BigText(18), BigText(28)
        self.strip, self.pad, self.picture = GuessStrip(), CurvePad(), ResultPicture()
        self.entry = QLineEdit()
        self.entry.setMaxLength(40)
        self.entry.installEventFilter(self)
        self.pad.drawn.connect(self._on_drawn)
        self.back_button, self.next_button = QPushButton("Back"), QPushButton("Next")
        self.hint = BigText(28)
        self.hint.set_text(HINT)
        self._dark = _Darkness(self)
        self._lay_out()
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)

    def _lay_out(self) -> None:
        self._column = QVBoxLayout(self)
        for widget in (self.heading, self.main, self.more, self.listed, self.pad, self.strip,
                       self.picture, self.foot, self.entry, self.note):  # fmt: skip
            self._column.addWidget(widget)
        row = QHBoxLayout()
        row.addWidget(self.hint, 1)
        for button, slot in ((self.back_button, self.go_back), (self.next_button, self.go_on)):
            button.setFocusPolicy(Qt.FocusPolicy.NoFocus)
            button.clicked.connect(slot)
            row.addWidget(button)
        self._column.addLayout(row)

    @property
    def course(self) -> ClassLesson | None:
        """The lesson shown."""
        return self._course

    def start(self, course: ClassLesson) -> None:
        """Show a lesson from the place it is at."""
        self._course = course
        self._render()

    def stop(self) -> None:
        """Hold nothing of a lesson."""
        self._clear()
        self._course = None

    # Moving on and back.

    def go_on(self) -> None:
        """Go to the next screen; take first what stands typed in the line."""
        course = self._course
        if course is None:
            return
        stage = course.stage
        if stage.kind == "question" and self.entry.isVisible() and self.entry.text().strip():
            self._on_entered()
            if self.entry.text():
                return
        nothing = not course.guesses and not course.curve
        if stage.kind == "question" and nothing and not self._is_warned:
            self._is_warned = True
            self.note.set_text("No guesses yet. Next once more goes on without.")
            return
        if course.go(1):
            self._render()
        else:
            self.ended.emit()

    def go_back(self) -> None:
        """Go to the screen before."""
        if self._course is not None and self._course.go(-1):
            self._render()

    # What a screen shows. Each begins from nothing, so that no screen can show another's.

    def _clear(self) -> None:
        for text in (self.heading, self.main, self.more, self.listed, self.foot, self.note):
            text.set_text("")
            text.hide()
        for widget in (self.pad, self.strip, self.picture, self.entry):
            widget.hide()
        for picture in (self.pad, self.strip, self.picture):
            picture.forget()
        self.setAccessibleName("")
        self.entry.clear()
        self._change = ChangeOne()
        self._is_warned = False

    def _render(self) -> None:
        course = self._course
        if course is None:
            return
        self._clear()
        self._say(self.heading, words.heading(course), 0)
        render = {
            "cover": self._show_cover, "question": self._show_question,
            "guesses": self._show_guesses, "reveal": self._show_reveal, "why": self._show_why,
            "sum": self._show_sum, "result": self._show_result, "change": self._show_change,
            "end": self._show_end,
        }  # fmt: skip
        render[course.stage.kind](course)
        if course.trouble:
            self._say(self.note, course.trouble, 0)
        self._fit_type()
        # What a screen reader says when the page takes the keyboard.
        said = (self.heading, self.main, self.more, self.listed, self.foot)
        self.setAccessibleName("\n".join(each.text for each in said if each.text))
        focused = next((each for each in (self.entry, self.pad) if self._takes_keys(each)), self)
        focused.setFocus()

    def _takes_keys(self, widget: QWidget) -> bool:
        course = self._course
        return not widget.isHidden() and course is not None and course.stage.kind == "question"

    def _say(self, widget: BigText, text: str, stretch: int) -> None:
        widget.set_text(text)
        widget.show()
        self._column.setStretchFactor(widget, stretch)

    def _put(self, widget: QWidget, stretch: int) -> None:
        widget.show()
        self._column.setStretchFactor(widget, stretch)

    def _show_cover(self, course: ClassLesson) -> None:
        self._say(self.more, words.cover(course), 6)

    def _show_question(self, course: ClassLesson) -> None:
        answer = course.step.answer
        self._say(self.main, course.run.text(course.step.question), 4)
        given = course.run.given()
        if given:
            self._say(self.more, given, 2)
        if isinstance(answer, CurveAnswer):
            clock = course.run.comparison.clock
            self._put(self.pad, 7)
            self.pad.ask(clock, self._top_words(course), course.curve)
            self._say(self.note, HELP, 0)
            return
        listed = words.choices(course)
        if listed:
            self._say(self.listed, listed, 4)
        self._say(self.note, words.count(course), 0)
        if course.is_revealed:
            self._say(self.note, "The answer has been shown: no more guesses are taken.", 0)
            return
        self._put(self.entry, 0)
        self.entry.setPlaceholderText(words.prompt(course))
        self.entry.setAccessibleName(f"Guess: {words.prompt(course)}")

    def _top_words(self, course: ClassLesson) -> str:
        answer = course.step.answer
        assert isinstance(answer, CurveAnswer)
        if answer.series == "charge":
            return "100 %"
        panel = course.run.scenario.stations[answer.station - 1].panel
        return "" if panel is None else f"{panel.rated_w * panel.count:g}{NBSP}W"

    def _show_guesses(self, course: ClassLesson) -> None:
        self._say(self.foot, words.spread(course), 2)
        if isinstance(course.step.answer, TimeAnswer | NumberAnswer):
            self._put(self.strip, 5)
            self._fill_strip(course)

    def _fill_strip(self, course: ClassLesson) -> None:
        answer, numbers = course.step.answer, _numbers(course.guesses)
        middle = spread_of(course.guesses)
        start = course.run.comparison.clock.start
        assert isinstance(answer, TimeAnswer | NumberAnswer)

        def say(value: float) -> str:
            if isinstance(answer, TimeAnswer):
                return clock_words(value, start)
            return guess_words(value, answer, start)

        self.strip.show_guesses(numbers, middle.median if middle else 0.0, say)

    def _show_reveal(self, course: ClassLesson) -> None:
        truth, answer = course.reveal.truth, course.step.answer
        self._say(self.main, truth.words, 3)
        if isinstance(answer, CurveAnswer):
            clock = course.run.comparison.clock
            self._put(self.pad, 7)
            self.pad.ask(clock, self._top_words(course), course.curve)
            self.pad.show_truth(truth.curve)
        elif isinstance(answer, TimeAnswer | NumberAnswer):
            self._put(self.strip, 4)
            self._fill_strip(course)
            self.strip.show_truth(truth.amount)
        else:
            self._say(self.listed, words.answer_list(course), 5)
        self._say(self.foot, words.score(course), 1)

    def _show_why(self, course: ClassLesson) -> None:
        self._say(self.listed, course.reveal.explanation, 6)

    def _show_sum(self, course: ClassLesson) -> None:
        self._say(self.listed, course.reveal.sum, 6)

    def _show_result(self, course: ClassLesson) -> None:
        self._say(self.more, TITLES[course.stage.result], 0)
        self._put(self.picture, 8)
        self.picture.show_result(course.reveal.comparison, course.stage.result)

    def _show_change(self, course: ClassLesson) -> None:
        self._say(self.more, "Change one thing: press its number", 0)
        self._say(self.listed, words.tries(course, self._change.chosen, self._change.after), 8)
        self._say(self.note, self._change.note, 0)
        self.entry.setVisible(self._change.wants_number)

    def _show_end(self, course: ClassLesson) -> None:
        self._say(self.listed, words.end(course), 6)

    # What is typed and drawn.

    def _on_entered(self) -> None:
        course, text = self._course, self.entry.text()
        if course is None:
            return
        if course.stage.kind == "change":
            if self._change.type_number(course, text):
                self._refresh_change(course)
            else:
                self.note.set_text(self._change.note)
            return
        if not text.strip():
            return
        try:
            course.add_guess(text)
        except GuessError as error:
            self.note.set_text(str(error).capitalize())
            self.entry.selectAll()
            return
        self.entry.clear()
        self.note.set_text(course.trouble or words.count(course))

    def _on_drawn(self, heights: list[float]) -> None:
        if self._course is not None:
            self._course.set_curve(heights)

    def _choose(self, course: ClassLesson, index: int) -> None:
        if index < len(course.step.tries):
            self._change.choose(course, index)
            self._refresh_change(course)

    def _refresh_change(self, course: ClassLesson) -> None:
        self.entry.clear()
        self._show_change(course)
        if self._change.wants_number:
            self.entry.setPlaceholderText(self._change.prompt)
            self.entry.setAccessibleName(self._change.prompt)
            self.entry.setFocus()
        else:
            self.setFocus()

    # Keys.

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if (
            watched is self.entry
            and isinstance(event, QKeyEvent)
            and event.type() == QEvent.Type.KeyPress
        ):
            if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
                # Left to the line, the key would go on to the page and turn it.
                self._on_entered()
                return True
            if self._is_for_page(event):
                self.keyPressEvent(event)
                return True
        return super().eventFilter(watched, event)

    def _is_for_page(self, event: QKeyEvent) -> bool:
        """Whether a key pressed in the line is meant for the page: a clicker's, or taking back."""
        course = self._course
        if course is None:
            return False
        if event.key() in (Qt.Key.Key_PageDown, Qt.Key.Key_PageUp, Qt.Key.Key_Escape):
            return True
        if self.entry.text():
            return False
        numeric = course.step.answer.kind in ("time", "number")
        return (
            event.key() == Qt.Key.Key_Backspace
            or event.key() == Qt.Key.Key_Period
            or (event.key() == Qt.Key.Key_B and numeric)
        )

    def keyPressEvent(self, event: QKeyEvent) -> None:
        course, key = self._course, Qt.Key(event.key())
        if self._dark.isVisible():
            self._dark.hide()
        elif key in DARK_KEYS:
            self._dark.cover()
        elif key == Qt.Key.Key_Escape:
            self.left.emit()
        elif key in NEXT_KEYS:
            self.go_on()
        elif key in BACK_KEYS:
            self.go_back()
        elif key == Qt.Key.Key_Backspace and course is not None:
            self._take_back(course)
        elif course is not None and course.stage.kind == "change":
            digit = key.value - Qt.Key.Key_1.value
            if 0 <= digit < 9:
                self._choose(course, digit)
            else:
                super().keyPressEvent(event)
        else:
            super().keyPressEvent(event)

    def _take_back(self, course: ClassLesson) -> None:
        if course.stage.kind == "question" and not course.is_revealed:
            course.take_back()
            self.note.set_text(words.count(course))

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._fit_type()
        self._dark.setGeometry(self.rect())

    def _fit_type(self) -> None:
        px = least_px(self)
        self.entry.setFont(sized(self.font(), round(px * 1.4)))
        for button in (self.back_button, self.next_button):
            button.setFont(sized(self.font(), px))
        for text in (self.heading, self.note, self.hint):
            text.setFixedHeight(round(px * 1.5))


class _Darkness(QWidget):
    """Covers the page so that the room looks at the speaker."""

    def __init__(self, page: QWidget) -> None:
        super().__init__(page)
        self._page = page
        palette = QPalette()
        palette.setColor(QPalette.ColorRole.Window, QColor(0, 0, 0))
        self.setPalette(palette)
        self.setAutoFillBackground(True)
        self.setAccessibleName("Dark screen; any key ends it")
        self.hide()

    def cover(self) -> None:
        """Cover the whole page."""
        self.setGeometry(self._page.rect())
        self.raise_()
        self.show()

    def mousePressEvent(self, event: object) -> None:
        self.hide()


def _numbers(guesses: Sequence[object]) -> list[float]:
    return [guess for guess in guesses if isinstance(guess, float)]
