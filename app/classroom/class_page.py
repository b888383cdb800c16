"""A class under way: the room's side, the instructor's side, and the keys that walk both."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QObject, Qt, QTimer, Signal
from PySide6.QtGui import QGuiApplication, QKeyEvent
from PySide6.QtWidgets import QVBoxLayout, QWidget

from app.classroom import words
from app.classroom.big_text import least_px
from app.classroom.change_one import ChangeOne
from app.classroom.course import Course
from app.classroom.curve_pad import KEYS as CURVE_KEYS
from app.classroom.desk import Desk
from app.classroom.projected import Projected
from app.classroom.room_window import RoomWindow
from app.classroom.showing import show_screen, top_of
from model.lessons.entry import GuessError
from model.lessons.lesson import ChoiceAnswer, CurveAnswer

NEXT_KEYS = (Qt.Key.Key_PageDown, Qt.Key.Key_Right, Qt.Key.Key_Space, Qt.Key.Key_Return,
             Qt.Key.Key_Enter)  # fmt: skip
BACK_KEYS = (Qt.Key.Key_PageUp, Qt.Key.Key_Left)
DARK_KEYS = (Qt.Key.Key_B, Qt.Key.Key_Period)
ALWAYS_KEYS = (Qt.Key.Key_PageDown, Qt.Key.Key_PageUp, Qt.Key.Key_Escape, Qt.Key.Key_F8,
               Qt.Key.Key_F5, Qt.Key.Key_F11)  # fmt: skip
TICK_MS = 1000
NO_GUESS = "No guesses yet: Next once more goes on"


class ClassPage(QWidget):
    """Shows a course on one screen, or on two where there are two."""

    left = Signal()
    ended = Signal()

    def __init__(self) -> None:
        super().__init__()
        self._course: Course | None = None
        self._change = ChangeOne()
        self._is_warned = False
        self._room: RoomWindow | None = None
        self.projected, self.desk = Projected(), Desk()
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.setSpacing(0)
        self._column.addWidget(self.projected, 1)
        self._column.addWidget(self.desk)
        self.desk.counted.connect(self._on_counted)
        self.desk.went_on.connect(self.go_on)
        self.desk.went_back.connect(self.go_back)
        for pad in (self.desk.pad, self.projected.pad):
            pad.drawn.connect(self._on_drawn)
        for typed in (self.desk.entry, *self.desk.counts.fields):
            typed.installEventFilter(self)
        self._tick = QTimer(self, interval=TICK_MS)
        self._tick.timeout.connect(self.tick)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)

    @property
    def course(self) -> Course | None:
        """The class shown."""
        return self._course

    def start(self, course: Course) -> None:
        """Show a class from the place it is at."""
        self._course = course
        self._tick.start()
        self.render_screen()

    def stop(self) -> None:
        """Keep where the class is, and hold nothing of it."""
        self._tick.stop()
        if self._course is not None:
            self._course.leave()
        self._course = None
        self.setAccessibleName("")
        self.projected.clear()
        self.use_one_screen()

    # One screen or two.

    @property
    def room(self) -> RoomWindow | None:
        """The window on the projector, where there is one."""
        return self._room

    def use_screens(self) -> None:
        """Put the room's side on the second screen, where there is one."""
        others = [each for each in QGuiApplication.screens() if each is not self.screen()]
        if not others or self._room is not None:
            return
        room = self._part()
        room.setScreen(others[0])
        room.setGeometry(others[0].geometry())
        room.showFullScreen()

    def part_screens(self) -> RoomWindow:
        """Give the room's side a window of its own, wherever that may stand."""
        if self._room is not None:
            return self._room
        room = self._part()
        room.show()
        return room

    def _part(self) -> RoomWindow:
        self._room = room = RoomWindow(self.projected)
        room.pressed.connect(self.keyPressEvent)
        room.closed.connect(self._on_room_closed)
        self.desk.has_own_screen = True
        self.desk.show()
        self._column.setStretchFactor(self.desk, 1)
        self.render_screen()
        return room

    def _on_room_closed(self) -> None:
        """Go on in one window where the other was closed by hand."""
        if self._room is not None:
            self.use_one_screen()

    def use_one_screen(self) -> None:
        """Bring both sides into one window."""
        room, self._room = self._room, None
        self.desk.has_own_screen = False
        if room is not None:
            self._column.insertWidget(0, self.projected, 1)
            self._column.setStretchFactor(self.desk, 0)
            self.projected.show()
            room.close()
            room.deleteLater()
        if self._course is not None:
            self.render_screen()

    # Moving on and back.

    def go_on(self) -> None:
        """Go to the next screen; take first what stands typed in the line."""
        course = self._course
        if course is None:
            return
        typed = "" if self.desk.entry.isHidden() else self.desk.entry.text()
        if typed.strip():
            # What a change brings is looked at before the page is turned.
            is_taken = self.enter(typed)
            if not is_taken or course.screen.kind == "change":
                return
        if course.round and not course.said.count(course.round) and not self._is_warned:
            self._is_warned = True
            self.desk.say(NO_GUESS)
            return
        if course.go(1):
            self.render_screen()
        else:
            self.ended.emit()

    def go_back(self) -> None:
        """Go to the screen before."""
        if self._course is not None and self._course.go(-1):
            self.render_screen()

    def render_screen(self) -> None:
        """Show the screen the class is at, on both sides."""
        course = self._course
        if course is None:
            return
        self._is_warned = False
        self.projected.cover(dark=False)
        self._change.show(course)
        self.desk.show_course(course, self._prompt(course), self._note(course))
        show_screen(self.projected, course, self._change)
        if course.round and isinstance(course.asked.step.answer, CurveAnswer):
            self._share_pad(course)
        # What a screen reader says when the page takes the keyboard.
        self.setAccessibleName(self.projected.accessibleName())
        self._fit()
        self.tick()
        self.render_focus()

    def _prompt(self, course: Course) -> str:
        kind = course.screen.kind
        if kind == "measure":
            return words.prompt_measure(course)
        if kind == "change":
            return self._change.prompt
        if not course.round or course.is_revealed(course.asked):
            return ""
        if isinstance(course.asked.step.answer, ChoiceAnswer | CurveAnswer):
            return ""
        return words.prompt(course)

    def _note(self, course: Course) -> str:
        if course.trouble:
            return course.trouble
        if course.round:
            if course.is_revealed(course.asked):
                return "The answer has been shown: no more guesses"
            return words.count(course)
        return words.measured(course) if course.screen.kind == "measure" else ""

    def _share_pad(self, course: Course) -> None:
        """Let the laptop draw too."""
        if self.desk.has_own_screen:
            said, pad = course.said, self.desk.pad
            earlier = said.curves.get(1, []) if course.round == 2 else []
            drawn = said.curves.get(course.round, earlier)
            pad.ask(course.run.comparison.clock, top_of(course), drawn, earlier)

    def _fit(self) -> None:
        self.desk.fit_type()
        self.projected.arrange()

    def render_focus(self) -> None:
        """Give the keyboard to what is typed into."""
        wanted = self.desk.takes_focus()
        course = self._course
        if wanted is None and course is not None and course.round:
            wanted = self.desk.pad if self.desk.has_own_screen else self.projected.pad
            if not wanted.has_something():
                wanted = None
        if wanted is not None and self.desk.isVisible():
            wanted.setFocus()
        else:
            self.setFocus()

    def tick(self) -> None:
        """Move the clocks on."""
        course = self._course
        if course is None:
            return
        self.desk.show_clock(course)
        left = words.countdown(course, course.screen)
        if course.screen.kind == "talk":
            self.projected.say(self.projected.counted, left)
            self.projected.arrange()
        elif course.screen.kind == "guess":
            self.projected.say(self.projected.foot, left)

    # What is typed and drawn.

    def enter(self, text: str) -> bool:
        """Take what stands in the line; False where it is refused, and the note says why."""
        course = self._course
        if course is None:
            return False
        try:
            is_taken = self._take(course, text)
        except GuessError as error:
            said = str(error)
            self.desk.say(said[:1].upper() + said[1:])
            self.desk.mark(error.entry)
            return False
        if is_taken:
            self.desk.entry.clear()
        return is_taken

    def _take(self, course: Course, text: str) -> bool:
        if course.screen.kind == "change":
            done = self._change.type_number(course, text)
            self.desk.say(self._change.note)
            if done:
                show_screen(self.projected, course, self._change)
            return done
        if not text.strip() or not (course.round or course.screen.kind == "measure"):
            return False
        if course.screen.kind == "measure":
            course.set_measured(text)
            show_screen(self.projected, course, self._change)
        else:
            course.add_line(text)
        self.desk.say(self._note(course))
        self.desk.show_said(course)
        return True

    def _on_counted(self, counts: list[int]) -> None:
        course = self._course
        if course is None:
            return
        if course.screen.kind == "reason":
            course.set_reasons(counts)
        elif not course.is_revealed(course.asked):
            course.set_votes(counts)
        self.desk.say(self._note(course))
        self.desk.show_said(course)

    def _on_drawn(self, heights: list[float]) -> None:
        course = self._course
        if course is None or not course.round or course.is_revealed(course.asked):
            return
        course.set_curve(heights)
        self.desk.say(self._note(course))
        for pad in (self.desk.pad, self.projected.pad):
            pad.take(heights)

    # Keys.

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if not isinstance(event, QKeyEvent) or event.type() != QEvent.Type.KeyPress:
            return super().eventFilter(watched, event)
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            # Left to the line, the key would go on to the page and turn it.
            if watched is self.desk.entry:
                self.enter(self.desk.entry.text())
            else:
                self.desk.counts.step_on()
            return True
        if self._is_for_page(watched, event):
            self.keyPressEvent(event)
            return True
        return super().eventFilter(watched, event)

    def _is_for_page(self, watched: QObject, event: QKeyEvent) -> bool:
        """Whether a key pressed in a field is meant for the page: a clicker's, or taking back."""
        if event.key() in ALWAYS_KEYS:
            return True
        if watched is not self.desk.entry:
            return event.key() in DARK_KEYS
        if self.desk.entry.text() or self._course is None:
            return False
        takes_letters = self._course.round > 0 and self._course.asked.step.answer.kind == "order"
        return event.key() in (Qt.Key.Key_Backspace, Qt.Key.Key_Period) or (
            event.key() == Qt.Key.Key_B and not takes_letters
        )

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Take a key, whichever of the two windows it was pressed in."""
        course, key = self._course, Qt.Key(event.key())
        if self.projected.is_dark:
            self.projected.cover(dark=False)
        elif key in DARK_KEYS:
            self.projected.cover(dark=True)
        elif key == Qt.Key.Key_Escape:
            self.left.emit()
        elif key == Qt.Key.Key_F8:
            self._hide_strip()
        elif key in CURVE_KEYS and course is not None and course.round and self._draw(key):
            pass
        elif key in NEXT_KEYS:
            self.go_on()
        elif key in BACK_KEYS:
            self.go_back()
        elif key == Qt.Key.Key_Backspace and course is not None:
            self._take_back(course)
        else:
            super().keyPressEvent(event)

    def _draw(self, key: Qt.Key) -> bool:
        return self.projected.pad.press(key)

    def _hide_strip(self) -> None:
        if not self.desk.has_own_screen:
            self.desk.setVisible(self.desk.isHidden())
            self.render_focus()

    def _take_back(self, course: Course) -> None:
        if course.round and not course.is_revealed(course.asked):
            course.take_back()
            self.desk.say(words.count(course))
            self.desk.show_said(course)

    def least_px(self) -> int:
        """Return the smallest size of type on the side that the room sees."""
        return least_px(self.projected)
