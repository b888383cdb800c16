"""Which inputs matter most: each moved alone to both ends of its spread, the rest as it is.

For a part's number the spread is that of ``model.odds.sampling``; shares and power of the plan move
by what is usual for their fields, the sky by a tenth of a clear day's light and three
degrees.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from math import inf, isnan
from typing import Literal

import numpy as np

from model.editing.faults import ScenarioError
from model.editing.field_facts import field_at
from model.editing.paths import with_value
from model.engine.batch import search_batch
from model.engine.comparison import COARSE_STEP_MIN, why_withheld
from model.engine.fleet import Fleet, fleet_of, kind_of
from model.engine.inputs import Inputs, station_inputs
from model.odds.drawn_weather import same_weather
from model.odds.sampling import uncertain
from model.odds.spread_fleet import drawn_fleet
from model.results.provenance import part_spread
from model.scenario.scenario import Scenario
from model.sizing.criterion import Trial, trial
from model.sizing.needed_mass import search_needed_battery_by
from model.sky.cloud_words import sky_moved
from model.sky.trip import planned
from model.station.carried_mass import carried_total, items, shared_extras
from model.station.chemistry import Floats
from model.support.progress import Search, finish, within

MOST_SHOWN = 8
# How far the sky is moved either way: common practice, no source.
SKY_INDEX, AIR_C = 0.1, 3.0
_BOTH_WAYS = (-SKY_INDEX, SKY_INDEX)
PLAN_FIELDS = ("transmit_share", "listen_share", "rf_w")
Measure = Literal["first_end", "lowest_charge", "needed_kg"]


@dataclass(frozen=True)
class Result:
    """What becomes of a station.

    Attributes
    ----------
    first_end_h : first of the three clocks' ends, inf where none ends [h].
    lowest_fraction : least charge [1].
    needed_kg : mass with the smallest battery that holds from full, inf where none does [kg].
    """

    first_end_h: float
    lowest_fraction: float
    needed_kg: float


@dataclass(frozen=True)
class Lever:
    """One input and what moving it does.

    Attributes
    ----------
    path : from the scenario on; a number of the first block or of the day stands for all blocks
        and days.
    low, high : results with the input at the low and at the high end of its spread.
    """

    path: str
    low: Result
    high: Result


@dataclass(frozen=True)
class Sensitivity:
    """A station as it is, and every input moved alone; ``run_h`` is the length of the run [h]."""

    as_it_is: Result
    levers: tuple[Lever, ...]
    run_h: float

    def strongest(self, measure: Measure, count: int = MOST_SHOWN) -> tuple[Lever, ...]:
        """Return the inputs that move a measure most, without those that do not move it."""
        moving = [lever for lever in self.levers if self.swing(lever, measure) > 0]
        return tuple(sorted(moving, key=lambda lever: -self.swing(lever, measure))[:count])

    def swing(self, lever: Lever, measure: Measure) -> float:
        """Return how far a measure moves between both ends of an input.

        In hours, where an end that never comes counts as the end of the run; in fractions of
        charge; or in kilograms, inf where no battery holds at one end.
        """
        low, high = (self._measured(end, measure) for end in (lever.low, lever.high))
        return 0.0 if low == high else abs(high - low)

    def _measured(self, result: Result, measure: Measure) -> float:
        if measure == "first_end":
            return min(result.first_end_h, self.run_h)
        return result.lowest_fraction if measure == "lowest_charge" else result.needed_kg


def sensitivity(scenario: Scenario, index: int) -> Sensitivity:
    """Move every input of a station alone; see ``search_sensitivity``."""
    return finish(search_sensitivity(scenario, index))


def search_sensitivity(scenario: Scenario, index: int) -> Search[Sensitivity]:
    """Move every input of a station alone to both ends of its spread.

    Raises
    ------
    ValueError
        When the station cannot be run; says why.
    """
    withheld = why_withheld(scenario, index)
    if withheld is not None:
        raise ValueError(withheld)
    paths, fleet = _moved_parts(scenario, index)
    asked = trial(scenario, index, balanced=False)
    found = yield from within(_search_results(asked, fleet), 0.0, 0.6)
    as_it_is, ends = found[-1], iter(found[:-1])
    levers = [Lever(f"stations.{index}.{path}", next(ends), next(ends)) for path in paths]
    moved = list(_moved_setting(scenario))
    asked_of = _search_results_of([end for _, pair in moved for end in pair], index, as_it_is)
    ends = iter((yield from within(asked_of, 0.6, 1.0)))
    levers += [Lever(path, next(ends), next(ends)) for path, _ in moved]
    levers += _moved_masses(scenario, index, as_it_is)
    return Sensitivity(as_it_is, tuple(levers), 24.0 * scenario.day.days)


def _moved_parts(scenario: Scenario, index: int) -> tuple[list[str], Fleet]:
    """Return the numbers moved, and a fleet of two members for each with the station last."""
    asked = trial(scenario, index, balanced=False)
    station = scenario.stations[index]
    numbers = list(uncertain(station))
    factors: dict[str, Floats] = {}
    for place, number in enumerate(numbers):
        factor = np.ones(2 * len(numbers) + 1)
        factor[2 * place] = max(1 / (1 + number.spread), number.least_factor)
        factor[2 * place + 1] = min(1 + number.spread, number.most_factor)
        factors[number.path] = factor
    site, trip = scenario.site, planned(scenario)
    weather = same_weather(site, trip, COARSE_STEP_MIN, 2 * len(numbers) + 1)
    fleet = drawn_fleet(site, trip, scenario.plan, station, asked.shared, factors, weather)
    return [number.path for number in numbers], fleet


def _search_results(asked: Trial, fleet: Fleet) -> Search[list[Result]]:
    outcomes = yield from within(search_batch(fleet), 0.0, 0.1)
    full = replace(fleet, start_ah=fleet.limits["full_ah"])
    by = yield from within(search_needed_battery_by(full), 0.1, 1.0)
    battery = asked.station.battery
    battery_kg = battery.mass_kg * battery.count
    rest_kg = carried_total(asked.station, asked.shared).mass_kg - battery_kg
    needed_kg = np.where(np.isnan(by), np.inf, rest_kg + battery_kg * by)
    rows = (outcomes.first_end_h, outcomes.lowest_fraction, needed_kg)
    return [Result(*row) for row in zip(*(values.tolist() for values in rows), strict=True)]


def _search_results_of(
    scenarios: Sequence[Scenario | None], index: int, otherwise: Result
) -> Search[list[Result]]:
    """Find what becomes of a station in changed scenarios; kits of one kind run together."""
    found = [otherwise] * len(scenarios)
    groups: dict[tuple[object, ...], list[tuple[int, Inputs]]] = {}
    for place, scenario in enumerate(scenarios):
        yield 0.2 * place / len(scenarios)
        if scenario is None or why_withheld(scenario, index) is not None:
            continue
        inputs = station_inputs(
            scenario.site, planned(scenario), scenario.plan, scenario.stations[index],
            shared_extras(scenario, index), COARSE_STEP_MIN,
        )  # fmt: skip
        groups.setdefault(kind_of(inputs), []).append((place, inputs))
    for done, group in enumerate(groups.values()):
        first = scenarios[group[0][0]]
        assert first is not None
        fleet = fleet_of([inputs for _, inputs in group])
        search = _search_results(trial(first, index, balanced=False), fleet)
        begin, end = (0.2 + 0.8 * (done + part) / len(groups) for part in (0, 1))
        results = yield from within(search, begin, end)
        for (place, _), result in zip(group, results, strict=True):
            found[place] = result
    return found


def _moved_setting(
    scenario: Scenario,
) -> Iterator[tuple[str, tuple[Scenario | None, Scenario | None]]]:
    """Yield the plan's and the sky's inputs at both ends; None where an end cannot be."""
    senders = [place for place, block in enumerate(scenario.plan) if block.activity != "off"]
    for field in PLAN_FIELDS:
        spread = field_at(f"plan.0.{field}").spread or 0.0
        if senders and spread:
            ends = (1 / (1 + spread), 1 + spread)
            low, high = (_plan_scaled(scenario, field, factor) for factor in ends)
            yield f"plan.{senders[0]}.{field}", (low, high)
    dull, clear = (_changed(scenario, {"day.sky": sky_moved(scenario, by)}) for by in _BOTH_WAYS)
    yield "day.sky", (dull, clear)
    cold, warm = (_air_moved(scenario, by) for by in (-AIR_C, AIR_C))
    yield "day.low_c", (cold, warm)


def _plan_scaled(scenario: Scenario, field: str, factor: float) -> Scenario | None:
    """Scale a number of every block, as far as its bounds allow."""
    most = field_at(f"plan.0.{field}").high
    limit = float(most) if isinstance(most, int | float) else inf
    plan = tuple(
        block.model_copy(update={field: min(getattr(block, field) * factor, limit)})
        for block in scenario.plan
    )
    return _changed(scenario, {"plan": plan})


def _air_moved(scenario: Scenario, by: float) -> Scenario | None:
    changes = {}
    for path, given in (("day.low_c", scenario.day.low_c), ("day.high_c", scenario.day.high_c)):
        facts = field_at(path)
        low, high = (
            float(bound) if isinstance(bound, int | float) else 0.0
            for bound in (facts.low, facts.high)
        )
        changes[path] = tuple(min(max(value + by, low), high) for value in given)
    return _changed(scenario, changes)


def _changed(scenario: Scenario, changes: Mapping[str, object]) -> Scenario | None:
    try:
        for path, value in changes.items():
            scenario = with_value(scenario, path, value)
    except ScenarioError:
        return None
    return scenario


def _moved_masses(scenario: Scenario, index: int, as_it_is: Result) -> Iterator[Lever]:
    """Yield the masses; they move the station's mass alone, the battery's as much as is needed."""
    station = scenario.stations[index]
    battery_kg = station.battery.mass_kg * station.battery.count
    others_kg = (
        carried_total(station, trial(scenario, index, balanced=False).shared).mass_kg - battery_kg
    )
    for item in items(station):
        spread = part_spread(item.part, "mass_kg", f"{item.path}.mass_kg")
        moved_kg = item.mass_kg
        if item.path == "battery":
            moved_kg = as_it_is.needed_kg - others_kg
        if moved_kg <= 0 or isnan(moved_kg) or spread <= 0:
            continue
        low, high = (
            replace(as_it_is, needed_kg=as_it_is.needed_kg + moved_kg * by)
            for by in (1 / (1 + spread) - 1, spread)
        )
        yield Lever(f"stations.{index}.{item.path}.mass_kg", low, high)
