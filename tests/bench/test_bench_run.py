"""How long a comparison takes, each figure beside what the libraries alone need for the same run.

Read the medians; nothing here fails on time. Run with ``sh tests/run tests/bench``.
"""

from __future__ import annotations

import itertools
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pandas as pd
import pvlib

from model.engine import run
from model.engine.comparison import Comparison, simulate
from model.engine.step import advance
from model.files.scenario_file import read_scenario
from model.scenario.scenario import Scenario
from model.sky import clear_sky, timeline, weather
from model.sky import irradiance as sun
from model.station import cell_temperature, loads
from model.station import plan_steps as agenda
from tests.planned import station_inputs

RIDGE = Path(__file__).parents[2] / "scenarios" / "ridge-weekend.toml"
Benchmark = Callable[..., Any]


def ridge_day() -> Scenario:
    scenario = read_scenario(RIDGE)
    day = scenario.day.model_copy(
        update={"days": 1, "sky": ("mostly clear",), "low_c": (3.0,), "high_c": (13.0,)}
    )
    return scenario.model_copy(update={"day": day})


def forget() -> None:
    """Empty every cache of the model, so that the next run is the first."""
    for module in (agenda, cell_temperature, clear_sky, loads, run, sun, timeline, weather):
        for thing in list(vars(module).values()):
            if not isinstance(thing, type) and hasattr(thing, "cache_clear"):
                thing.cache_clear()


def outcomes(comparison: Comparison) -> float:
    return sum(
        ran.sums.load_ah + ran.lowest.value + len(vars(ran.clocks))
        for ran in comparison.runs
        if ran is not None
    )


def test_two_stations_a_day_cold(benchmark: Benchmark) -> None:
    scenario = ridge_day()
    outcomes(simulate(scenario))
    total = benchmark.pedantic(
        lambda: outcomes(simulate(scenario)), setup=forget, rounds=15, iterations=1
    )
    assert total > 0


def test_floor_of_the_cold_run_sun_and_sky_by_the_library(benchmark: Benchmark) -> None:
    """Floor: one solar position and one clear sky for the same 1,440 minutes."""
    times = pd.date_range("2027-04-17 06:00", periods=1440, freq="1min", tz="UTC")

    def library_only() -> float:
        position = pvlib.solarposition.get_solarposition(times, 50.7, 10.8, 740.0)
        clear = pvlib.clearsky.ineichen(position["apparent_zenith"], 2.0, 4.0)
        return float(clear["ghi"].sum())

    assert benchmark(library_only) > 0


def test_two_stations_a_day_after_a_change_of_battery(benchmark: Benchmark) -> None:
    scenario = ridge_day()
    outcomes(simulate(scenario))
    size = itertools.count(1)

    def changed() -> float:
        add_ah = next(size) * 0.01
        stations = tuple(
            station.model_copy(
                update={
                    "battery": station.battery.model_copy(
                        update={"capacity_ah": station.battery.capacity_ah + add_ah}
                    )
                }
            )
            for station in scenario.stations
        )
        return outcomes(simulate(scenario.model_copy(update={"stations": stations})))

    assert benchmark.pedantic(changed, rounds=60, iterations=1, warmup_rounds=3) > 0


def test_floor_of_the_changed_run_the_step_rule_alone(benchmark: Benchmark) -> None:
    """Floor: both batteries carried through 1,440 steps, all inputs ready."""
    scenario = ridge_day()
    ready = [
        station_inputs(scenario.site, scenario.day, scenario.plan, station)
        for station in scenario.stations
    ]

    def steps_only() -> float:
        return sum(
            advance(inputs.course, inputs.bounds, inputs.start, 1 / 60)[1].stored_ah
            for inputs in ready
        )

    assert benchmark(steps_only) > 0


def test_floor_of_any_run_summing_the_loads(benchmark: Benchmark) -> None:
    """Floor: the same loads summed by numpy, no volts, no limits."""
    runs = [ran for ran in simulate(ridge_day()).runs if ran is not None]
    loads_ah = [ran.flow.load_a / 60 for ran in runs]
    assert benchmark(lambda: sum(float(np.cumsum(one)[-1]) for one in loads_ah)) > 0
