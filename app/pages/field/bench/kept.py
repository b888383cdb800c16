"""Readings typed at the bench and not put in, wherever their station is by now."""

from __future__ import annotations

from pathlib import Path

from app.pages.field.bench.form import Typed
from app.state.loose import LooseEnds, key_of
from model.scenario.scenario import Scenario
from model.scenario.station import Station


class KeptReadings:
    """Follows the stations through edits, and keeps the readings of those that are not here.

    Readings belong to one file: a station of the same name in another file has none of them. All
    of them stand among the loose ends, so that neither a crash nor an end of the program loses any.
    """

    def __init__(self, scenario: Scenario, path: Path | None, loose: LooseEnds) -> None:
        self._scenario, self._path = scenario, path
        self._loose = loose
        # Under which key the readings of each station here stand.
        self._keys: dict[int, str] = {}

    def begin(self) -> dict[int, Typed]:
        """Return the readings held for the stations as they are."""
        found = {
            index: dict(self._loose.of(self._path, station))
            for index, station in enumerate(self._scenario.stations)
        }
        return {index: typed for index, typed in found.items() if typed}

    def take_path(self, scenario: Scenario, path: Path | None) -> None:
        """Take over the name a file was saved under."""
        if is_of_one_file(self._scenario, scenario):
            self._path = path

    def hold(self, typed: dict[int, Typed]) -> None:
        """Keep what is typed for the stations here by now."""
        stations = self._scenario.stations
        keys = {
            index: key_of(self._path, stations[index]) for index in typed if index < len(stations)
        }
        gone = [key for index, key in self._keys.items() if keys.get(index) != key]
        self._keys = keys
        held: dict[str, Typed] = {}
        for index, key in keys.items():
            # Two stations may have one name: what was typed for either is not lost to the other.
            held[key] = typed[index] or held.get(key, {})
        self._loose.put_all(held, gone)

    def moved(
        self, typed: dict[int, Typed], scenario: Scenario, path: Path | None
    ) -> tuple[dict[int, Typed], tuple[str, ...]]:
        """Return the readings by where their stations stand now, and whose had to be put away.

        Readings that were put away come back with their station.
        """
        self.hold(typed)
        before, after = self._scenario.stations, scenario.stations
        places = _places(before, after) if is_of_one_file(self._scenario, scenario) else {}
        moved: dict[int, Typed] = {}
        keys: dict[int, str] = {}
        put_away = []
        for index, readings in typed.items():
            if index in places:
                moved[places[index]] = readings
                keys[places[index]] = self._keys[index]
            elif readings:
                put_away.append(before[index].name)
        self._scenario, self._path, self._keys = scenario, path, keys
        arrived = set(range(len(after))) - set(places.values())
        stay = {key_of(path, after[index]) for index in places.values()}
        for index in sorted(arrived):
            back = self._loose.of(path, after[index])
            if back and key_of(path, after[index]) not in stay:
                moved[index] = dict(back)
        self.hold(moved)
        return moved, tuple(put_away)


def is_of_one_file(one: Scenario, other: Scenario) -> bool:
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
