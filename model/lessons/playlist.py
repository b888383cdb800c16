"""The playlist of a class: which questions are asked, in which order, and how long that takes."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Annotated, Literal

from pydantic import BeforeValidator, Field

from model.lessons.lesson import (
    STEPS_LIMIT,
    Changes,
    Drops,
    Lesson,
    NumberAnswer,
    Step,
    TimeAnswer,
    Words,
)
from model.lessons.parts import PartMinutes
from model.scenario.declare import OneLine, Prose, Value, Whole, listed_up_to
from model.scenario.scenario import Scenario

FORMAT = 1
OPENING_LIMIT = 6
LESSONS_LIMIT = 40
QUESTIONS_LIMIT = 40
Id = Annotated[OneLine, Field(pattern=r"^[a-z0-9][a-z0-9_-]{0,39}$")]
Ids = Annotated[
    tuple[Id, ...], BeforeValidator(listed_up_to(OPENING_LIMIT)), Field(max_length=OPENING_LIMIT)
]


class Entry(Value):
    """A lesson of a playlist, by its file name without the ending.

    Attributes
    ----------
    steps : questions that are asked, counted from 1; none stands for all of them.
    """

    lesson: Id
    steps: Annotated[
        tuple[Annotated[Whole, Field(ge=1, le=STEPS_LIMIT)], ...],
        BeforeValidator(listed_up_to(STEPS_LIMIT)),
    ] = Field(default=(), max_length=STEPS_LIMIT)


Entries = Annotated[tuple[Entry, ...], BeforeValidator(listed_up_to(LESSONS_LIMIT))]


class Playlist(Value):
    """What a class does from beginning to end.

    Attributes
    ----------
    minutes : how long the class may last [min].
    late_min : waiting for those who come late, at the beginning [min].
    opening, closing : questions asked before and once more after the lessons; see ``Question``.
    opening_min, closing_min : time for them [min].
    lessons : in their order.
    spares : what may be asked besides, where there is time.
    """

    format: Literal[1] = 1
    title: Annotated[OneLine, Field(min_length=1, max_length=80)]
    minutes: Annotated[Whole, Field(ge=5, le=600)]
    late_min: PartMinutes = 0.0
    opening: Ids = ()
    opening_min: PartMinutes = 0.0
    lessons: Entries = Field(min_length=1, max_length=LESSONS_LIMIT)
    closing: Ids = ()
    closing_min: PartMinutes = 0.0
    spares: Entries = Field(default=(), max_length=LESSONS_LIMIT)


class Question(Value):
    """A question that opens and closes a class; a number or a time, on the same scale both times.

    Attributes
    ----------
    id : what a playlist calls it.
    changes, drops : what is different from the scenario of all questions.
    sum : shown when the class is closed.
    """

    id: Id
    question: Annotated[Prose, Field(min_length=1, max_length=300)]
    given: Annotated[Prose, Field(max_length=400)] = ""
    changes: Changes = ()
    drops: Drops = ()
    answer: Annotated[TimeAnswer | NumberAnswer, Field(discriminator="kind")]
    sum: Words

    @property
    def step(self) -> Step:
        """The question as a step of a lesson, to be run and its guesses read like any other."""
        return Step(
            question=self.question,
            given=self.given,
            answer=self.answer,
            explanation=self.sum,
            sum=self.sum,
        )


class Questions(Value):
    """The questions that open and close a class, and the scenario they are asked of."""

    format: Literal[1] = 1
    scenario: Scenario
    questions: Annotated[tuple[Question, ...], BeforeValidator(listed_up_to(QUESTIONS_LIMIT))] = (
        Field(min_length=1, max_length=QUESTIONS_LIMIT)
    )

    def get(self, wanted: str) -> Question | None:
        """Return a question by its id."""
        return next((each for each in self.questions if each.id == wanted), None)


@dataclass(frozen=True)
class Asked:
    """A lesson of a playlist, with the questions of it that are asked.

    Attributes
    ----------
    name : the file name of the lesson without its ending.
    steps : places of the questions in the lesson, counted from 0.
    """

    name: str
    path: Path
    lesson: Lesson
    steps: tuple[int, ...]


@dataclass(frozen=True)
class ClassPlan:
    """A playlist with everything it names.

    Attributes
    ----------
    questions : of the file that holds the opening and closing ones; None where none is asked.
    """

    playlist: Playlist
    lessons: tuple[Asked, ...]
    spares: tuple[Asked, ...] = ()
    opening: tuple[Question, ...] = ()
    closing: tuple[Question, ...] = ()
    questions: Questions | None = None
