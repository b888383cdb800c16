"""What the window begins with: the starter library, and a scenario."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

from app.resources import resource
from app.work.disk import disk
from model.editing.faults import ScenarioError
from model.files.scenario_file import read_scenario
from model.group.group_file import is_group, title_of
from model.library import new_scenario
from model.library.catalogue import Library
from model.library.store import load
from model.scenario.scenario import Scenario

EXAMPLES = "scenarios"
FIRST_SCENARIO = f"{EXAMPLES}/ridge-weekend.toml"


def starter_library() -> Library:
    """Return the parts that ship with the program."""
    return disk.get(lambda: load(resource("assets/parts")))


def first_scenario(library: Library) -> Scenario:
    """Return the scenario a first start opens; a new one should it be damaged."""
    try:
        return disk.get(lambda: read_scenario(resource(FIRST_SCENARIO)))
    except (OSError, ScenarioError):
        return begun_scenario(library)


def example_files() -> tuple[Path, ...]:
    """Return the scenarios that ship with the program, the one of the first start first."""
    try:
        files = disk.get(lambda: sorted(resource(EXAMPLES).glob("*.toml")))
    except OSError:
        return ()
    return tuple(sorted(files, key=lambda file: file.name != Path(FIRST_SCENARIO).name))


def example_groups() -> tuple[tuple[Path, str], ...]:
    """Return the groups that ship with the program, each with its title."""
    try:
        return disk.get(_groups)
    except OSError:
        return ()


def _groups() -> tuple[tuple[Path, str], ...]:
    found = []
    for path in sorted(resource(f"{EXAMPLES}/group").glob("*.toml")):
        data = path.read_bytes()
        if is_group(data):
            found.append((path, title_of(data) or path.stem))
    return tuple(found)


def is_shipped(path: Path) -> bool:
    """Return whether a file is one of those that ship with the program."""
    try:
        return path.is_relative_to(disk.get(lambda: resource(EXAMPLES)))
    except OSError:
        return False


def begun_scenario(library: Library, home: new_scenario.Home | None = None) -> Scenario:
    """Return a new scenario for the weekend that comes after today."""
    today = datetime.now(UTC).astimezone().date()
    return new_scenario.new_scenario(today, library, home)
