"""How long it takes to draw skies, each figure beside drawing as many normal numbers alone.

Read the medians; nothing here fails on time. Run with ``sh tests/run tests/bench``.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np
import pytest

from model.sky.climate_days import draw_days, draw_years
from model.sky.daily_climate import DailyClimate, daily_climate

Benchmark = Callable[..., Any]
TRIPS, DAYS, YEARS = 2000, 4, 200
# A sky is drawn from one score a day and one of the year, its air from two more.
SCORES_A_DAY = 3
SPREADS = {"usual": None, "given": np.full(12, 0.15)}


def climate(spread: str) -> DailyClimate:
    return daily_climate(
        np.linspace(0.35, 0.55, 12), np.full(12, 2.0), np.full(12, 14.0), latitude_deg=50.0,
        extraterrestrial_wh_m2=np.full(365, 8000.0), clear_wh_m2=np.full(365, 6000.0),
        clearness_sd=SPREADS[spread],
    )  # fmt: skip


@pytest.mark.parametrize("spread", SPREADS)
def test_two_thousand_trips_of_four_days(benchmark: Benchmark, spread: str) -> None:
    given = climate(spread)
    drawn = benchmark(lambda: draw_days(given, 100, DAYS, TRIPS, np.random.default_rng(1)))
    assert drawn.index.shape == (TRIPS, DAYS)


def test_floor_of_the_trips_normal_numbers_alone(benchmark: Benchmark) -> None:
    size = (TRIPS, SCORES_A_DAY * DAYS)
    drawn = benchmark(lambda: np.random.default_rng(1).standard_normal(size))
    assert drawn.shape == size


@pytest.mark.parametrize("spread", SPREADS)
def test_two_hundred_years(benchmark: Benchmark, spread: str) -> None:
    given = climate(spread)
    drawn = benchmark(lambda: draw_years(given, YEARS, np.random.default_rng(1)))
    assert drawn.index.shape == (YEARS, 365)


def test_floor_of_the_years_normal_numbers_alone(benchmark: Benchmark) -> None:
    size = (YEARS, SCORES_A_DAY * 365)
    drawn = benchmark(lambda: np.random.default_rng(1).standard_normal(size))
    assert drawn.shape == size


@pytest.mark.parametrize("spread", SPREADS)
def test_a_climate_table_as_days(benchmark: Benchmark, spread: str) -> None:
    assert benchmark(climate, spread).mean_index.shape == (365,)
