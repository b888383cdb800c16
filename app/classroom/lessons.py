"""Which lessons there are, and which could not be read."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from app.resources import resource
from app.work.disk import disk, reading
from model.editing.faults import ScenarioError
from model.files.atomic_write import reason_of, shown_name
from model.files.scenario_file import read_bytes, read_scenario, table_of
from model.lessons.lesson import Lesson
from model.lessons.lesson_file import read_lesson
from model.scenario.scenario import Scenario

LESSONS = "scenarios/lessons"


@dataclass(frozen=True)
class Listed:
    """A lesson with its file."""

    path: Path
    lesson: Lesson


def shipped_folder() -> Path:
    """Return where the lessons that come with the program lie."""
    try:
        return disk.get(lambda: resource(LESSONS))
    except OSError:
        # Whatever is read there is not found, and said.
        return Path(LESSONS)


def class_day() -> Scenario:
    """Return the scenario that several lessons share; raises ScenarioError where it is damaged."""
    return reading(read_scenario, shipped_folder() / "class-day.toml")


def lessons_in(folder: Path) -> tuple[tuple[Listed, ...], tuple[str, ...]]:
    """Return the lessons of a folder in their order, and a line for each that has a fault."""
    try:
        return disk.get(lambda: _lessons_in(folder))
    except OSError as error:
        return (), (f"The lessons could not be read: {reason_of(error)}",)


def _lessons_in(folder: Path) -> tuple[tuple[Listed, ...], tuple[str, ...]]:
    found, faults = [], []
    for path in sorted(folder.glob("*.toml")):
        if not _is_lesson(path):
            continue
        try:
            found.append(Listed(path, read_lesson(path)))
        except ScenarioError as error:
            faults.append(f"{shown_name(path)}: {error.faults[0]}")
    found.sort(key=lambda listed: (listed.lesson.number, listed.lesson.title))
    return tuple(found), tuple(faults)


def _is_lesson(path: Path) -> bool:
    """Whether a file is meant as a lesson: a scenario that lessons share has no steps."""
    try:
        table, _ = table_of(read_bytes(path))
    except ScenarioError:
        return True
    return "steps" in table or "stations" not in table
