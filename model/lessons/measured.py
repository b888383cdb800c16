"""What was measured on the table, beside the guesses and the run."""

from __future__ import annotations

from datetime import datetime
from math import inf

from model.editing.field_facts import field_at
from model.editing.units import EntryError, read_entry
from model.lessons.answer import guess_words
from model.lessons.entry import GuessError, read_guess
from model.lessons.lesson import NumberAnswer, Step, TimeAnswer
from model.lessons.run import Amount, StepRun, Truth, edited, truth_of

# "No meter" is an answer as well: the class saw that nothing was measured.
NO_METER = ("no meter", "none", "-")


def read_reading(text: str, step: Step, start: datetime, days: int) -> Amount | None:
    """Return a reading from the table; None where there was no meter.

    Where the step's ``measure`` has a path the reading is in the unit of that number; otherwise it
    is an answer, in the answer's unit, or hours since the start.

    Raises
    ------
    GuessError
        Says what would be right.
    """
    if text.strip().casefold() in NO_METER:
        return None
    if step.measure is None:
        raise GuessError("nothing is measured for this question")
    if step.measure.path is None:
        found = read_guess(text, step, start, days)
        if not isinstance(found, float):
            raise GuessError("nothing is measured for this question")
        return found
    try:
        return read_entry(text, unit_measured(step)).value
    except EntryError as error:
        raise GuessError(str(error).rstrip(".")) from None


def unit_measured(step: Step) -> str:
    """Return the unit a reading is asked in."""
    if step.measure is not None and step.measure.path is not None:
        return field_at(step.measure.path).unit
    return step.answer.unit if step.answer.kind == "number" else ""


def measured_truth(run: StepRun, reading: Amount) -> Truth:
    """Return the answer by the table: the reading itself, or the run with it.

    Raises
    ------
    ScenarioError, FormulaError
        When the scenario has no such value, or nothing can be worked out with it.
    """
    step = run.step
    if step.measure is not None and step.measure.path is not None:
        scenario = edited(run.scenario, ((step.measure.path, reading),))
        return truth_of(StepRun(step, scenario, run.scenario))
    assert isinstance(step.answer, TimeAnswer | NumberAnswer)
    words = guess_words(reading, step.answer, run.comparison.clock.start)
    return Truth(words, None if reading == inf else reading)
