"""Lesson files: reading one with every fault at its line, and checking it against its runs."""

from __future__ import annotations

import os
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from pydantic import ValidationError

from model.editing.faults import Fault, ScenarioError, at_lines
from model.editing.record_faults import last_key, record_faults
from model.files.migrate import is_old, migrated_lesson
from model.files.scenario_file import read_bytes, table_of
from model.files.toml_text import lines_of
from model.lessons.formula import FormulaError, names_in
from model.lessons.glossary import GLOSSARY
from model.lessons.lesson import (
    ANSWER_KINDS,
    Case,
    Choice,
    ChoiceAnswer,
    CurveAnswer,
    Lesson,
    NumberAnswer,
    OrderAnswer,
    Step,
    TimeAnswer,
    Try,
)
from model.lessons.parts import Measurement, Parts, Reason, Shown
from model.lessons.run import StepRun, edited, truth_of, watched
from model.lessons.scenario_beside import scenario_given
from model.lessons.shown_results import faults_of_shown
from model.lessons.text import formulas_in
from model.scenario.declare import Value


def read_lesson(source: str | os.PathLike[str]) -> Lesson:
    """Return the lesson in a file, read but not yet run; ``-`` reads standard input.

    Raises
    ------
    ScenarioError
        When the file cannot be read or holds no lesson; carries every fault with its line.
    """
    read = read_with_faults(source)
    if read.lesson is None or read.faults:
        raise ScenarioError(read.faults)
    return read.lesson


def check_lesson(source: str | os.PathLike[str]) -> tuple[Lesson | None, tuple[Fault, ...]]:
    """Return a lesson with every fault of its text and of its runs, each with its line."""
    try:
        read = read_with_faults(source)
    except ScenarioError as error:
        return None, error.faults
    return checked(read)


def checked(read: ReadLesson) -> tuple[Lesson | None, tuple[Fault, ...]]:
    """Return a lesson that was read with the faults of its text, or else of its runs."""
    if read.lesson is None or read.faults:
        return None, read.faults
    return read.lesson, at_lines(tuple(_faults_of_runs(read.lesson)), read.lines)


@dataclass(frozen=True)
class ReadLesson:
    """A lesson as its file holds it, the faults of its text, and the line of each path."""

    lesson: Lesson | None
    faults: tuple[Fault, ...]
    lines: dict[str, int]


def read_with_faults(source: str | os.PathLike[str]) -> ReadLesson:
    """Return the lesson in a file with every fault of its text, read but not yet run.

    Raises
    ------
    ScenarioError
        When the file cannot be read or is no text of this kind at all.
    """
    from_stdin = str(source) == "-"
    data = read_bytes(source)
    folder = Path() if from_stdin else Path(source).resolve().parent
    table, text = table_of(data)
    lines = lines_of(text)
    was_old = is_old({"format": 1, **table})
    scenario, faults = scenario_given(table.get("scenario"), folder, was_old=was_old)
    given = {key: value for key, value in table.items() if key != "scenario"}
    if was_old:
        done = migrated_lesson(given, scenario.site if scenario else None)
        given, faults = done.table, faults + done.faults
    if given.get("format") == 2:
        given = _of_format_3(given)
    if scenario is not None:
        given["scenario"] = scenario
    lesson = None
    try:
        lesson = Lesson.model_validate(given)
    except ValidationError as error:
        faults += [
            fault
            for fault in record_faults(error, given, _keys_at, kinds=ANSWER_KINDS)
            if fault.path != "scenario" or "scenario" not in table
        ]
    return ReadLesson(lesson, at_lines(tuple(faults), lines), lines)


def _of_format_3(table: Mapping[str, Any]) -> dict[str, Any]:
    """Return a lesson's table of format 2 in format 3: minutes stand in the parts of a question."""
    found = {**table, "format": 3}
    found.pop("minutes", None)
    if isinstance(table.get("steps"), list):
        found["steps"] = [
            {
                "show" if key == "hidden" else key: value
                for key, value in {"hidden": ["charge"], **step}.items()
            }
            if isinstance(step, Mapping)
            else step
            for step in table["steps"]
        ]
    return found


def _keys_at(path: str) -> list[str]:
    """Return the keys a table of a lesson may hold; an answer's are those of all kinds."""
    models: dict[str, tuple[type[Value], ...]] = {
        "": (Lesson,), "steps": (Step,), "choices": (Choice,), "items": (Choice,),
        "answer": (NumberAnswer, TimeAnswer, ChoiceAnswer, OrderAnswer, CurveAnswer),
        "tries": (Try,), "reasons": (Reason,), "measure": (Measurement,), "show": (Shown,),
        "parts": (Parts,), "cases": (Case,),
    }  # fmt: skip
    known = models.get(last_key(path), ())
    return list(dict.fromkeys(key for model in known for key in model.model_fields))


def _faults_of_runs(lesson: Lesson) -> Iterator[Fault]:
    """Run every step and try, and tell what cannot be worked out."""
    scenario, before = lesson.scenario, None
    for index, step in enumerate(lesson.steps):
        path = f"steps.{index}"
        try:
            scenario = edited(scenario, step.changes, step.drops)
        except ScenarioError as error:
            yield from _of_edits(path, step.drops, error)
            # What follows rests on this change.
            return
        run = StepRun(step, scenario, before)
        yield from _withheld(path, run)
        yield from _faults_of_step(path, run)
        before = scenario


def _of_edits(path: str, drops: tuple[str, ...], error: ScenarioError) -> Iterator[Fault]:
    for fault in error.faults:
        is_drop = fault.path in drops
        place = f"{path}.drops" if is_drop else f"{path}.changes.{fault.path}"
        message = f"{fault.path}: {fault.message}" if is_drop else fault.message
        yield Fault(place, message)


def _withheld(path: str, run: StepRun) -> Iterator[Fault]:
    for index, done in enumerate(run.comparison.runs):
        if done is None:
            words = next(f.sentence for f in run.comparison.findings if f.level == "error")
            yield Fault(path, f"station {index + 1} cannot be run: {words}")


def _faults_of_step(path: str, run: StepRun) -> Iterator[Fault]:
    step = run.step
    for key in ("question", "given"):
        text = getattr(step, key)
        yield from _tried(f"{path}.{key}", run.text, text)
        yield from _leaks(f"{path}.{key}", run, text)
    for name, formula in step.numbers:
        yield from _tried(f"{path}.numbers.{name}", run.value, formula)
    for key in ("explanation", "sum", "watch"):
        yield from _tried(f"{path}.{key}", run.text, getattr(step, key))
    try:
        truth_of(run)
    except FormulaError as error:
        yield Fault(f"{path}.answer", str(error))
    except ScenarioError as error:
        yield from (Fault(f"{path}.answer", str(fault)) for fault in error.faults)
    yield from _faults_of_parts(path, run)
    yield from _faults_of_tries(path, run)


def _faults_of_parts(path: str, run: StepRun) -> Iterator[Fault]:
    """Tell what a step shows, explains or measures that is not there."""
    step = run.step
    for index, shown in enumerate(step.show):
        for words in faults_of_shown(run.comparison, shown):
            yield Fault(f"{path}.show.{index}", words)
    for index, word in enumerate(step.glossary):
        if word not in GLOSSARY:
            yield Fault(f"{path}.glossary.{index}", f'"{word}" is not explained anywhere')
    measure = step.measure
    if measure is None:
        return
    if measure.path is not None and not isinstance(_number_at(run, measure.path), float):
        yield Fault(f"{path}.measure.path", f"{measure.path} is no number of the scenario")
    elif measure.path is None and step.answer.kind not in ("number", "time"):
        yield Fault(f"{path}.measure", "needs a path: its answer is no number that a meter shows")


def _tried(path: str, work: Any, text: str) -> Iterator[Fault]:
    try:
        work(text)
    except FormulaError as error:
        yield Fault(path, str(error))


def _leaks(path: str, run: StepRun, text: str) -> Iterator[Fault]:
    """Tell of outcomes that stand in a question: they would give its answer away."""
    for formula in formulas_in(text):
        try:
            names = names_in(formula)
        except FormulaError:
            continue
        for name in names:
            if run.is_outcome(name):
                yield Fault(path, f"{name} is an outcome: it would give the answer away")


def _faults_of_tries(path: str, run: StepRun) -> Iterator[Fault]:
    for index, change in enumerate(run.step.tries):
        place = f"{path}.tries.{index}"
        if change.path is None and not change.changes and not change.drops:
            yield Fault(place, "changes nothing: give changes, drops or a path")
            continue
        try:
            scenario = edited(run.scenario, change.changes, change.drops)
            watched(StepRun(run.step, scenario, run.scenario))
        except ScenarioError as error:
            yield from (Fault(place, str(fault)) for fault in error.faults)
            continue
        except FormulaError as error:
            yield Fault(place, str(error))
        if change.path is not None and not isinstance(_number_at(run, change.path), float):
            yield Fault(place, f"{change.path} is no number that could be typed in")


def _number_at(run: StepRun, path: str) -> Any:
    try:
        return run.value(path)
    except FormulaError:
        return None
