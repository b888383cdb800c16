"""What a class walks through, from the first screen to the last, one key after another."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Literal

from app.classroom.pace import Part
from model.lessons.lesson import Lesson, Step
from model.lessons.playlist import Asked, ClassPlan
from model.lessons.run import StepRun, edited, step_run

Kind = Literal[
    "cover", "opening", "lesson", "guess", "reason", "talk", "second", "measure", "reveal", "why",
    "result", "change", "closing", "answer", "narrowing", "end",
]  # fmt: skip
# Screens that may show what a run says.
OPEN: tuple[Kind, ...] = ("reveal", "why", "result", "change", "answer")
FIRST_ROUND: tuple[Kind, ...] = ("opening", "guess")
SECOND_ROUND: tuple[Kind, ...] = ("closing", "second")
ARRIVING, OPENING, CLOSING = "arriving", "opening", "closing"


@dataclass(frozen=True)
class Screen:
    """One screen: of a part, of a question, and of a result or change counted from 0."""

    kind: Kind
    part: str
    question: str = ""
    number: int = 0

    @property
    def key(self) -> str:
        """What the record calls it."""
        return f"{self.kind} {self.question or self.part} {self.number}"


@dataclass(frozen=True)
class Question:
    """One question as a class meets it.

    Attributes
    ----------
    key : what the record calls it.
    lesson, index : where it stands; no lesson for one that opens and closes the class.
    words : "2 of 6", or of its lesson where that asks several.
    """

    key: str
    step: Step
    part: str
    words: str
    lesson: Lesson | None = None
    index: int = 0


@dataclass(frozen=True)
class Programme:
    """A playlist, or one lesson by itself, laid out as screens.

    Attributes
    ----------
    key : what the record calls it.
    minutes : how long it may last, 0 for a lesson by itself. [min]
    """

    key: str
    title: str
    minutes: int
    plan: ClassPlan | None
    lessons: tuple[Asked, ...]
    questions: tuple[Question, ...]
    parts: tuple[Part, ...]
    screens: tuple[Screen, ...]

    def question(self, key: str) -> Question:
        """Return a question by its key."""
        return next(each for each in self.questions if each.key == key)

    def number_of(self, question: Question) -> str:
        """Return the number of a question as the room sees it; twice asked ones count apart."""
        is_six = question.lesson is None
        alike = [each for each in self.questions if (each.lesson is None) == is_six]
        number = alike.index(question) + 1
        return f"start/end {number}" if is_six else f"{number}"

    def lesson_of(self, part: str) -> Lesson | None:
        """Return the lesson that a part is about."""
        return next((each.lesson for each in self.lessons if each.name == part), None)

    def run_of(self, question: Question) -> StepRun:
        """Run the step of a question."""
        if question.lesson is not None:
            return step_run(question.lesson, question.index)
        assert self.plan is not None
        assert self.plan.questions is not None
        held = next(each for each in self.plan.opening if _six(each.id) == question.key)
        base = self.plan.questions.scenario
        return StepRun(question.step, edited(base, held.changes, held.drops), base)

    def planned_s(self, screen: Screen) -> float:
        """Return how long a screen is planned to be shown; 0 where only its part is. [s]"""
        if not screen.question:
            return 0.0
        planned_min = {
            "guess": "guess_min", "reason": "reason_min", "talk": "talk_min",
            "second": "second_min", "measure": "measure_min",
        }.get(screen.kind)  # fmt: skip
        if planned_min is None:
            return 0.0
        return 60.0 * float(getattr(self.question(screen.question).step.parts, planned_min))


def programme_of_plan(key: str, plan: ClassPlan) -> Programme:
    """Lay out a playlist."""
    playlist = plan.playlist
    questions = _sixes(plan)
    parts = [Part(ARRIVING, "Arriving", 60.0 * playlist.late_min)]
    screens = [Screen("cover", ARRIVING)]
    if questions:
        parts.append(Part(OPENING, "Opening questions", 60.0 * playlist.opening_min))
        screens += [Screen("opening", OPENING, each.key) for each in questions]
    sixes = tuple(questions)
    for asked in plan.lessons:
        _add_lesson(asked, questions, parts, screens)
    if plan.closing:
        parts.append(Part(CLOSING, "Closing questions", 60.0 * playlist.closing_min))
        screens += [Screen("closing", CLOSING, each.key) for each in sixes]
        screens += [Screen("answer", CLOSING, each.key) for each in sixes]
        screens.append(Screen("narrowing", CLOSING))
    screens.append(Screen("end", parts[-1].key))
    return Programme(
        key, playlist.title, playlist.minutes, plan, plan.lessons, tuple(questions), tuple(parts),
        tuple(screens),
    )  # fmt: skip


def programme_of_lesson(key: str, path: Path, lesson: Lesson) -> Programme:
    """Lay out one lesson by itself."""
    asked = Asked(path.stem, path, lesson, tuple(range(len(lesson.steps))))
    questions: list[Question] = []
    parts: list[Part] = []
    screens: list[Screen] = []
    _add_lesson(asked, questions, parts, screens)
    screens.append(Screen("end", asked.name))
    return Programme(
        key, lesson.title, 0, None, (asked,), tuple(questions), tuple(parts), tuple(screens)
    )


def _six(name: str) -> str:
    return f"six.{name}"


def _sixes(plan: ClassPlan) -> list[Question]:
    count = len(plan.opening)
    return [
        Question(_six(each.id), each.step, OPENING, f"{place} of {count}")
        for place, each in enumerate(plan.opening, start=1)
    ]


def _add_lesson(
    asked: Asked, questions: list[Question], parts: list[Part], screens: list[Screen]
) -> None:
    planned_min = sum(asked.lesson.steps[index].planned.total_min for index in asked.steps)
    parts.append(Part(asked.name, asked.lesson.title, 60.0 * planned_min))
    screens.append(Screen("lesson", asked.name))
    count = len(asked.steps)
    for place, index in enumerate(asked.steps, start=1):
        step = asked.lesson.steps[index]
        words = f"question {place} of {count}" if count > 1 else ""
        key = f"{asked.name}.{index + 1}"
        questions.append(Question(key, step, asked.name, words, asked.lesson, index))
        screens += _screens_of(step, asked.name, key)


def _screens_of(step: Step, part: str, key: str) -> list[Screen]:
    kinds: list[Kind] = ["guess"]
    if step.reasons:
        kinds.append("reason")
    kinds += ["talk", "second"]
    if step.measure is not None:
        kinds.append("measure")
    kinds += ["reveal", "why"]
    found = [Screen(kind, part, key) for kind in kinds]
    found += [Screen("result", part, key, number) for number in range(len(step.show))]
    found += [Screen("change", part, key, number) for number in range(len(step.tries))]
    return found
