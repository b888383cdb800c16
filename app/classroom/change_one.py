"""Changing one thing after the reveal: made at once, or once its number is typed."""

from __future__ import annotations

from app.classroom.course import Course
from app.widgets.number_text import NumberTextError, number_text, read_number, shown_as
from model.editing.field_facts import field_at, place_words
from model.editing.paths import value_at
from model.lessons.formula import FormulaError
from model.lessons.run import StepRun, watched


class ChangeOne:
    """What came of the change of one screen, and whether a number is still to be typed."""

    def __init__(self) -> None:
        self.run: StepRun | None = None
        self.words = self.note = self.prompt = ""

    def show(self, course: Course) -> None:
        """Make the change of the screen, or ask for its number."""
        self.run, self.words, self.note, self.prompt = None, "", "", ""
        if course.screen.kind != "change":
            return
        change = course.asked.step.tries[course.screen.number]
        if change.path is None:
            self._take(course, None)
            return
        facts = field_at(change.path)
        now = number_text(value_at(course.run.scenario, change.path), facts, us=course.is_us)
        unit, name = shown_as(facts, us=course.is_us).unit, place_words(change.path)
        self.prompt = f"{name[:1].upper()}{name[1:]}, {unit}: now {now}"

    def type_number(self, course: Course, text: str) -> bool:
        """Make the change with a number; False where it is refused, and ``note`` why."""
        path = course.asked.step.tries[course.screen.number].path
        if path is None:
            return False
        try:
            value = read_number(text, field_at(path), us=course.is_us)
        except NumberTextError as error:
            self.note = str(error)
            return False
        if value is None:
            self.note = "Type a number"
            return False
        return self._take(course, value)

    def _take(self, course: Course, typed: float | None) -> bool:
        made = course.changed(typed)
        self.run, self.note = made.run, made.fault
        if made.run is None:
            return False
        try:
            self.words = f"Changed: {course.told(watched(made.run))}"
        except FormulaError as error:
            self.run, self.note = None, str(error)
        return self.run is not None
