"""Readings typed at the bench and not put in, wherever their station is by now."""

from __future__ import annotations

from pathlib import Path

from app.bench.form import Typed
from model.scenario.scenario import Scenario
from model.scenario.station import Station


class KeptReadings:
    """Follows the stations through edits, and keeps the readings of those that are not here.

    Readings belong to one file: a station of the same name in another file has none of them.
    """

    def __init__(self, scenario: Scenario, path: Path | None) -> None:
        self._scenario, self._path = scenario, path
        self._away: dict[tuple[Path | None, str], Typed] = {}

    def take_path(self, scenario: Scenario, path: Path | None) -> None:
        """Take over the name a file was saved under."""
        if _is_of_one_file(self._scenario, scenario):
            self._path = path

    def moved(
        self, typed: dict[int, Typed], scenario: Scenario, path: Path | None
    ) -> tuple[dict[int, Typed], tuple[str, ...]]:
        """Return the readings by where their stations stand now, and whose had to be put away.

        Readings that were put away come back with their station.
        """
        before, after = self._scenario.stations, scenario.stations
        places = _places(before, after) if _is_of_one_file(self._scenario, scenario) else {}
        moved: dict[int, Typed] = {}
        put_away = []
        for index, readings in typed.items():
            if index in places:
                moved[places[index]] = readings
            elif readings:
                self._away[self._path, before[index].name] = readings
                put_away.append(before[index].name)
        self._scenario, self._path = scenario, path
        arrived = set(range(len(after))) - set(places.values())
        for index in sorted(arrived):
            back = self._away.pop((path, after[index].name), None)
            if back is not None:
                moved[index] = back
        return moved, tuple(put_away)


def _is_of_one_file(one: Scenario, other: Scenario) -> bool:
    """Whether one became the other by edits: these share all that they leave as it was."""
    shared = any(getattr(one, name) is getattr(other, name) for name in ("site", "day", "plan"))
    return shared or any(each is any_ for each in one.stations for any_ in other.stations)


def _places(before: tuple[Station, ...], after: tuple[Station, ...]) -> dict[int, int]:
    """Return where each station went: the same one, else one of its name, else one renamed."""
    places: dict[int, int] = {}
    for is_same in (_is_untouched, _is_namesake, _is_renamed):
        for old, station in enumerate(before):
            if old in places:
                continue
            free = [new for new in range(len(after)) if new not in places.values()]
            # Of several alike, the one in the same place.
            found = sorted(
                (new for new in free if is_same(station, after[new])), key=lambda new: new != old
            )
            if found:
                places[old] = found[0]
    return places


def _is_untouched(one: Station, other: Station) -> bool:
    return one is other


def _is_namesake(one: Station, other: Station) -> bool:
    return one.name == other.name


def _is_renamed(one: Station, other: Station) -> bool:
    return one.radio is other.radio and one.battery is other.battery
