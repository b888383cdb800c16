"""Speed of the batch form: 10,000 kits at ten-minute steps. Measured, never asserted."""

from __future__ import annotations

import numpy as np
import pytest

from model.editing.paths import with_value
from model.engine.batch import run_batch
from model.engine.fleet import Fleet, fleet_of_one
from model.odds.odds import FIRST_TRIPS, USUAL_TRIPS, odds
from model.sizing.year import season_year
from tests.laws.sample_kits import question, small_kit
from tests.laws.test_batch_season import ALPINE
from tests.planned import station_inputs

KITS = 10_000


def fleet_of_capacities(days: int, panel: str) -> Fleet:
    kit = small_kit()
    if panel == "none":
        del kit["panel"]
    else:
        kit["controller"] = kit["controller"] | {"kind": panel}
    scenario = question(kit, days=days)
    inputs = station_inputs(
        scenario.site, scenario.day, scenario.plan, scenario.stations[0], (), 10.0
    )
    by, bounds, course = np.linspace(0.2, 3.0, KITS), inputs.bounds, inputs.course
    return fleet_of_one(
        inputs,
        KITS,
        limits={
            "full_ah": bounds.full_ah * by,
            "charge_limit_a": bounds.charge_limit_a * by,
            "discharge_limit_a": bounds.discharge_limit_a * by,
        },
        course={
            "resistance_ohm": np.outer(course.resistance_ohm, 1 / by),
            "floor_ah": np.outer(course.floor_ah, by),
        },
        start_ah=bounds.full_ah * by,
    )


@pytest.mark.parametrize("panel", ["mppt", "pwm", "none"])
@pytest.mark.parametrize("days", [1, 3])
def test_ten_thousand_kits(benchmark, days, panel):
    fleet = fleet_of_capacities(days, panel)
    outcomes = benchmark.pedantic(run_batch, args=(fleet,), rounds=3, warmup_rounds=1)
    assert outcomes.end_fraction.shape == (KITS,)
    holds = np.isinf(outcomes.first_end_h)
    assert (np.diff(outcomes.lowest_fraction[holds]) >= -1e-9).all()


@pytest.mark.parametrize("trips", [FIRST_TRIPS, USUAL_TRIPS])
def test_trial_trips_of_three_days_of_two_stations(benchmark, trips):
    scenario = question(days=3)
    found = benchmark.pedantic(lambda: odds(scenario, trips), rounds=3, warmup_rounds=1)
    assert all(station is not None for station in found.stations)


def test_a_floor_of_the_trips_one_pass_over_as_many_numbers(benchmark):
    """What no answer can undercut: a dozen arrays of steps and trips, each written once."""
    steps = 3 * 144
    rows = [np.ones((steps, USUAL_TRIPS)) for _ in range(2)]

    def once():
        for _ in range(24):
            np.multiply(rows[0], 1.01, out=rows[1])

    benchmark.pedantic(once, rounds=3, warmup_rounds=1)


def test_a_year_of_two_stations(benchmark):
    scenario = with_value(question(), "climate", ALPINE)
    year = benchmark.pedantic(season_year, args=(scenario,), rounds=3, warmup_rounds=1)
    assert len(year.dates) == 365
