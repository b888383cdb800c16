"""``counterpoise lesson check``: what is wrong with lessons and playlists, one line a fault."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import platformdirs

from app.cli.answers import Answer
from app.cli.cases import Case
from app.resources import resource
from model.editing.faults import Fault, ScenarioError
from model.files.scenario_file import read_bytes, table_of
from model.lessons.lesson_check import check_lesson, check_playlist, check_questions
from model.lessons.playlist_file import is_playlist, is_questions
from model.lessons.timing import planned_min
from model.support.figures import amount


def check(case: Case) -> Answer:
    """Find what is wrong with a lesson, a playlist, or the questions of one."""
    table = _table(case.file)
    if is_playlist(table):
        return _playlist(case)
    if is_questions(table):
        return _questions(case)
    return _lesson(case)


def _table(file: str) -> dict[str, Any]:
    """Return what a file holds, to tell its kind; nothing of standard input, which is a lesson."""
    if file == "-":
        return {}
    try:
        return table_of(read_bytes(file))[0]
    except ScenarioError:
        # Who reads it next says why not.
        return {}


def lesson_folders() -> tuple[Path, ...]:
    """Return where lessons lie besides a playlist: a person's own, then those that ship."""
    own = platformdirs.user_data_path("Counterpoise", appauthor=False) / "lessons"
    try:
        return (own, resource("scenarios/lessons"))
    except OSError:
        return (own,)


def _lesson(case: Case) -> Answer:
    lesson, faults = check_lesson(case.file)
    if lesson is None:
        return _answer(case, "", None, None, faults)
    return _answer(case, lesson.title, len(lesson.steps), lesson.minutes, faults)


def _playlist(case: Case) -> Answer:
    plan, faults = check_playlist(case.file, lesson_folders())
    if plan is None:
        return _answer(case, "", None, None, faults)
    steps = sum(len(asked.steps) for asked in plan.lessons)
    return _answer(case, plan.playlist.title, steps, planned_min(plan), faults)


def _questions(case: Case) -> Answer:
    found, faults = check_questions(case.file)
    steps = len(found.questions) if found is not None else None
    return _answer(case, "Opening and closing questions", steps, None, faults)


def _answer(
    case: Case,
    title: str,
    steps: int | None,
    took_min: float | None,
    faults: tuple[Fault, ...],
) -> Answer:
    said = "1 step" if steps == 1 else f"{steps} steps"
    minutes = "" if took_min is None else f", {amount(took_min, 'min')}"
    return Answer(
        case,
        text=f"{title}: {said}{minutes}, no fault\n",
        data={"title": title, "steps": steps, "minutes": took_min, "faults": len(faults)},
        faults=tuple(fault.at_line for fault in faults),
    )
