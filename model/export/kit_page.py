"""Everything that the printed page says of one station, worked out in one place."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, timedelta

from model.advice.advice import rerun, under_sky
from model.advice.battery_autonomy import Alone, battery_alone
from model.advice.load_shedding import Ladder, ladder
from model.advice.single_points import WeakPoint, weak_points
from model.engine.comparison import Comparison
from model.engine.outcome import Clocks
from model.engine.run import StationRun
from model.export.fingerprint import fingerprint
from model.findings.rules import Finding
from model.results.budget import Budget, power_budget
from model.results.expected_readings import (
    CheckPoint,
    DoubtBand,
    Reading,
    check_points,
    doubt_band,
    readings,
)
from model.results.solar_yield import Harvest, harvest
from model.results.wording import name_at
from model.scenario.scenario import Scenario
from model.scenario.station import Battery, Station
from model.station.carried_mass import CarriedMass, Item, carried_total, items, shared_extras
from model.station.chemistry import Floats
from model.support.cache import kept_while_it_lives
from model.verdict.order import is_guessed

# Batteries are tested once a year: reported practice of public works.
TEST_EVERY_DAYS = 365


@dataclass(frozen=True, eq=False)
class UnderSky:
    """What the page says of a run under one sky; the run itself would take twenty times the memory.

    Attributes
    ----------
    fraction : charge at the step boundaries, shape (steps + 1,). [1]
    lowest_fraction : the least of it [1].
    reserve_crossed_at : when it first falls below the reserve.
    is_guessed : whether most of its Ah rests on guesses.
    """

    clocks: Clocks
    fraction: Floats
    lowest_fraction: float
    reserve_crossed_at: datetime | None
    is_guessed: bool


@dataclass(frozen=True, eq=False)
class KitResults:
    """What runs say of a station: as planned, under a clear sky and overcast."""

    run: StationRun
    planned: UnderSky
    clear: UnderSky
    overcast: UnderSky
    ladder: Ladder
    budget: Budget
    alone: Alone
    harvest: Harvest | None
    readings: tuple[Reading, ...]
    check_points: tuple[CheckPoint, ...]
    weak_points: tuple[WeakPoint, ...]


@dataclass(frozen=True, eq=False)
class Kit:
    """One station of a scenario as it is packed, connected, run and checked.

    Attributes
    ----------
    index : which station, from 0.
    fingerprint : short mark of the whole input.
    carried, load : the carry list and its totals.
    doubt : what resting volts cannot tell.
    tested_on, test_due : of the battery's capacity; None where it was never measured.
    findings : remarks at this station's fields, or at those of plan, place and day.
    results : None where an error finding withholds the run.
    """

    scenario: Scenario
    index: int
    fingerprint: str
    carried: tuple[Item, ...]
    load: CarriedMass
    doubt: DoubtBand
    tested_on: date | None
    test_due: date | None
    findings: tuple[Finding, ...]
    results: KitResults | None

    @property
    def station(self) -> Station:
        """The station."""
        return self.scenario.stations[self.index]

    @property
    def name(self) -> str:
        """Its name, or its letter where it has none."""
        return name_at(self.scenario, self.index)


@kept_while_it_lives
def kit_of(comparison: Comparison, index: int) -> Kit:
    """Return everything the page says of one station, counted from 0.

    Remembered while the comparison is kept: other papers and units need no reruns.
    """
    scenario = comparison.scenario
    station, shared = scenario.stations[index], shared_extras(scenario, index)
    tested_on = _tested_on(station.battery)
    run = comparison.runs[index]
    return Kit(
        scenario=scenario,
        index=index,
        fingerprint=fingerprint(scenario),
        carried=tuple(items(station, shared)),
        load=carried_total(station, shared),
        doubt=doubt_band(station.battery),
        tested_on=tested_on,
        test_due=tested_on + timedelta(days=TEST_EVERY_DAYS) if tested_on else None,
        findings=tuple(
            finding
            for finding in comparison.findings
            if not finding.path.startswith("stations.")
            or finding.path.startswith(f"stations.{index}.")
        ),
        results=None if run is None else _results(scenario, index, run),
    )


def _results(scenario: Scenario, index: int, run: StationRun) -> KitResults:
    clear = rerun(under_sky(scenario, "clear"), index)
    overcast = rerun(under_sky(scenario, "overcast"), index)
    return KitResults(
        run=run,
        planned=_under_sky(run),
        clear=_under_sky(clear),
        overcast=_under_sky(overcast),
        ladder=ladder(scenario, index),
        budget=power_budget(run),
        alone=battery_alone(scenario, index, run),
        harvest=harvest(run, clear, overcast),
        readings=readings(run, clear),
        check_points=check_points(run, clear, overcast),
        weak_points=weak_points(run),
    )


def _under_sky(run: StationRun) -> UnderSky:
    return UnderSky(
        run.clocks, run.fraction, run.lowest.value, run.reserve_crossed_at, is_guessed(run)
    )


def _tested_on(battery: Battery) -> date | None:
    source = battery.source_of("tested_fraction")
    return source.on if source.origin == "measured" else None
