"""Every setting on which a page's figures rest: a run with these and nothing else gives them.

What is not named has the value that a file takes where it is silent: none, or no loss.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from model.results.wording import capital
from model.scenario.declare import Value
from model.scenario.kinds import KINDS
from model.scenario.scenario import Scenario
from model.scenario.station import Extra, Station
from model.sky.timeline import timeline
from model.sky.trip import planned
from model.station.carried_mass import shared_extras

# What no run looks at: words, weights, money, and what protects without switching anything.
NOT_OF_THE_RUN = frozenset(
    ("name", "mass_kg", "cost", "sources", "plug", "polarity", "fuse_type", "group", "fuse_a",
     "insulation_c", "note", "frequency_mhz", "shared_by_all", "licence_max_w", "loss_db")
)  # fmt: skip
# Parts that no run looks at.
NO_PARTS_OF_THE_RUN = ("antenna",)
INDEX_DECIMALS = 4


@dataclass(frozen=True)
class Setting:
    """One setting: its path in a scenario that holds this station alone, and its value."""

    path: str
    value: Any


@dataclass(frozen=True)
class SettingGroup:
    """The settings of one part, under its name."""

    name: str
    settings: tuple[Setting, ...]


def assumptions(scenario: Scenario, index: int) -> tuple[SettingGroup, ...]:
    """Return all settings of one station, counted from 0, and of its place, days and plan."""
    return tuple(group for group in _groups(scenario, index) if group.settings)


def _groups(scenario: Scenario, index: int) -> Iterator[SettingGroup]:
    station = scenario.stations[index]
    yield SettingGroup("Place", _of(scenario.site, "site"))
    yield SettingGroup("Days", _days(scenario))
    for number, block in enumerate(scenario.plan):
        yield SettingGroup("Plan", _of(block, f"plan.{number}"))
    of_station = ("reserve_fraction", "start_fraction")
    yield SettingGroup(
        "Station",
        tuple(Setting(f"stations.0.{name}", getattr(station, name)) for name in of_station),
    )
    yield from _parts(station, shared_extras(scenario, index))


def _parts(station: Station, shared: tuple[Extra, ...]) -> Iterator[SettingGroup]:
    for kind in KINDS:
        if kind.key in NO_PARTS_OF_THE_RUN:
            continue
        for path, part in kind.held_by(station):
            if isinstance(part, Extra) and not (part.power_w or part.current_a):
                continue
            name = " ".join(part.name.split())
            title = f"{kind.label} ({name})" if name and kind.is_list else kind.label
            yield SettingGroup(capital(title), _of(part, f"stations.0.{path}"))
    count = len(station.extras)
    for at, extra in enumerate(shared):
        if not (extra.power_w or extra.current_a):
            continue
        yield SettingGroup("Carried by all", _of(extra, f"stations.0.extras.{count + at}"))


def _days(scenario: Scenario) -> tuple[Setting, ...]:
    """Return the days with each date's sky as the number it counts as at this place."""
    day, weather = scenario.day, planned(scenario).weather
    dates = len(timeline(scenario.site, day).dates)
    index = tuple(round(each, INDEX_DECIMALS) for each in weather.index[:dates])
    low_c, high_c = day.low_c[:dates], day.high_c[:dates]
    return (
        Setting("day.date", day.date),
        Setting("day.start_hour", day.start_hour),
        Setting("day.days", day.days),
        Setting("day.wind_m_s", day.wind_m_s),
        Setting("day.sky", _shortest(index)),
        Setting("day.low_c", _shortest(low_c)),
        Setting("day.high_c", _shortest(high_c)),
    )


def _shortest(values: tuple[Any, ...]) -> tuple[Any, ...]:
    """Return values without the repetitions at their end: a short list goes on with its last."""
    while len(values) > 1 and values[-1] == values[-2]:
        values = values[:-1]
    return values


def _of(part: Value, path: str) -> tuple[Setting, ...]:
    found = []
    for name, info in type(part).model_fields.items():
        value = getattr(part, name)
        if name in NOT_OF_THE_RUN or (not info.is_required() and value == info.default):
            continue
        found.append(Setting(f"{path}.{info.alias or name}", value))
    return tuple(found)
