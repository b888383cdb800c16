"""Everything that the printed page says of one station, worked out in one place."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, timedelta

from model.advice.advice import rerun, under_sky
from model.advice.battery_autonomy import Alone, battery_alone
from model.advice.kept_charge import charge_to_keep
from model.advice.low_battery import NOW, LowBattery, Noticed, low_battery, told_up_ah
from model.advice.noticed import moments
from model.advice.single_points import WeakPoint, weak_points
from model.engine.comparison import Comparison
from model.engine.now import from_now
from model.engine.outcome import Clocks
from model.engine.run import StationRun
from model.export.assumptions import SettingGroup, assumptions
from model.export.day_rows import DayRow, day_rows
from model.export.expected_charge import ChargePoint, charge_points
from model.export.fingerprint import fingerprint
from model.export.set_up import Remedy, Step, pack_up, remedies, set_up, watch_reading
from model.export.wiring import Wiring, wiring
from model.findings.rules import Finding
from model.odds.odds import FIRST_TRIPS, StationOdds
from model.odds.rows import Rows, search_rows
from model.odds.sentences import head_words
from model.results.budget import Budget, power_budget
from model.results.expected_readings import DoubtBand, Reading, doubt_band, readings
from model.results.solar_yield import Harvest, harvest
from model.results.wording import name_at
from model.scenario.daily import SkyWord
from model.scenario.scenario import Scenario
from model.scenario.station import Battery, Station
from model.sky.cloud_words import index_of
from model.sky.trip import planned
from model.station.carried_mass import CarriedMass, Item, carried_total, items, shared_extras
from model.station.chemistry import Floats
from model.support.cache import kept_while_it_lives
from model.support.progress import finish
from model.verdict.order import is_guessed

# Steps of trial trips: what is told of them is in tenths of trips and of ampere-hours.
TRIP_STEP_MIN = 30.0
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
    """What runs say of a station: as planned, and under a bad sky.

    Attributes
    ----------
    low : what to switch off when the battery is low.
    odds : of trial trips, each with the skies it is of: those of the season first, where there is
        a climate, then the planned ones; none from a reading on.
    """

    run: StationRun
    planned: UnderSky
    bad: UnderSky
    low: LowBattery
    odds: tuple[tuple[str, StationOdds], ...]
    budget: Budget
    alone: Alone
    harvest: Harvest | None
    readings: tuple[Reading, ...]
    charge_points: tuple[ChargePoint, ...]
    weak_points: tuple[WeakPoint, ...]


@dataclass(frozen=True, eq=False)
class Kit:
    """One station of a scenario as it is packed, connected, run and checked.

    Attributes
    ----------
    index : which station, from 0.
    fingerprint : short mark of the whole input.
    carried, load : the carry list and its totals.
    wiring : boxes and lines of the block diagram, and of the wiring table.
    set_up, pack_up : the steps from a bare place to the air, and back.
    remedies : what to look at where something does not work.
    day_rows : the day as it is worked, with every setting.
    assumptions : all settings on which the figures rest.
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
    wiring: Wiring
    set_up: tuple[Step, ...]
    pack_up: tuple[Step, ...]
    remedies: tuple[Remedy, ...]
    day_rows: tuple[DayRow, ...]
    assumptions: tuple[SettingGroup, ...]
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
    results = None if run is None else _results(comparison, index, run)
    watch = watch_reading(results.readings) if results else None
    aims = results.harvest.aims if results and results.harvest else ()
    return Kit(
        scenario=scenario,
        index=index,
        fingerprint=fingerprint(scenario),
        carried=tuple(items(station, shared)),
        load=carried_total(station, shared),
        wiring=wiring(station, scenario.plan),
        set_up=set_up(station, scenario.plan, watch),
        pack_up=pack_up(station, scenario.plan),
        remedies=remedies(station, scenario.plan),
        day_rows=day_rows(scenario, index, aims),
        assumptions=assumptions(scenario, index),
        doubt=doubt_band(station.battery),
        tested_on=tested_on,
        test_due=tested_on + timedelta(days=TEST_EVERY_DAYS) if tested_on else None,
        findings=tuple(
            finding
            for finding in comparison.findings
            if not finding.path.startswith("stations.")
            or finding.path.startswith(f"stations.{index}.")
        ),
        results=results,
    )


@kept_while_it_lives
def page_odds(comparison: Comparison) -> Rows:
    """Return what trial trips come to, for all stations: of the season and of the planned sky."""
    return finish(search_rows(comparison.scenario, FIRST_TRIPS, step_min=TRIP_STEP_MIN))


def bad_sky(scenario: Scenario) -> SkyWord:
    """Return the sky that the page holds against the planned one: worse than it on every date."""
    worst = max(planned(scenario).weather.index[: scenario.day.days + 1])
    return "rain" if worst <= index_of("overcast", scenario.climate) else "overcast"


def _results(comparison: Comparison, index: int, run: StationRun) -> KitResults:
    scenario = comparison.scenario
    if run.judged_from:
        return _from_now(scenario, index, run)
    trips = page_odds(comparison)
    left_ah = told_up_ah(charge_to_keep(scenario, index, run).keep_ah)
    return _worked_out(
        scenario,
        index,
        run,
        skies=tuple(rerun(each, index) for each in _skies(scenario)),
        low=low_battery(scenario, index, moments(run), left_ah),
        trips=trips,
    )


def _from_now(scenario: Scenario, index: int, run: StationRun) -> KitResults:
    """Return what is said from a reading on: a trial trip knows nothing of it."""
    at, left_ah = run.clock.at(run.judged_from), float(run.flow.stored_ah[run.judged_from])
    return _worked_out(
        scenario,
        index,
        run,
        skies=tuple(from_now(each, index, at, left_ah) for each in _skies(scenario)),
        low=low_battery(scenario, index, (Noticed(NOW, at),), left_ah),
        trips=None,
    )


def _skies(scenario: Scenario) -> tuple[Scenario, Scenario]:
    return under_sky(scenario, "clear"), under_sky(scenario, bad_sky(scenario))


def _worked_out(
    scenario: Scenario,
    index: int,
    run: StationRun,
    *,
    skies: tuple[StationRun, ...],
    low: LowBattery,
    trips: Rows | None,
) -> KitResults:
    clear, bad = skies
    every = trips.all if trips is not None else ()
    odds = [(head_words(of), found) for of in every if (found := of.stations[index]) is not None]
    return KitResults(
        run=run,
        planned=_under_sky(run),
        bad=_under_sky(bad),
        low=low,
        odds=tuple(odds),
        budget=power_budget(run),
        alone=battery_alone(scenario, index, run),
        harvest=harvest(run, clear, bad),
        readings=readings(run, clear),
        charge_points=charge_points(run, index, trips.forecast if trips is not None else None),
        weak_points=weak_points(run),
    )


def _under_sky(run: StationRun) -> UnderSky:
    return UnderSky(
        run.clocks, run.fraction, run.lowest.value, run.reserve_crossed_at, is_guessed(run)
    )


def _tested_on(battery: Battery) -> date | None:
    source = battery.source_of("tested_fraction")
    return source.on if source.origin == "measured" else None
