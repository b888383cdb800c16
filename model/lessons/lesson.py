"""A lesson of a class: questions asked before a run, and what to say of it afterwards.

A lesson holds no answers. It names outcomes of the run; each number is worked out at reveal.
"""

from __future__ import annotations

from collections.abc import Mapping
from math import ceil
from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, Discriminator, Field

from model.lessons.parts import Measurement, Parts, Picture, Reasons, Short, ShownList
from model.scenario.declare import Flag, OneLine, Prose, Value, Whole, listed, listed_up_to
from model.scenario.scenario import Scenario

FORMAT = 3
STEPS_LIMIT = 20
CHOICES_LIMIT = 8
TRIES_LIMIT = 6
EDITS_LIMIT = 40
Kind = Literal["time", "number", "choice", "order", "curve"]
# The same as a fault lists them.
ANSWER_KINDS = "time, number, choice, order or curve"

Formula = Annotated[OneLine, Field(min_length=1, max_length=400)]
Words = Annotated[Prose, Field(min_length=1, max_length=1200)]
Edits = tuple[tuple[str, Any], ...]


def _edits(value: Any) -> Any:
    """Read a table of paths; a path written without quotes comes as tables within tables."""
    if not isinstance(value, Mapping):
        return value
    found: list[tuple[str, Any]] = []
    for key, item in value.items():
        if "." not in key and isinstance(item, Mapping):
            found += [(f"{key}.{rest}", inner) for rest, inner in _edits(item)]
        else:
            found.append((key, listed(item)))
    return tuple(found)


def _pairs(value: Any) -> Any:
    return tuple(value.items()) if isinstance(value, Mapping) else value


Changes = Annotated[Edits, BeforeValidator(_edits), Field(max_length=EDITS_LIMIT)]
Drops = Annotated[
    tuple[OneLine, ...], BeforeValidator(listed_up_to(EDITS_LIMIT)), Field(max_length=EDITS_LIMIT)
]
Numbers = Annotated[
    tuple[tuple[str, Formula], ...], BeforeValidator(_pairs), Field(max_length=EDITS_LIMIT)
]


class TimeAnswer(Value):
    """When something happens; ``value`` names a moment of the run."""

    kind: Literal["time"]
    value: Formula


class NumberAnswer(Value):
    """A number with its unit; the unit % takes a share and counts in hundredths."""

    kind: Literal["number"]
    value: Formula
    unit: Annotated[OneLine, Field(max_length=20)] = ""
    decimals: Annotated[Whole, Field(ge=0, le=4)] = 1


class Choice(Value):
    """One of the choices, with the value it stands for, and the edits its value is asked after."""

    text: Short
    value: Formula | None = None
    low: Annotated[float, Field(allow_inf_nan=False)] | None = None
    high: Annotated[float, Field(allow_inf_nan=False)] | None = None
    changes: Changes = ()
    drops: Drops = ()


class ChoiceAnswer(Value):
    """One choice is right: of the largest or least value, or the first whose value lies within.

    A choice without a ``value`` of its own takes the one named here. Within means at least
    ``low`` and below ``high``.
    """

    kind: Literal["choice"]
    right: Literal["largest", "smallest", "within"]
    value: Formula | None = None
    unit: Annotated[OneLine, Field(max_length=20)] = ""
    decimals: Annotated[Whole, Field(ge=0, le=4)] = 1
    choices: Annotated[tuple[Choice, ...], BeforeValidator(listed_up_to(CHOICES_LIMIT))] = Field(
        min_length=2, max_length=CHOICES_LIMIT
    )


class OrderAnswer(Value):
    """Cards to be put in order of the values they stand for."""

    kind: Literal["order"]
    first: Literal["largest", "smallest"]
    value: Formula | None = None
    unit: Annotated[OneLine, Field(max_length=20)] = ""
    decimals: Annotated[Whole, Field(ge=0, le=4)] = 1
    items: Annotated[tuple[Choice, ...], BeforeValidator(listed_up_to(CHOICES_LIMIT))] = Field(
        min_length=2, max_length=CHOICES_LIMIT
    )


class CurveAnswer(Value):
    """A curve over the run, drawn by hand: charge in per cent, or watts from the panel."""

    kind: Literal["curve"]
    series: Literal["charge", "sun"] = "charge"
    station: Annotated[Whole, Field(ge=1, le=4)] = 1


Answer = Annotated[
    TimeAnswer | NumberAnswer | ChoiceAnswer | OrderAnswer | CurveAnswer, Discriminator("kind")
]


class Try(Value):
    """One thing to change after the reveal: given values, or a path whose value is typed in."""

    words: Short
    changes: Changes = ()
    drops: Drops = ()
    path: OneLine | None = None


class Case(Value):
    """The scenario of a step once more with something changed, for texts that compare."""

    name: Annotated[OneLine, Field(pattern=r"^[a-z][a-z_0-9]{0,29}$")]
    changes: Changes = ()
    drops: Drops = ()


class Step(Value):
    """One question of a lesson.

    Attributes
    ----------
    changes, drops : what is different from the scenario of the step before.
    given : facts shown with the question; they may name numbers of the scenario, no outcomes.
    reasons : from which everybody chooses one; none is marked before the reveal.
    measure : what is read off on the table after the second guess.
    show : results that are shown after the reveal, and of which stations and figures.
    parts : planned minutes.
    glossary : words explained beside the question, such as ``Ah``.
    picture : a plain drawing beside it.
    cases : the same with something changed; ``name.`` before an outcome takes it from there, as
        ``before.`` takes it from the step before.
    numbers : names for sums used in the texts.
    explanation, sum : said after the reveal; {formula|unit|decimals} becomes a number.
    watch : what is read off again when one thing is changed.
    """

    question: Annotated[Prose, Field(min_length=1, max_length=300)]
    given: Annotated[Prose, Field(max_length=400)] = ""
    changes: Changes = ()
    drops: Drops = ()
    answer: Answer
    reasons: Reasons = ()
    measure: Measurement | None = None
    show: ShownList = ()
    parts: Parts = Parts()
    glossary: Annotated[tuple[OneLine, ...], BeforeValidator(listed_up_to(4))] = Field(
        default=(), max_length=4
    )
    picture: Picture | None = None
    cases: Annotated[tuple[Case, ...], BeforeValidator(listed_up_to(TRIES_LIMIT))] = Field(
        default=(), max_length=TRIES_LIMIT
    )
    numbers: Numbers = ()
    explanation: Words
    sum: Words
    watch: Annotated[Prose, Field(max_length=300)] = ""
    tries: Annotated[tuple[Try, ...], BeforeValidator(listed_up_to(TRIES_LIMIT))] = Field(
        default=(), max_length=TRIES_LIMIT
    )

    @property
    def planned(self) -> Parts:
        """Planned minutes; what does not occur in this question takes none."""
        left_out = {
            "reason_min": not self.reasons,
            "measure_min": self.measure is None,
            "change_min": not self.tries,
        }
        return self.parts.model_copy(update={name: 0.0 for name, out in left_out.items() if out})


class Lesson(Value):
    """A lesson: what the instructor needs to know, the scenario, and the steps.

    Attributes
    ----------
    title : says what the lesson is about, nothing of its answers.
    title_after : what has been found, shown only at the end; empty where the title will do.
    """

    format: Literal[3] = 3
    title: Annotated[OneLine, Field(min_length=1, max_length=80)]
    title_after: Annotated[OneLine, Field(max_length=80)] = ""
    number: Annotated[Whole, Field(ge=1, le=999)] = 999
    needs_sun: Flag = False
    needs_soldering: Flag = False
    measure: Annotated[Prose, Field(max_length=1200)] = ""
    cautions: Annotated[
        tuple[Annotated[OneLine, Field(max_length=300)], ...], BeforeValidator(listed_up_to(12))
    ] = Field(default=(), max_length=12)
    notes: Annotated[Prose, Field(max_length=4000)] = ""
    scenario: Scenario
    steps: Annotated[tuple[Step, ...], BeforeValidator(listed_up_to(STEPS_LIMIT))] = Field(
        min_length=1, max_length=STEPS_LIMIT
    )

    @property
    def minutes(self) -> int:
        """Planned minutes of all its questions, rounded up [min]."""
        return ceil(sum(step.planned.total_min for step in self.steps))
