"""Whole parts and whole stations put in, copied, moved and taken out: each a new scenario."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from model.editing.paths import value_at, with_inserted, with_moved, with_removed, with_value
from model.scenario.kinds import kind_of
from model.scenario.scenario import STATIONS_LIMIT, Scenario
from model.scenario.station import Battery, Part, Station


def station_of(path: str) -> int:
    """Return the index of the station a path lies in."""
    return int(path.split(".")[1])


def is_listed(path: str) -> bool:
    """Return whether a path leads to an entry of a list: a lead, a charger or an extra."""
    return path.count(".") == 3


def with_part(station: Station, part: Part, place: int | None = None) -> Station:
    """Return a station that carries a part: in its slot, or in its list.

    Parameters
    ----------
    place : which lead, charger or extra it takes the place of; None adds one.

    Notes
    -----
    A reserve that is the usual one for the old battery becomes the usual one for the new.
    """
    kind = kind_of(part)
    if kind.is_list:
        held = getattr(station, kind.slot)
        rows = (*held, part) if place is None else (*held[:place], part, *held[place + 1 :])
        return station.model_copy(update={kind.slot: rows})
    changes: dict[str, Any] = {kind.slot: part}
    usual = station.battery.cell.reserve_fraction
    if isinstance(part, Battery) and station.reserve_fraction == usual:
        changes["reserve_fraction"] = part.cell.reserve_fraction
    return station.model_copy(update=changes)


def fitted(scenario: Scenario, index: int, part: Part, place: int | None = None) -> Scenario:
    """Return a scenario in which a station carries a part."""
    station = with_part(scenario.stations[index], part, place)
    return with_value(scenario, f"stations.{index}", station)


def with_part_duplicated(scenario: Scenario, path: str) -> Scenario:
    """Return a scenario with a copy of an entry of a list beside it."""
    parent, _, last = path.rpartition(".")
    return with_inserted(scenario, parent, int(last) + 1, value_at(scenario, path))


def with_part_copied(scenario: Scenario, path: str, targets: Iterable[int]) -> Scenario:
    """Return a scenario in which other stations carry a part too; its own is left as it is."""
    part, own = value_at(scenario, path), station_of(path)
    for index in targets:
        if index != own:
            scenario = fitted(scenario, index, part)
    return scenario


def with_station_duplicated(scenario: Scenario, index: int) -> Scenario:
    """Return a scenario with a copy of a station beside it, under a name of its own.

    What all stations share is listed once: it counts with the copy already.
    """
    station = scenario.stations[index]
    name = free_name(scenario, f"{station.name or f'Station {index + 1}'} (copy)")
    own = tuple(extra for extra in station.extras if not extra.shared_by_all)
    copy = station.model_copy(update={"name": name, "extras": own})
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
