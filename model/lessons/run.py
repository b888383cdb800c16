"""Run one step of a lesson and work out its answer, its explanation and its sum."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from math import inf

import numpy as np

from model.editing.faults import Fault, ScenarioError
from model.editing.paths import with_removed, with_value
from model.engine.comparison import Comparison, simulate
from model.engine.run import StationRun
from model.lessons.formula import FormulaError, Known, evaluate
from model.lessons.lesson import (
    Choice,
    ChoiceAnswer,
    Edits,
    Lesson,
    NumberAnswer,
    OrderAnswer,
    Step,
    Try,
)
from model.lessons.outcomes import Outcomes
from model.lessons.text import filled, number_words, unit_of, worded
from model.results.wording import moment
from model.scenario.scenario import Scenario
from model.sky.sun_position import position_at, spot_of
from model.support.figures import day_and_time, duration

# A count in the unit that stands beside it.
Amount = float
BEFORE = "before"
CURVE_STEP_H = 0.5


@dataclass(frozen=True)
class Truth:
    """The answer of a step as the run gives it.

    Attributes
    ----------
    words : the answer in a few words.
    amount : of a number in its unit, of a time in hours since the start; None is never.
    right : places of the right choice, or of all cards in the right order.
    each : the value of each choice or card in words; empty at wrong ones that have no own value.
    curve : values between 0 and 1 of the top of the scale, one each half hour.
    daylight : whether the sun is up in each of these half hours.
    """

    words: str
    amount: Amount | None = None
    right: tuple[int, ...] = ()
    each: tuple[str, ...] = ()
    curve: tuple[Amount, ...] = ()
    daylight: tuple[bool, ...] = ()


@dataclass(frozen=True)
class Reveal:
    """What may be shown once the class has answered."""

    truth: Truth
    explanation: str
    sum: str
    comparison: Comparison


def edited(scenario: Scenario, changes: Edits, drops: Sequence[str] = ()) -> Scenario:
    """Return a scenario without the dropped parts and with the changes made.

    Raises
    ------
    ScenarioError
        With one fault for each edit that is refused.
    """
    faults: list[Fault] = []
    for path in drops:
        try:
            scenario = with_removed(scenario, path)
        except KeyError:
            faults.append(Fault(path, "is not there to be dropped"))
        except ScenarioError as error:
            faults += error.faults
    for path, value in changes:
        try:
            scenario = with_value(scenario, path, value)
        except KeyError:
            faults.append(Fault(path, "no scenario has a value here"))
        except ScenarioError as error:
            faults += error.faults
    if faults:
        raise ScenarioError(tuple(faults))
    return scenario


def scenario_at(lesson: Lesson, index: int) -> Scenario:
    """Return the scenario of a step: that of the lesson with all changes up to there."""
    scenario = lesson.scenario
    for step in lesson.steps[: index + 1]:
        scenario = edited(scenario, step.changes, step.drops)
    return scenario


class StepRun:
    """One step, run: answers what its formulas ask, and fills its texts."""

    def __init__(self, step: Step, scenario: Scenario, before: Scenario | None = None) -> None:
        self.step = step
        self.scenario = scenario
        self.comparison = simulate(scenario)
        self._outcomes = Outcomes(self.comparison)
        self._before = before
        self._cases = {case.name: case for case in step.cases}
        self._others: dict[str, Outcomes] = {}
        self._numbers = dict(step.numbers)
        self._open: list[str] = []

    def value(self, formula: str) -> Known:
        """Return the value of a formula in this step."""
        return evaluate(formula, self._lookup)

    def text(self, words: str) -> str:
        """Return a text with its numbers filled in."""
        return filled(words, self.value, self.when)

    def given(self) -> str:
        """Return the facts shown with the question."""
        return self.text(self.step.given)

    def when(self, at: datetime) -> str:
        """Return a moment as people say it."""
        run = self.any_run()
        return moment(run, at) if run else day_and_time(at, self.comparison.clock.days)

    def any_run(self) -> StationRun | None:
        """Return the first station that was run."""
        return next((run for run in self.comparison.runs if run is not None), None)

    def hours_since_start(self, at: datetime) -> float:
        """Return how long after the start of the run a moment is [h]."""
        return self.comparison.clock.minutes_to(at) / 60.0

    def is_outcome(self, name: str) -> bool:
        """Whether a name would give away something of the run."""
        first, _, rest = name.partition(".")
        if first == BEFORE:
            return False
        if first in self._cases:
            return self._outcomes.is_outcome(rest)
        if name in self._numbers:
            return True
        return self._outcomes.is_outcome(name)

    def scenario_of(self, name: str) -> tuple[Scenario | None, str]:
        """Return the scenario that a name is looked up in, and the name in it."""
        first, _, rest = name.partition(".")
        if first == BEFORE:
            return self._before, rest
        if first in self._cases:
            case = self._cases[first]
            return edited(self.scenario, case.changes, case.drops), rest
        return self.scenario, name

    def _lookup(self, name: str) -> Known:
        first, _, rest = name.partition(".")
        if first == BEFORE or first in self._cases:
            return self._other(first).value(rest)
        if name in self._numbers:
            if name in self._open:
                raise FormulaError(f"{name} is worked out from itself")
            self._open.append(name)
            try:
                return self.value(self._numbers[name])
            finally:
                self._open.pop()
        return self._outcomes.value(name)

    def _other(self, which: str) -> Outcomes:
        """Return the outcomes of the step before, or of a case of this one."""
        if which not in self._others:
            scenario, _ = self.scenario_of(which)
            if scenario is None:
                raise FormulaError("before: there is nothing before the first step")
            self._others[which] = Outcomes(simulate(scenario))
        return self._others[which]


def step_run(lesson: Lesson, index: int) -> StepRun:
    """Run a step of a lesson."""
    before = scenario_at(lesson, index - 1) if index else None
    return StepRun(lesson.steps[index], scenario_at(lesson, index), before)


def reveal(lesson: Lesson, index: int) -> Reveal:
    """Work out everything that is shown of a step after its answers are in.

    Raises
    ------
    ScenarioError, FormulaError
        When the lesson has a fault that its check tells.
    """
    run = step_run(lesson, index)
    return Reveal(
        truth_of(run), run.text(run.step.explanation), run.text(run.step.sum), run.comparison
    )


def truth_of(run: StepRun) -> Truth:
    """Return the answer of a step that was run."""
    answer = run.step.answer
    if answer.kind == "time":
        return _time(run, run.value(answer.value))
    if answer.kind == "number":
        return _number(run, answer)
    if answer.kind == "choice":
        return _choice(run, answer)
    if answer.kind == "order":
        return _order(run, answer)
    return _curve(run, answer.series, answer.station - 1)


def watched(run: StepRun) -> str:
    """Return what is read off when one thing is changed, worked out in this run."""
    if run.step.watch:
        return run.text(run.step.watch)
    answer = run.step.answer
    if answer.kind == "number":
        return worded(run.value(answer.value), "", run.when, answer.unit, answer.decimals)
    if answer.kind == "time":
        return worded(run.value(answer.value), answer.value, run.when)
    return truth_of(run).words


def tried(run: StepRun, change: Try, typed: Amount | None = None) -> StepRun:
    """Return the step run again with one thing changed.

    Parameters
    ----------
    typed : the value for a change that names a path.
    """
    changes = change.changes
    if change.path is not None and typed is not None:
        changes = (*changes, (change.path, typed))
    return StepRun(run.step, edited(run.scenario, changes, change.drops), run.scenario)


def _time(run: StepRun, value: Known) -> Truth:
    if value is None:
        return Truth("never, in this run")
    if not isinstance(value, datetime):
        raise FormulaError("is no moment; a time ends in .until or .at")
    hours = run.hours_since_start(value)
    return Truth(f"{run.when(value)}, after {duration(hours)}", hours)


def _number(run: StepRun, answer: NumberAnswer) -> Truth:
    value = run.value(answer.value)
    if not isinstance(value, float):
        kind = "has no value here" if value is None else "is no number"
        raise FormulaError(f"{answer.value} {kind}")
    shown = value * 100 if answer.unit == "%" else value
    return Truth(number_words(value, answer.unit, answer.decimals), shown)


def _choice(run: StepRun, answer: ChoiceAnswer) -> Truth:
    sizes, each = _values(run, answer, answer.choices)
    if answer.right == "within":
        fitting = [
            index
            for index, (choice, size) in enumerate(zip(answer.choices, sizes, strict=True))
            if _is_within(choice, size)
        ]
        if not fitting:
            raise FormulaError("no choice is right: none has the value within its low and high")
        right = fitting[0]
        if len(set(each)) == 1:
            # One value that is asked for: it stands at the choice that it makes right.
            each = tuple(words if index == right else "" for index, words in enumerate(each))
    else:
        right = _ordered(sizes, largest=answer.right == "largest")[0]
    return Truth(f"{letter(right)}: {answer.choices[right].text}", None, (right,), each)


def _order(run: StepRun, answer: OrderAnswer) -> Truth:
    sizes, each = _values(run, answer, answer.items)
    order = _ordered(sizes, largest=answer.first == "largest")
    return Truth(" ".join(map(letter, order)), None, tuple(order), each)


def _values(
    run: StepRun, answer: ChoiceAnswer | OrderAnswer, choices: tuple[Choice, ...]
) -> tuple[list[float], tuple[str, ...]]:
    sizes, each = [], []
    for index, choice in enumerate(choices):
        formula = choice.value or answer.value
        if formula is None:
            raise FormulaError(f"choice {letter(index)} has no value, and the answer names none")
        changed = run
        if choice.changes or choice.drops:
            scenario = edited(run.scenario, choice.changes, choice.drops)
            changed = StepRun(run.step, scenario, run.scenario)
        value = changed.value(formula)
        if isinstance(value, str):
            raise FormulaError(f"{formula} is no number")
        if isinstance(value, datetime):
            sizes.append(changed.hours_since_start(value))
        else:
            sizes.append(inf if value is None else value)
        unit = answer.unit or unit_of(formula)
        each.append(worded(value, formula, changed.when, unit, answer.decimals))
    return sizes, tuple(each)


def _ordered(sizes: list[float], *, largest: bool) -> list[int]:
    if len(set(sizes)) < len(sizes):
        raise FormulaError("two of them come to the same value: none is first")
    return sorted(range(len(sizes)), key=lambda index: sizes[index], reverse=largest)


def _is_within(choice: Choice, size: float) -> bool:
    return (choice.low is None or size >= choice.low) and (
        choice.high is None or size < choice.high
    )


def _curve(run: StepRun, series: str, index: int) -> Truth:
    if index >= len(run.comparison.runs) or run.comparison.runs[index] is None:
        raise FormulaError(f"there is no run of station {index + 1}")
    station = run.comparison.runs[index]
    assert station is not None
    hours = np.arange(0, station.clock.days * 24 + CURVE_STEP_H / 2, CURVE_STEP_H)
    if series == "charge":
        known_h = np.arange(station.fraction.size) * station.clock.step_h
        values = np.interp(hours, known_h, station.fraction)
        words = f"The charge ends at {number_words(station.end_fraction, '%')}"
    else:
        panel = station.station.panel
        if panel is None:
            raise FormulaError(f"station {index + 1} has no panel")
        able_w = station.flow.panel_able_a * station.flow.bus_v
        middle_h = (np.arange(able_w.size) + 0.5) * station.clock.step_h
        values = np.interp(hours, middle_h, able_w) / (panel.rated_w * panel.count)
        words = f"At most {able_w.max():.0f} W of the {panel.rated_w * panel.count:.0f} W printed"
    height_deg = position_at(spot_of(station.site), station.clock).elevation_deg
    steps = np.minimum(np.rint(hours / station.clock.step_h), height_deg.size - 1).astype(int)
    return Truth(
        words,
        curve=tuple(float(value) for value in values),
        daylight=tuple(bool(up) for up in height_deg[steps] > 0),
    )


def letter(index: int) -> str:
    """Return the letter of a choice or card, counted from 0."""
    return chr(ord("A") + index)
