"""Findings: what is wrong, doubtful or worth knowing about a design, each at its field."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from functools import lru_cache
from itertools import chain

from model.findings import carried, charging, leads, place, plan, sending, sky, volts
from model.findings.finding import Finding, Level, Setting, SettingRule, StationRule, Subject
from model.findings.variants import findings_of_variants
from model.scenario.scenario import Block, Day, Scenario, Site
from model.scenario.station import Station
from model.sky.trip import Trip, planned

__all__ = ["Finding", "Level", "find", "find_errors", "find_without_variants"]

# Of these alone come errors; none of them asks where the sun stands, so that what withholds a run
# is known at once, whatever the place and the date.
ERROR_SETTING_RULES: tuple[SettingRule, ...] = plan.RULES
ERROR_STATION_RULES: tuple[StationRule, ...] = (
    *sending.RULES,
    *volts.RULES,
    *leads.RULES,
    *charging.RULES,
)
# Of these come warnings and hints.
REMARK_SETTING_RULES: tuple[SettingRule, ...] = (*place.SETTING_RULES, *sky.SETTING_RULES)
REMARK_STATION_RULES: tuple[StationRule, ...] = (*carried.RULES, *sky.STATION_RULES)
_WEIGHT: dict[Level, int] = {"error": 0, "warning": 1, "hint": 2}


def find(scenario: Scenario) -> tuple[Finding, ...]:
    """Return every finding of a scenario, errors first, in the order of the stations."""
    return _by_weight((*find_without_variants(scenario), *findings_of_variants(scenario)))


def find_without_variants(scenario: Scenario) -> tuple[Finding, ...]:
    """Return the findings that a run is concerned with, in the same order."""
    asked = _asked(scenario)
    found = [
        *_of_setting(*asked, ERROR_SETTING_RULES),
        *_of_setting(*asked, REMARK_SETTING_RULES),
        *place.climate_elsewhere(scenario.site, scenario.climate),
    ]
    for index, station in enumerate(scenario.stations):
        for rules in (ERROR_STATION_RULES, REMARK_STATION_RULES):
            found += _of_station(*asked, station, index, rules)
    return _by_weight(found)


def find_errors(scenario: Scenario) -> tuple[Finding, ...]:
    """Return the errors among the findings that a run is concerned with, in the same order."""
    asked = _asked(scenario)
    found = list(_of_setting(*asked, ERROR_SETTING_RULES))
    for index, station in enumerate(scenario.stations):
        found += _of_station(*asked, station, index, ERROR_STATION_RULES)
    return tuple(each for each in found if each.level == "error")


def _asked(scenario: Scenario) -> tuple[Site, Day, Trip, tuple[Block, ...]]:
    return scenario.site, scenario.day, planned(scenario), scenario.plan


def _by_weight(found: Iterable[Finding]) -> tuple[Finding, ...]:
    return tuple(sorted(found, key=lambda finding: _WEIGHT[finding.level]))


@lru_cache(maxsize=128)
def _of_setting(
    site: Site, day: Day, trip: Trip, plan: tuple[Block, ...], rules: tuple[SettingRule, ...]
) -> tuple[Finding, ...]:
    setting = Setting(site, day, trip, plan)
    return tuple(chain.from_iterable(rule(setting) for rule in rules))


@lru_cache(maxsize=128)
def _of_station(
    site: Site,
    day: Day,
    trip: Trip,
    plan: tuple[Block, ...],
    station: Station,
    index: int,
    rules: tuple[StationRule, ...],
) -> tuple[Finding, ...]:
    subject = Subject(Setting(site, day, trip, plan), station)
    return tuple(
        replace(finding, path=f"stations.{index}.{finding.path}")
        for finding in chain.from_iterable(rule(subject) for rule in rules)
    )
