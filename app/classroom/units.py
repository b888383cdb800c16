"""A class in the units shown: what its runs say follows them, what its author typed stays.

A question whose author typed a quantity in a metric unit, asks for one, or works with one in a sum
stays in that unit as a whole: its sum could not be redone otherwise, nor its guesses be compared.
"""

from __future__ import annotations

from collections.abc import Iterator

from app.widgets.number_text import sentence_text, shown_unit
from model.lessons.lesson import ChoiceAnswer, CurveAnswer, OrderAnswer, Step, TimeAnswer
from model.lessons.measured import unit_measured
from model.lessons.run import StepRun
from model.lessons.text import typed_in
from model.support.figures import with_unit


def told(step: Step, said: str, *, us: bool) -> str:
    """Return what a run of a step says, in the units shown where the step can follow them."""
    return sentence_text(said, us=us) if us and not is_metric(step) else said


def text(run: StepRun, words: str, *, us: bool) -> str:
    """Return a text of a step with its numbers filled in, in the units shown."""
    return told(run.step, run.text(words), us=us)


def is_metric(step: Step) -> bool:
    """Whether a step has quantities of its author's, or a sum of them, that US units would turn."""
    typed = " | ".join(typed_in(each) for each in _texts(step))
    return sentence_text(typed, us=True) != typed


def _texts(step: Step) -> Iterator[str]:
    answer = step.answer
    yield from (step.question, step.given, step.explanation, step.sum, step.watch)
    yield from (each.text for each in step.reasons)
    yield from (each.words for each in step.tries)
    if step.measure is not None:
        yield step.measure.words
    if isinstance(answer, ChoiceAnswer | OrderAnswer):
        listed = answer.choices if isinstance(answer, ChoiceAnswer) else answer.items
        yield from (each.text for each in listed)
    if not isinstance(answer, CurveAnswer | TimeAnswer):
        yield f"1 {answer.unit}"


def measured_unit(step: Step, *, us: bool) -> str:
    """Return the unit in which a reading of the table is asked for."""
    unit = unit_measured(step)
    is_field = step.measure is not None and step.measure.path is not None
    return shown_unit(unit, 0, us=us).unit if is_field else unit


def as_measured(step: Step, typed: str, *, us: bool) -> str:
    """Return a reading as it is kept: with its unit where it was asked for in another than held."""
    unit, said = measured_unit(step, us=us), typed.strip()
    is_bare = any(mark.isdigit() for mark in said) and not any(
        mark.isalpha() or mark in "%°'\"" for mark in said
    )
    return with_unit(said, unit) if is_bare and unit != unit_measured(step) else said
