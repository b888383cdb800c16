"""Odds from twelve monthly means against odds from the days themselves, at three places.

The weather years are those that the solar library installs (``weather_year_files``). Nothing of a
place but its twelve means goes into the days that are drawn, and nothing is fitted to them here.
The same by other seeds: ``python -m tests.outside.test_odds_years --seeds N``.
"""

from __future__ import annotations

import argparse
import sys
from datetime import date
from functools import cache

import numpy as np
import pytest
from numpy.random import default_rng

from model.editing.paths import with_value
from model.odds.shares import TRIPS_OF_A_CLIMATE
from model.odds.trip_runs import search_trip_runs
from model.odds.trips import Basis, Varied, draw_trips
from model.scenario.scenario import Scenario
from model.support.progress import finish
from tests.laws.sample_kits import question, small_kit
from tests.outside.weather_year_files import PLACES, by_month, weather_year

# Longitude, zone without summer time, and a panel [W] with which the odds of the year are open.
WHERE = {
    "Sand Point": (-160.5, "Etc/GMT+9", 75.0),
    "Greensboro": (-79.95, "Etc/GMT+5", 38.0),
    "Miami": (-80.27, "Etc/GMT+5", 34.0),
}
TRIPS = 372
DAYS = 3
SKY_ALONE = Varied(plan=False, numbers=False)


@cache
def at(place: str) -> Scenario:
    """A radio that listens for three days at a place, with its year and its twelve months."""
    year, (longitude, zone, rated_w) = weather_year(place), WHERE[place]
    kit = small_kit()
    del kit["amplifier"], kit["tuner"]
    kit["battery"] |= {"capacity_ah": 13.0}
    kit["panel"] |= {"rated_w": rated_w}
    kit["start_fraction"] = 1.0
    kit["radio"] |= {"receive_a": 0.45}
    scenario = question(kit, days=DAYS)
    site = scenario.site.model_copy(
        update={
            "latitude_deg": year.latitude_deg, "longitude_deg": longitude, "timezone": zone,
            "elevation_m": 5.0,
        }
    )  # fmt: skip
    clearness = np.clip(year.light_wh_m2 / year.outside_wh_m2, 0.0, 1.0)
    days = {
        "start": date(2026, 1, 1), "typical": True, "clearness": clearness.round(3).tolist(),
        "low_c": year.low_c.tolist(), "high_c": year.high_c.tolist(),
    }  # fmt: skip
    months = {
        "clearness": year.monthly_clearness.round(3).tolist(),
        "low_c": by_month(np.mean, year.low_c).round(1).tolist(),
        "high_c": by_month(np.mean, year.high_c).round(1).tolist(),
        "years": [days],
    }
    plan = tuple(
        type(scenario.plan[0]).model_validate(row)
        for row in [{"start": "00:00", "end": "24:00", "activity": "watch"}]
    )
    moved = scenario.model_copy(update={"site": site, "plan": plan})
    return with_value(moved, "climate", months)


def by_months(place: str, basis: Basis, seed: int) -> np.ndarray:
    """Odds of keeping the reserve on trips about the middle of each month."""
    found = []
    for month in range(1, 13):
        scenario = with_value(at(place), "day.date", date(2026, month, 15))
        drawn = draw_trips(scenario, TRIPS, default_rng(seed), basis=basis, varied=SKY_ALONE)
        (runs,) = finish(search_trip_runs(drawn, with_charge=False))
        found.append(runs.holds.mean())
    return np.array(found)


@cache
def misses(place: str, seed: int) -> tuple[np.ndarray, np.ndarray]:
    """Odds from the days, and by how much those from the means are higher."""
    days = by_months(place, "years", seed)
    return days, by_months(place, "climate", seed) - days


@pytest.mark.parametrize("place", PLACES)
def test_odds_from_twelve_means_are_near_those_of_the_days(place):
    days, miss = misses(place, 1)
    assert np.abs(miss).mean() <= 0.10
    assert np.abs(miss).max() <= 0.25
    # A year in which nothing is open would prove nothing.
    assert np.count_nonzero((days > 0.1) & (days < 0.9)) >= 4


def test_the_bounds_of_a_climate_are_as_wide_as_its_misses():
    pooled = np.concatenate([misses(place, 1)[1] for place in PLACES])
    claimed = np.sqrt(0.25 / TRIPS_OF_A_CLIMATE)
    assert np.sqrt(np.mean(pooled**2)) <= claimed


if __name__ == "__main__":
    given = argparse.ArgumentParser(description=__doc__)
    given.add_argument("--seeds", type=int, default=3)
    for seed in range(given.parse_args().seeds):
        for name in PLACES:
            days, miss = misses(name, seed)
            told = f"days {days.round(2).tolist()}, missed by {miss.round(2).tolist()}"
            sys.stdout.write(f"{seed} {name}: {told}\n")
