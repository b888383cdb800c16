"""Equal terms: change a scenario so that two stations can be compared in one respect at a time."""

from __future__ import annotations

from dataclasses import dataclass
from math import inf, isnan, nan

from model.editing.faults import ScenarioError
from model.editing.paths import with_value
from model.editing.resize import resized_battery, scaled_station
from model.engine.comparison import simulate
from model.engine.run import StationRun, run_station
from model.results.tie_point import first_end_h, search_crossing, ties
from model.results.wording import called
from model.scenario.scenario import Scenario
from model.sizing.variants_compared import Fate, fate_of
from model.sky.trip import planned
from model.station.carried_mass import carried_total, shared_extras
from model.station.transmit_path import given_rf_w, highest_planned_w
from model.support.figures import amount
from model.support.progress import Search, finish

# A battery this many times as large is the most that is tried.
MOST_BY = 64.0
SAME_KG = 5e-4
WITHIN_MIN = 1.0


@dataclass(frozen=True)
class Terms:
    """A scenario on equal terms.

    Attributes
    ----------
    scenario : the changed one, or the same where nothing could or needed to be changed.
    words : one sentence that says what was changed, or why nothing was.
    """

    scenario: Scenario
    words: str


@dataclass(frozen=True)
class Standing:
    """One station of a scenario, in what terms can be equal.

    Attributes
    ----------
    rf_w : the highest power it gives in the plan [W].
    capacity_ah : of all its batteries together [Ah].
    fate : when it first ends, its least charge and its mass.
    """

    rf_w: float
    capacity_ah: float
    fate: Fate


def standings(scenario: Scenario) -> Search[tuple[Standing, ...]]:
    """Find out how every station stands."""
    found = []
    for index, station in enumerate(scenario.stations):
        yield index / len(scenario.stations)
        found.append(
            Standing(
                highest_planned_w(station, scenario.plan),
                station.battery.capacity_ah * station.battery.count,
                fate_of(scenario, index),
            )
        )
    return tuple(found)


def same_power(scenario: Scenario, first: int = 0, second: int = 1) -> Terms:
    """Let both give the RF power that the weaker can give, block by block."""
    pair = [scenario.stations[index] for index in (first, second)]
    plan, changes = [], []
    for block in scenario.plan:
        gives = [given_rf_w(station, block) for station in pair]
        if not block.sends or gives[0] == gives[1] == block.rf_w:
            plan.append(block)
            continue
        if min(gives) <= 0:
            mute = called(scenario, (first, second)[gives.index(min(gives))])
            return Terms(scenario, f"Nothing was changed: {mute} cannot transmit at all.")
        plan.append(block.model_copy(update={"rf_w": min(gives)}))
        change = f"{amount(min(gives), 'W')} instead of {amount(max(gives), 'W')}"
        if gives[0] != gives[1] and change not in changes:
            changes.append(change)
    if not changes:
        return Terms(scenario, "Both already transmit the same RF power.")
    return Terms(
        with_value(scenario, "plan", tuple(plan)),
        f"Both now transmit the RF power of the weaker: {', '.join(changes)}.",
    )


def same_mass(scenario: Scenario, first: int = 0, second: int = 1) -> Terms:
    """Give the lighter station as much more battery of its make as it is lighter."""
    mass_kg = {
        index: carried_total(scenario.stations[index], shared_extras(scenario, index)).mass_kg
        for index in (first, second)
    }
    light, heavy = sorted((first, second), key=lambda index: mass_kg[index])
    spare_kg = mass_kg[heavy] - mass_kg[light]
    if spare_kg < SAME_KG:
        return Terms(scenario, "Both already weigh the same.")
    station = scenario.stations[light]
    battery_kg = station.battery.mass_kg * station.battery.count
    if battery_kg <= 0:
        return Terms(
            scenario,
            f"Nothing was changed: enter the mass of the battery of {called(scenario, light)}.",
        )
    return _with_more_battery(
        scenario,
        light,
        1 + spare_kg / battery_kg,
        f"for the {amount(spare_kg, 'kg')} by which it is lighter",
    )


def same_time(scenario: Scenario, first: int = 0, second: int = 1) -> Terms:
    """Give the station that ends first as much battery as lets it last as long as the other."""
    return finish(search_same_time(scenario, first, second))


def search_same_time(scenario: Scenario, first: int = 0, second: int = 1) -> Search[Terms]:
    """Look for the battery that ``same_time`` gives; a share is told between reruns."""
    yield 0.0
    runs = simulate(scenario).runs
    one, other = runs[first], runs[second]
    if one is None or other is None:
        return Terms(scenario, "Nothing was changed: one of the two cannot be calculated.")
    ends_h = {first: first_end_h(one), second: first_end_h(other)}
    early, late = sorted((first, second), key=lambda index: ends_h[index])
    if ends_h[early] == inf:
        return Terms(scenario, "Both already last to the end.")
    if ties(ends_h[early] - ends_h[late], WITHIN_MIN):
        return Terms(scenario, "Both already last equally long.")

    def lead_h(by: float) -> float | None:
        end_h = first_end_h(_run_scaled(scenario, early, by))
        return nan if end_h == ends_h[late] == inf else end_h - ends_h[late]

    found = yield from search_crossing(lead_h, 1.0, MOST_BY, WITHIN_MIN)
    if found is None or not (isnan(found.lead_h) or ties(found.lead_h, WITHIN_MIN)):
        name = called(scenario, early)
        return Terms(scenario, f"Nothing was changed: no battery lets {name} last exactly as long.")
    return _with_more_battery(scenario, early, found.value, "to last as long as the other")


def _run_scaled(scenario: Scenario, index: int, by: float) -> StationRun:
    station = scaled_station(scenario.stations[index], battery_by=by)
    return run_station.__wrapped__(
        scenario.site, planned(scenario), scenario.plan, station, shared_extras(scenario, index)
    )


def _with_more_battery(scenario: Scenario, index: int, by: float, why: str) -> Terms:
    station = scenario.stations[index]
    old, new = station.battery, resized_battery(station.battery, by)
    try:
        changed = with_value(scenario, f"stations.{index}.battery", new)
    except ScenarioError as error:
        return Terms(scenario, f"Nothing was changed: {error.faults[0].message}.")
    return Terms(
        changed,
        f"{called(scenario, index)} now has {amount(new.capacity_ah * new.count, 'Ah')} instead of"
        f" {amount(old.capacity_ah * old.count, 'Ah')}, {why}.",
    )
