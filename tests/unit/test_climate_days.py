"""Drawn days: repeatable, within bounds, with the means, the lag and the temperatures asked for."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from scipy.stats import norm

from model.sky.clear_sky_index import HIGHEST_INDEX, LOWEST_INDEX
from model.sky.climate_days import (
    HIGH_PER_INDEX,
    HIGH_SD_C,
    LOW_PER_INDEX,
    draw_days,
    draw_years,
    normal_share,
)
from model.sky.daily_climate import daily_climate

EVEN = np.ones(365)


def climate(latitude_deg=50.0, index=0.6, low_c=2.0, high_c=30.0, **rest):
    return daily_climate(
        np.full(12, index * 0.75), np.full(12, low_c), np.full(12, high_c),
        latitude_deg=latitude_deg, extraterrestrial_wh_m2=EVEN * 8000.0,
        clear_wh_m2=EVEN * 6000.0, **rest,
    )  # fmt: skip


def chance(seed=1):
    return np.random.default_rng(seed)


def test_the_same_seed_gives_the_same_days():
    one, other = (draw_days(climate(), 90, 4, 30, chance()) for _ in range(2))
    assert np.array_equal(one.index, other.index)
    assert np.array_equal(one.low_c, other.low_c)
    assert not np.array_equal(one.index, draw_days(climate(), 90, 4, 30, chance(2)).index)


@pytest.mark.parametrize("trips", [1, 2, 7])
def test_the_arrays_have_a_row_for_each_trip(trips):
    drawn = draw_days(climate(), 360, 9, trips, chance())
    assert drawn.index.shape == drawn.low_c.shape == drawn.high_c.shape == (trips, 9)
    assert draw_years(climate(), 3, chance()).index.shape == (3, 365)


def test_a_run_over_new_year_takes_january_after_december():
    marked = climate()
    high = marked.high_c.copy()
    high[:5] = 500.0
    drawn = draw_days(replace(marked, high_c=high), 363, 4, 50, chance())
    assert (drawn.high_c[:, :2] < 100.0).all()
    assert (drawn.high_c[:, 2:] > 400.0).all()


def test_normal_shares_are_those_of_scipy():
    score = np.linspace(-6.5, 6.5, 9999)
    assert normal_share(score) == pytest.approx(norm.cdf(score), abs=2e-6)


@pytest.mark.parametrize("index", [0.3, 0.6, 0.95])
@pytest.mark.parametrize("sd", [None, np.full(12, 0.12)])
def test_mean_and_spread_are_those_of_the_climate(index, sd):
    given = climate(index=index, clearness_sd=sd)
    drawn = draw_days(given, 0, 3, 40_000, chance()).index
    # 40,000 draws: the error of a mean is about a two-hundredth of the spread.
    assert drawn.mean(axis=0) == pytest.approx(given.mean_index[:3], abs=0.004)
    assert drawn.std(axis=0) == pytest.approx(given.sd_index[:3], rel=0.02)


def test_a_year_stands_a_twelfth_off_and_days_within_it_hold_on_by_a_quarter():
    drawn = draw_years(climate(), 400, chance()).index
    means = drawn.mean(axis=1)
    # .08 by the year and, by 365 days, .25 / .6 * sqrt(1.25 / .75 / 365) = .03 on top.
    assert means.std() / means.mean() == pytest.approx(np.hypot(0.08, 0.03), rel=0.12)
    rank = drawn.ravel().argsort().argsort().reshape(drawn.shape)
    score = norm.ppf((rank + 0.5) / drawn.size)
    apart = score - score.mean(axis=1, keepdims=True)
    lags = [np.corrcoef(row[1:], row[:-1])[0, 1] for row in apart]
    assert np.mean(lags) == pytest.approx(0.25, abs=0.02)


def test_without_a_year_of_its_own_only_days_differ():
    drawn = draw_years(climate(), 400, chance(), year_sd=0.0).index
    means = drawn.mean(axis=1)
    assert means.std() / means.mean() == pytest.approx(0.03, rel=0.15)


def test_no_year_carries_a_day_beyond_the_bounds():
    drawn = draw_years(climate(index=1.0), 50, chance(), year_sd=0.5).index
    assert drawn.min() >= LOWEST_INDEX
    assert drawn.max() <= HIGHEST_INDEX


def test_few_trips_have_the_mean_light_already():
    # 200 trips of one day each on their own would miss the mean by .26 / sqrt(200) = .018.
    misses = [
        draw_days(climate(), 100, 1, 200, chance(seed)).index.mean() - 0.6 for seed in range(40)
    ]
    assert np.std(misses) < 0.006


def slopes_on(latitude_deg, first_day):
    drawn = draw_days(climate(latitude_deg), first_day, 1, 40_000, chance())
    index = drawn.index[:, 0]
    return tuple(np.polyfit(index, air[:, 0], 1)[0] for air in (drawn.low_c, drawn.high_c))


@pytest.mark.parametrize(("latitude_deg", "mid_winter"), [(50.0, 14), (-50.0, 196)])
def test_a_bright_day_has_a_cold_winter_night_and_a_warm_summer_noon(latitude_deg, mid_winter):
    winter = slopes_on(latitude_deg, mid_winter)
    summer = slopes_on(latitude_deg, (mid_winter + 182) % 365)
    # The error of a slope over 40,000 days is about 3.3 / (.26 * 200) = .06.
    assert winter == pytest.approx((LOW_PER_INDEX[0], HIGH_PER_INDEX[0]), abs=0.25)
    assert summer == pytest.approx((LOW_PER_INDEX[1], HIGH_PER_INDEX[1]), abs=0.25)


def test_warm_days_follow_warm_days():
    drawn = draw_years(climate(latitude_deg=0.0), 60, chance())
    away = drawn.high_c - np.mean(HIGH_PER_INDEX) * drawn.index
    away = away - away.mean()
    lag = (away[:, 1:] * away[:, :-1]).mean() / (away**2).mean()
    assert lag == pytest.approx(0.7, abs=0.02)
    assert away.std() == pytest.approx(np.mean(HIGH_SD_C), rel=0.03)


def test_a_low_never_stands_above_its_high():
    drawn = draw_years(climate(low_c=9.0, high_c=10.0), 30, chance())
    assert (drawn.low_c <= drawn.high_c).all()
    assert (drawn.low_c == drawn.high_c).any()
    # Where both meet they meet in the middle: the mean of the day stays.
    assert ((drawn.low_c + drawn.high_c) / 2.0).mean() == pytest.approx(9.5, abs=0.2)
