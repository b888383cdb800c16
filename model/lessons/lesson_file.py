"""Lesson files: reading one with every fault at its line."""

from __future__ import annotations

import os
from dataclasses import dataclass
from pathlib import Path

from pydantic import ValidationError

from model.editing.faults import Fault, ScenarioError, at_lines
from model.editing.record_faults import last_key, record_faults
from model.files.migrate import is_old, lesson_of_format_3, migrated_lesson
from model.files.scenario_file import read_bytes, table_of
from model.files.toml_text import lines_of
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
from model.lessons.scenario_beside import scenario_given
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
        given = lesson_of_format_3(given)
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
