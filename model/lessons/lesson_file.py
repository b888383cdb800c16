"""Lesson files: reading one with every fault at its line, and checking it against its runs."""

from __future__ import annotations

import difflib
import os
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any, cast

from pydantic import ValidationError

from model.editing.faults import Fault, ScenarioError, at_lines, faults_of, shown
from model.files.atomic_write import shown_name
from model.files.migrate import Migration, is_old, migrated, migrated_lesson, old_place
from model.files.scenario_file import read_bytes, read_scenario, table_of
from model.files.toml_text import lines_of
from model.lessons.formula import FormulaError, names_in
from model.lessons.lesson import (
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
from model.lessons.run import StepRun, edited, truth_of, watched
from model.lessons.text import formulas_in
from model.scenario.declare import Value
from model.scenario.scenario import FORMAT, Scenario

KINDS = "time, number, choice, order or curve"


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
    scenario, faults = _scenario(table.get("scenario"), folder, was_old=was_old)
    given = {key: value for key, value in table.items() if key != "scenario"}
    if was_old:
        done = migrated_lesson(given, scenario.site if scenario else None)
        given, faults = done.table, faults + done.faults
    if scenario is not None:
        given["scenario"] = scenario
    lesson = None
    try:
        lesson = Lesson.model_validate(given)
    except ValidationError as error:
        faults += _faults_of_text(error, given, missing_scenario="scenario" not in table)
    return ReadLesson(lesson, at_lines(tuple(faults), lines), lines)


def _scenario(given: Any, folder: Path, *, was_old: bool) -> tuple[Scenario | None, list[Fault]]:
    """Read the scenario that stands in the lesson, or in a file beside it or one folder above."""
    if given is None:
        return None, []
    if isinstance(given, Mapping):
        try:
            return _inner_scenario(given, was_old=was_old), []
        except ScenarioError as error:
            return None, [Fault(f"scenario.{fault.path}", fault.message) for fault in error.faults]
    if not isinstance(given, str) or Path(given).name != given or not given:
        return None, [
            Fault(
                "scenario",
                "must be a table [scenario], or the name of a scenario"
                f" file beside the lesson or one folder above, got {shown(given)}",
            )
        ]
    name = shown(given).removeprefix("text ")
    for place in (folder / given, folder.parent / given):
        if _is_file(place):
            try:
                return read_scenario(place), []
            except ScenarioError as error:
                return None, [
                    Fault("scenario", f"{shown_name(given)}: {fault}") for fault in error.faults
                ]
    return None, [Fault("scenario", f"there is no file {name} beside the lesson or above")]


def _inner_scenario(given: Mapping[str, Any], *, was_old: bool) -> Scenario:
    """Return the scenario that stands in a lesson, in the lesson's own format."""
    done = migrated(given) if was_old else Migration({"format": FORMAT, **given})
    faults = tuple(done.faults)
    try:
        scenario = Scenario.model_validate(done.table, by_alias=True, by_name=False)
    except ValidationError as error:
        refused = faults_of(error, done.table)
        if was_old:
            refused = tuple(replace(fault, path=old_place(fault.path)) for fault in refused)
        faults += refused
    if faults:
        raise ScenarioError(faults)
    return scenario


def _is_file(place: Path) -> bool:
    try:
        return place.is_file()
    except OSError:
        # Such as a name that is longer than the system has files for.
        return False


def _faults_of_text(
    error: ValidationError, data: Any, *, missing_scenario: bool
) -> Iterator[Fault]:
    for details in cast(list[dict[str, Any]], error.errors(include_url=False)):
        path = _place(details["loc"], data)
        if path == "scenario" and not missing_scenario:
            continue
        if details["type"] == "too_short" and len(details["input"]) >= details["ctx"]["min_length"]:
            # Called short only because its refused entries were not counted.
            continue
        yield Fault(path, _words(details, path))


def _place(location: tuple[int | str, ...], data: Any) -> str:
    """Return the dotted path of a fault, without what only the validator knows of."""
    segments: list[str] = []
    here: Any = data
    for step in location:
        if isinstance(here, Mapping):
            if not isinstance(step, str) or (step not in here and step != location[-1]):
                continue
            segments.append(step)
            here = here.get(step)
        elif isinstance(here, list | tuple) and isinstance(step, int):
            segments.append(str(step))
            here = here[step] if step < len(here) else None
    return ".".join(segments)


_PLAIN = {
    "string_type": "must be text in quotes",
    "bool_type": "must be true or false",
    "int_type": "must be a whole number",
    "float_type": "must be a number",
    "tuple_type": "must be a list",
    "model_type": "must be a table",
    "dict_type": "must be a table",
}
_BOUNDS = {
    "greater_than_equal": ("at least", "ge"), "less_than_equal": ("at most", "le"),
}  # fmt: skip


def _words(details: dict[str, Any], path: str) -> str:
    kind, given, known = details["type"], details["input"], details.get("ctx", {})
    if kind == "missing":
        return "is missing"
    if kind == "extra_forbidden":
        return _unknown_key(path)
    if kind in _PLAIN:
        return f"{_PLAIN[kind]}, got {shown(given)}"
    if kind in _BOUNDS:
        words, key = _BOUNDS[kind]
        return f"must be {words} {known[key]}, got {shown(given)}"
    if kind in ("union_tag_invalid", "union_tag_not_found"):
        said = given.get("kind") if isinstance(given, Mapping) else given
        return f"kind must be one of {KINDS}, got {shown(said)}"
    if kind == "literal_error":
        return f"must be {known['expected']}, got {shown(given)}"
    if kind in ("string_too_long", "too_long"):
        what = "characters" if kind == "string_too_long" else "entries"
        return f"must hold at most {known['max_length']} {what}, got {len(given)}"
    if kind in ("string_too_short", "too_short"):
        return f"must hold at least {known['min_length']}, got {len(given)}"
    if kind == "value_error":
        return str(known["error"])
    return str(details["msg"]).lower()


def _unknown_key(path: str) -> str:
    parent, _, key = path.rpartition(".")
    keys = _keys_at(parent)
    nearest = difflib.get_close_matches(key, keys, n=1, cutoff=0.6)
    if nearest:
        return f'is not a key here; the nearest known key is "{nearest[0]}"'
    return f"is not a key here; known keys are {', '.join(keys)}"


def _keys_at(path: str) -> list[str]:
    """Return the keys a table of a lesson may hold; an answer's are those of all kinds."""
    last = next((part for part in reversed(path.split(".")) if part and not part.isdigit()), "")
    models: dict[str, tuple[type[Value], ...]] = {
        "": (Lesson,), "steps": (Step,), "choices": (Choice,), "items": (Choice,),
        "answer": (NumberAnswer, TimeAnswer, ChoiceAnswer, OrderAnswer, CurveAnswer),
        "tries": (Try,),
    }  # fmt: skip
    return list(dict.fromkeys(key for model in models.get(last, ()) for key in model.model_fields))


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
    yield from _faults_of_tries(path, run)


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
