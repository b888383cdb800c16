"""What can be done with a whole part or a whole station: each gives a new scenario."""

from __future__ import annotations

from model.editing.field_facts import describe
from model.editing.paths import value_at, with_inserted, with_moved, with_removed, with_value
from model.library.catalogue import Library
from model.library.new_station import new_station, with_part
from model.scenario.scenario import STATIONS_LIMIT, Scenario
from model.scenario.station import Part

# The one command that changes the library and not the scenario.
KEEP = "keep"


def station_name(scenario: Scenario, index: int) -> str:
    """Return what a station is called, or its number where it has no name."""
    return scenario.stations[index].name or f"Station {index + 1}"


def station_of(path: str) -> int:
    """Return the index of the station a path lies in."""
    return int(path.split(".")[1])


def is_listed(path: str) -> bool:
    """Return whether a path leads to an entry of a list: a lead, a charger or an extra."""
    return path.count(".") == 3


def part_commands(scenario: Scenario, path: str) -> list[tuple[str, str]]:
    """Return what can be done with the part at a path: a key and words for the menu."""
    own = station_of(path)
    others = [index for index in range(len(scenario.stations)) if index != own]
    commands = [(f"copy:{index}", f"Copy to {station_name(scenario, index)}") for index in others]
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
        return f"removal of {describe(path)}", with_removed(scenario, path)
    part = value_at(scenario, path)
    if key == "duplicate":
        parent, _, last = path.rpartition(".")
        return f"copy of {describe(path)}", with_inserted(scenario, parent, int(last) + 1, part)
    own, target = station_of(path), key.partition(":")[2]
    targets = [int(target)] if target != "all" else range(len(scenario.stations))
    for index in targets:
        if index != own:
            scenario = fitted(scenario, index, part)
    return f"copy of {describe(path)}", scenario


def fitted(scenario: Scenario, index: int, part: Part, place: int | None = None) -> Scenario:
    """Return a scenario in which a station carries a part."""
    station = with_part(scenario.stations[index], part, place)
    return with_value(scenario, f"stations.{index}", station)


def with_station_added(scenario: Scenario, library: Library) -> Scenario:
    """Return a scenario with one more station: the library's first radio and battery."""
    radio, battery = library.of("radio")[0], library.of("battery")[0]
    name = free_name(scenario, f"Station {len(scenario.stations) + 1}")
    added = new_station(name, radio.name, battery.name, library)
    return with_inserted(scenario, "stations", len(scenario.stations), added)


def with_station_duplicated(scenario: Scenario, index: int) -> Scenario:
    """Return a scenario with a copy of a station beside it, under a name of its own."""
    station = scenario.stations[index]
    copy = station.model_copy(
        update={"name": free_name(scenario, f"{station_name(scenario, index)} (copy)")}
    )
    return with_inserted(scenario, "stations", index + 1, copy)


def free_name(scenario: Scenario, wanted: str) -> str:
    """Return the wanted name, or the first numbered one that no station has."""
    taken = {station.name for station in scenario.stations}
    if wanted not in taken:
        return wanted
    numbers = range(2, STATIONS_LIMIT + 3)
    return next(f"{wanted} {number}" for number in numbers if f"{wanted} {number}" not in taken)


def with_station_moved(scenario: Scenario, index: int, to: int) -> Scenario:
    """Return a scenario with a station in another place."""
    return with_moved(scenario, f"stations.{index}", to)


def with_station_removed(scenario: Scenario, index: int) -> Scenario:
    """Return a scenario without a station."""
    return with_removed(scenario, f"stations.{index}")
