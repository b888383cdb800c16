"""The parts of one question: its times, its reasons, what is measured, and what is shown after."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import AfterValidator, BeforeValidator, Field

from model.scenario.declare import Flag, Number, OneLine, Value, Whole, listed_up_to

REASONS_LIMIT = 4
FIGURES_LIMIT = 12
Result = Literal["charge", "sun", "uses", "table"]
Picture = Literal["battery", "lead", "plan"]
Short = Annotated[OneLine, Field(min_length=1, max_length=120)]
PartMinutes = Annotated[Number, Field(ge=0, le=30)]


class Parts(Value):
    """Planned minutes of one question, part by part; together about eight [min].

    Attributes
    ----------
    guess_min : the question is read out, a minute of silence, and the guesses are taken.
    reason_min : everybody chooses a reason.
    talk_min : neighbours talk; lowest and highest guess say why.
    second_min : guesses are taken a second time.
    measure_min : the table is measured and the reading entered.
    reveal_min : the answer, its sum and why.
    change_min : one thing is changed.
    """

    guess_min: PartMinutes = 2.0
    reason_min: PartMinutes = 0.5
    talk_min: PartMinutes = 1.5
    second_min: PartMinutes = 1.0
    measure_min: PartMinutes = 1.0
    reveal_min: PartMinutes = 1.0
    change_min: PartMinutes = 1.0

    @property
    def total_min(self) -> float:
        """The question from beginning to end [min]."""
        return float(sum(getattr(self, name) for name in type(self).model_fields))


class Reason(Value):
    """A reason for a guess; which one is right is not shown before the reveal."""

    text: Short
    right: Flag = False


def _one_right(reasons: tuple[Reason, ...]) -> tuple[Reason, ...]:
    if not reasons:
        return reasons
    if len(reasons) < 2:
        raise ValueError(f"must hold none, or 2 to {REASONS_LIMIT}, got 1")
    right = sum(reason.right for reason in reasons)
    if right != 1:
        raise ValueError(f"must have right = true in one of them, got {right}")
    return reasons


Reasons = Annotated[
    tuple[Reason, ...],
    BeforeValidator(listed_up_to(REASONS_LIMIT)),
    Field(max_length=REASONS_LIMIT),
    AfterValidator(_one_right),
]


class Shown(Value):
    """A result that is shown after the reveal, of these stations and figures alone.

    Attributes
    ----------
    stations : counted from 1; none stands for all of them.
    figures : rows of the table such as ``load_ah``, or uses such as ``receive``; none stands for
        all of them. The curves of charge and sun have none.
    """

    result: Result
    stations: Annotated[
        tuple[Annotated[Whole, Field(ge=1, le=4)], ...], BeforeValidator(listed_up_to(4))
    ] = Field(default=(), max_length=4)
    figures: Annotated[tuple[OneLine, ...], BeforeValidator(listed_up_to(FIGURES_LIMIT))] = Field(
        default=(), max_length=FIGURES_LIMIT
    )


class Measurement(Value):
    """What is read off on the table, to stand beside the guesses.

    Attributes
    ----------
    words : what is measured.
    path : the number of the scenario that the reading stands for: the run with it is what the
        table says. Without one the reading is an answer itself, in the unit of the answer.
    """

    words: Short
    path: OneLine | None = None


def shown_of(value: Any) -> Any:
    """Read what is shown; a word alone is a result with all stations and figures."""
    if isinstance(value, list | tuple):
        return tuple({"result": each} if isinstance(each, str) else each for each in value)
    return value


ShownList = Annotated[
    tuple[Shown, ...],
    BeforeValidator(shown_of),
    BeforeValidator(listed_up_to(4)),
    Field(max_length=4),
]
