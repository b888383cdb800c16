"""Which playlists and lessons there are, shipped and a person's own, and which have a fault."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import platformdirs

from app.classroom.programme import Programme, programme_of_lesson, programme_of_plan
from app.resources import resource
from app.work.disk import disk, reading
from model.editing.faults import ScenarioError
from model.files.atomic_write import reason_of, shown_name
from model.files.scenario_file import read_bytes, read_scenario, table_of
from model.lessons.lesson_file import read_lesson
from model.lessons.playlist_file import (
    PLAYLISTS_FOLDER,
    is_playlist,
    is_questions,
    read_class_plan,
)
from model.scenario.scenario import Scenario

LESSONS = "scenarios/lessons"
# A playlist and a lesson may have one name: the record tells them apart.
PLAYLIST_KEY, LESSON_KEY = "playlist", "lesson"


@dataclass(frozen=True)
class Listed:
    """Something that a class can walk through, and its file.

    Attributes
    ----------
    is_own : whether it lies in the person's own folder.
    """

    path: Path
    programme: Programme
    is_own: bool = False

    @property
    def is_playlist(self) -> bool:
        """Whether it is a playlist, not a lesson by itself."""
        return self.programme.plan is not None


def shipped_folder() -> Path:
    """Return where the lessons that come with the program lie."""
    try:
        return disk.get(lambda: resource(LESSONS))
    except OSError:
        # Whatever is read there is not found, and said.
        return Path(LESSONS)


def own_folder() -> Path:
    """Return the folder of a person's own lessons and playlists, whether it is there or not."""
    return platformdirs.user_data_path("Counterpoise", appauthor=False) / "lessons"


def class_day() -> Scenario:
    """Return the scenario that several lessons share; raises ScenarioError where it is damaged."""
    return reading(read_scenario, shipped_folder() / "class-day.toml")


def classes_in(*folders: Path) -> tuple[tuple[Listed, ...], tuple[str, ...]]:
    """Return playlists, then lessons, of some folders, and a line for each that has a fault.

    The first folder is the shipped one; what lies in the others is a person's own.
    """
    try:
        return disk.get(lambda: _classes_in(folders))
    except OSError as error:
        return (), (f"The lessons could not be read: {reason_of(error)}",)


def read_class(path: Path) -> Listed:
    """Return the playlist or lesson of one file; raises ScenarioError with its faults."""
    shipped = shipped_folder()
    return reading(lambda each: _read(each, (own_folder(), shipped), is_own=True), path)


def _classes_in(folders: tuple[Path, ...]) -> tuple[tuple[Listed, ...], tuple[str, ...]]:
    found: list[Listed] = []
    faults: list[str] = []
    for place, folder in enumerate(folders):
        is_own = place > 0
        paths = [
            *sorted((folder / PLAYLISTS_FOLDER).glob("*.toml")),
            *sorted(folder.glob("*.toml")),
        ]
        for path in paths:
            try:
                if _is_class(path):
                    found.append(_read(path, folders[::-1], is_own=is_own))
            except ScenarioError as error:
                faults.append(f"{shown_name(path)}: {error.faults[0]}")
    found.sort(key=_rank)
    return tuple(found), tuple(faults)


def _rank(listed: Listed) -> tuple[bool, bool, int, str]:
    """Return the order of the list: the usual playlist, other playlists, lessons by number."""
    programme = listed.programme
    if listed.is_playlist:
        return False, not listed.is_own, programme.minutes, programme.title
    return True, not listed.is_own, programme.lessons[0].lesson.number, programme.title


def _read(path: Path, folders: tuple[Path, ...], *, is_own: bool) -> Listed:
    own = "own " if is_own else ""
    table, _ = table_of(read_bytes(path))
    if is_playlist(table):
        key = f"{own}{PLAYLIST_KEY} {path.stem}"
        return Listed(path, programme_of_plan(key, read_class_plan(path, folders)), is_own)
    key = f"{own}{LESSON_KEY} {path.stem}"
    return Listed(path, programme_of_lesson(key, path, read_lesson(path)), is_own)


def _is_class(path: Path) -> bool:
    """Whether a file is meant to be listed: what lessons share has no steps of its own."""
    table, _ = table_of(read_bytes(path))
    if is_questions(table):
        return False
    return "steps" in table or is_playlist(table) or "stations" not in table
