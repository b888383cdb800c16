"""Changing one thing after the reveal, and what is read off then."""

from __future__ import annotations

from app.classroom.class_lesson import ClassLesson
from app.widgets.number_text import NumberTextError, number_text, read_number, shown_as
from model.editing.faults import ScenarioError
from model.editing.field_facts import field_at, place_words
from model.editing.paths import value_at
from model.lessons.formula import FormulaError
from model.lessons.run import tried, watched


class ChangeOne:
    """Which change was chosen, what came of it, and whether a number is still to be typed."""

    def __init__(self) -> None:
        self.chosen: int | None = None
        self.after = ""
        self.note = ""
        self.prompt = ""
        self.wants_number = False

    def choose(self, course: ClassLesson, index: int) -> None:
        """Make one change, or undo it when it is chosen again; a number may be typed anew."""
        change = course.step.tries[index]
        self.after, self.note, self.prompt, self.wants_number = "", "", "", False
        if self.chosen == index and change.path is None:
            self.chosen = None
            return
        self.chosen = index
        if change.path is not None:
            facts = field_at(change.path)
            now = number_text(value_at(course.run.scenario, change.path), facts, us=False)
            unit = shown_as(facts, us=False).unit
            name = place_words(change.path)
            self.prompt = f"{name[:1].upper()}{name[1:]}, {unit}: now {now}"
            self.wants_number = True
            return
        self._run(course, None)

    def type_number(self, course: ClassLesson, text: str) -> bool:
        """Make the chosen change with a number; False where it is refused, and ``note`` why."""
        if self.chosen is None:
            return False
        path = course.step.tries[self.chosen].path
        if path is None:
            return False
        try:
            value = read_number(text, field_at(path), us=False)
        except NumberTextError as error:
            self.note = str(error)
            return False
        if value is None:
            self.note = "Type a number"
            return False
        self.wants_number = not self._run(course, value)
        return not self.wants_number

    def _run(self, course: ClassLesson, typed: float | None) -> bool:
        assert self.chosen is not None
        self.note = ""
        try:
            self.after = watched(tried(course.run, course.step.tries[self.chosen], typed))
        except ScenarioError as error:
            self.note = error.faults[0].message
        except FormulaError as error:
            self.note = str(error)
        return not self.note
