"""What can be done with a whole part, in the words of its menu."""

from __future__ import annotations

from model.editing.edit_stations import (
    is_listed,
    station_of,
    with_part_copied,
    with_part_duplicated,
)
from model.editing.field_facts import place_words
from model.editing.paths import with_removed
from model.results.wording import name_at
from model.scenario.scenario import Scenario

# The one command that changes the library and not the scenario.
KEEP = "keep"


def part_commands(scenario: Scenario, path: str) -> list[tuple[str, str]]:
    """Return what can be done with the part at a path: a key and words for the menu."""
    own = station_of(path)
    others = [index for index in range(len(scenario.stations)) if index != own]
    commands = [(f"copy:{index}", f"Copy to {name_at(scenario, index)}") for index in others]
    if len(others) > 1:
        commands.append(("copy:all", "Copy to all stations"))
    if is_listed(path):
        commands.append(("duplicate", "Duplicate"))
    commands.append((KEEP, "Save to library…"))
    if is_listed(path) or path.split(".")[2] not in ("radio", "battery"):
        commands.append(("remove", "Remove"))
    return commands


def after_command(scenario: Scenario, path: str, key: str) -> tuple[str, Scenario]:
    """Return the words for undo, and the scenario after a command on a part."""
    if key == "remove":
        return f"removal of {place_words(path)}", with_removed(scenario, path)
    words = f"copy of {place_words(path)}"
    if key == "duplicate":
        return words, with_part_duplicated(scenario, path)
    target = key.partition(":")[2]
    targets = range(len(scenario.stations)) if target == "all" else [int(target)]
    return words, with_part_copied(scenario, path, targets)
