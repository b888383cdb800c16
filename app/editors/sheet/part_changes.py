"""What can be done with a part, a value or a whole station, in the words of its menu."""

from __future__ import annotations

from typing import Any

from app.editors.sheet.writing import path_of
from model.editing.edit_stations import (
    is_listed,
    station_of,
    with_part_copied,
    with_part_duplicated,
    with_station_duplicated,
    with_station_moved,
    with_station_removed,
)
from model.editing.field_facts import place_words
from model.editing.paths import value_at, with_removed
from model.results.wording import heading_at, name_at
from model.scenario.kinds import KIND_OF_SLOT
from model.scenario.scenario import STATIONS_LIMIT, Scenario

# The one command that changes the library and not the scenario.
KEEP = "keep"


def copy_commands(scenario: Scenario, index: int, key: str, what: str) -> list[tuple[str, str]]:
    """Return to which stations a value or a part can be copied: a key and words for the menu."""
    others = [each for each in range(len(scenario.stations)) if each != index]
    commands = [
        (f"{key}:{each}", f"Copy {what} to {heading_at(scenario, each)}") for each in others
    ]
    if len(others) > 1:
        commands.append((f"{key}:all", f"Copy {what} to all stations"))
    return commands


def part_commands(scenario: Scenario, path: str) -> list[tuple[str, str]]:
    """Return what can be done with the part at a path."""
    slot = path.split(".")[2]
    words = KIND_OF_SLOT[slot].words
    commands = copy_commands(scenario, station_of(path), "copy", words)
    if is_listed(path):
        commands.append(("duplicate", f"Duplicate {words}"))
    commands.append((KEEP, "Save to library…"))
    if is_listed(path) or not KIND_OF_SLOT[slot].is_needed:
        commands.append(("remove", f"Remove {words}"))
    return commands


def targets_of(scenario: Scenario, key: str) -> list[int]:
    """Return the stations that a command to copy names."""
    target = key.partition(":")[2]
    return list(range(len(scenario.stations))) if target == "all" else [int(target)]


def after_part_command(scenario: Scenario, path: str, key: str) -> tuple[str, Scenario]:
    """Return the words for undo, and the scenario after a command on a part."""
    if key == "remove":
        return f"removal of {place_words(path)}", with_removed(scenario, path)
    words = f"copy of {place_words(path)}"
    if key == "duplicate":
        return words, with_part_duplicated(scenario, path)
    return words, with_part_copied(scenario, path, targets_of(scenario, key))


def station_commands(scenario: Scenario, index: int) -> list[tuple[str, str, bool]]:
    """Return what can be done with a station: a key, words, and whether it can be done now."""
    count = len(scenario.stations)
    return [
        ("rename", "Rename", True),
        ("duplicate", "Duplicate", count < STATIONS_LIMIT),
        ("left", "Move to the left", index > 0),
        ("right", "Move to the right", index < count - 1),
        ("remove", "Remove", count > 1),
    ]


def after_station_command(scenario: Scenario, index: int, key: str) -> tuple[str, Scenario]:
    """Return the words for undo, and the scenario after a command on a station."""
    name = name_at(scenario, index)
    if key == "duplicate":
        return f"copy of {name}", with_station_duplicated(scenario, index)
    if key == "remove":
        return f"removal of {name}", with_station_removed(scenario, index)
    to = index + (1 if key == "right" else -1)
    return f"move of {name}", with_station_moved(scenario, index, to)


def value_of(scenario: Scenario, key: str, index: int) -> Any:
    """Return what a field of a station holds."""
    return value_at(scenario, path_of(key, index))
