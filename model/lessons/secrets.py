"""What would give an answer away: its digits, the figure it is read from, or its words."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from math import isfinite

from model.lessons.formula import FormulaError, names_in
from model.lessons.lesson import ChoiceAnswer, CurveAnswer, OrderAnswer
from model.lessons.run import StepRun, Truth, edited
from model.lessons.text import unit_of
from model.scenario.scenario import Scenario
from model.support.figures import MINUS, duration

_DIGITS = re.compile(
    rf"(?<![\w.,:])([{MINUS}-]?\d+(?:\.(\d+))?)(?![\d:]|\.\d)[ \u00a0]?"
    r"([%°]?[^\W\d_]*(?:-units)?(?:/m²|²)?)"
)
# What is read off a figure: the figure itself is one.
_READINGS = ("until", "hours", "at", "value", "cause")
_AT_TIME = re.compile(r"^at\.[^.]+\.")


@dataclass(frozen=True)
class Figure:
    """An outcome of one station in one scenario; ``key`` is its name without the rest."""

    scenario: Scenario
    station: int
    key: str

    def is_same(self, other: Figure) -> bool:
        """Whether both are one and the same outcome; other stations do not matter."""
        return (
            (self.key == other.key or self._is_on_curve(other) or other._is_on_curve(self))
            and self.scenario.stations[self.station] == other.scenario.stations[other.station]
            and self.scenario.plan == other.scenario.plan
            and self.scenario.day == other.scenario.day
            and self.scenario.site == other.scenario.site
        )

    def _is_on_curve(self, curve: Figure) -> bool:
        return curve.key == _any_time(self.key)


@dataclass(frozen=True)
class Amounted:
    """A value as it is shown, in the unit it is asked in."""

    value: float
    unit: str
    decimals: int

    def is_in(self, text: str) -> bool:
        """Whether a text shows it, to as many digits as the text has."""
        for found in _DIGITS.finditer(text):
            shown, after_point, unit = found[1].replace(MINUS, "-"), len(found[2] or ""), found[3]
            digits = len(shown.strip("-").replace(".", "").lstrip("0"))
            if unit != self.unit.partition(" ")[0] or (after_point < self.decimals and digits < 2):
                continue
            if float(f"{self.value:.{after_point}f}") == float(shown):
                return True
        return False


@dataclass(frozen=True)
class Secret:
    """The answer of a question that is still to be asked.

    Attributes
    ----------
    where : the question, in words.
    amounts : any one of them tells it.
    together : all of them tell it, as the values of all choices do.
    moments : ready words of a time.
    figures : all of them tell it.
    right, others : words of the right choice and of the wrong ones.
    """

    where: str
    amounts: tuple[Amounted, ...] = ()
    together: tuple[Amounted, ...] = ()
    moments: tuple[str, ...] = ()
    figures: tuple[Figure, ...] = ()
    right: str = ""
    others: tuple[str, ...] = ()


def secret_of(where: str, run: StepRun, truth: Truth) -> Secret:
    """Return what would give the answer of a step away."""
    answer = run.step.answer
    if answer.kind == "curve":
        drawn = Figure(run.scenario, answer.station - 1, f"curve.{answer.series}")
        return Secret(where, amounts=(_of_curve(run, answer, truth),), figures=(drawn,))
    if answer.kind == "number":
        assert truth.amount is not None
        amount = Amounted(truth.amount, answer.unit, answer.decimals)
        return Secret(where, amounts=(amount,), figures=_figures(run, answer.value))
    if answer.kind == "time":
        figures = _figures(run, answer.value)
        at = run.value(answer.value)
        if truth.amount is None or not isinstance(at, datetime):
            return Secret(where, figures=figures)
        hours = Amounted(truth.amount, "h", 1)
        return Secret(where, (hours,), (), (f"{at:%H:%M}", duration(truth.amount)), figures)
    return _secret_of_choice(where, run, answer, truth)


def _of_curve(run: StepRun, answer: CurveAnswer, truth: Truth) -> Amounted:
    """Return what the answer says of a curve in words: where charge ends, how high power rises."""
    if answer.series == "charge":
        return Amounted(truth.curve[-1] * 100, "%", 0)
    panel = run.scenario.stations[answer.station - 1].panel
    assert panel is not None
    return Amounted(max(truth.curve) * panel.rated_w * panel.count, "W", 0)


def _secret_of_choice(
    where: str, run: StepRun, answer: ChoiceAnswer | OrderAnswer, truth: Truth
) -> Secret:
    choices = answer.choices if isinstance(answer, ChoiceAnswer) else answer.items
    figures: list[Figure] = []
    amounts: list[Amounted] = []
    for choice in choices:
        formula = choice.value or answer.value or ""
        there = run
        if choice.changes or choice.drops:
            scenario = edited(run.scenario, choice.changes, choice.drops)
            there = StepRun(run.step, scenario, run.scenario)
        figures += _figures(there, formula)
        value = there.value(formula)
        unit = answer.unit or unit_of(formula)
        if isinstance(value, float) and isfinite(value):
            amounts.append(Amounted(value * 100 if unit == "%" else value, unit, answer.decimals))
    is_within = isinstance(answer, ChoiceAnswer) and answer.right == "within"
    right = choices[truth.right[0]].text if isinstance(answer, ChoiceAnswer) else ""
    return Secret(
        where,
        amounts=tuple(amounts) if is_within and len(set(amounts)) == 1 else (),
        together=tuple(amounts) if len(set(amounts)) == len(choices) else (),
        figures=tuple(figures),
        right=right,
        others=tuple(choice.text for choice in choices if choice.text != right),
    )


def figures_named(run: StepRun, formula: str) -> tuple[Figure, ...]:
    """Return the outcome that a formula shows; a sum of several shows none of them."""
    names = list(_outcome_names(run, formula))
    found = _figures(run, formula)
    return found if len(names) == 1 and formula.strip() == names[0] else ()


def _outcome_names(run: StepRun, formula: str) -> Iterator[str]:
    try:
        names = names_in(formula)
    except FormulaError:
        return
    numbers = dict(run.step.numbers)
    for name in names:
        if name in numbers:
            yield from _outcome_names(run, numbers[name])
        else:
            yield name


def _figures(run: StepRun, formula: str) -> tuple[Figure, ...]:
    """Return the outcomes that a formula is worked out from."""
    found = []
    for name in _outcome_names(run, formula):
        scenario, rest = run.scenario_of(name)
        parts = rest.split(".")
        if scenario is not None and run.is_outcome(rest) and parts[1].isdigit():
            found.append(Figure(scenario, int(parts[1]), key_of(parts[2:])))
    return tuple(found)


def key_of(parts: list[str]) -> str:
    """Return what a table or a curve calls the figure that a name leads to."""
    if parts[0] == "clocks" and len(parts) > 1:
        return parts[1]
    kept = parts[:-1] if len(parts) > 1 and parts[-1] in _READINGS else parts
    return ".".join(kept)


def _any_time(key: str) -> str:
    """Return the key of a moment with its time left open, as a curve shows it."""
    return _AT_TIME.sub("at.*.", key)
