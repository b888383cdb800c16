"""A climate table as days: its light, its seasons, its bounds."""

from __future__ import annotations

import numpy as np
import pytest

from model.sky.clear_sky_index import usual_spread
from model.sky.climate_days import draw_years
from model.sky.daily_climate import daily_climate, daily_index, monthly_index, winter_share
from model.sky.monthly_nodes import MONTH_OF_DAY, monthly_means

DAYS = np.arange(365)
SWING = np.cos(2.0 * np.pi * (DAYS - 172) / 365.0)
OUTSIDE = 6000.0 + 4500.0 * SWING
CLEAR = OUTSIDE * (0.72 + 0.04 * SWING)
CLEARNESS = np.array([0.35, 0.4, 0.45, 0.48, 0.5, 0.52, 0.53, 0.5, 0.47, 0.42, 0.36, 0.33])
LOWS, HIGHS = np.linspace(-5.0, 12.0, 12), np.linspace(3.0, 25.0, 12)


def climate(**rest):
    given = {
        "clearness": CLEARNESS, "low_c": LOWS, "high_c": HIGHS, "latitude_deg": 50.0,
        "extraterrestrial_wh_m2": OUTSIDE, "clear_wh_m2": CLEAR,
    }  # fmt: skip
    return daily_climate(**(given | rest))


def light_of_months(daily):
    return np.array([daily[month == MONTH_OF_DAY].sum() for month in range(12)])


def test_the_mean_days_give_the_light_of_the_clearness():
    light = light_of_months(climate().mean_index * CLEAR)
    assert light == pytest.approx(CLEARNESS * light_of_months(OUTSIDE), rel=1e-9)


def test_the_same_clearness_is_a_brighter_sky_under_a_low_sun():
    index = monthly_index(np.full(12, 0.45), OUTSIDE, CLEAR)
    assert index[11] > index[5]
    assert index[5] == pytest.approx(0.45 / 0.76, rel=0.01)


def test_lows_and_highs_keep_their_means():
    found = climate()
    assert monthly_means(found.low_c) == pytest.approx(LOWS, abs=1e-9)
    assert monthly_means(found.high_c) == pytest.approx(HIGHS, abs=1e-9)


def test_without_a_spread_the_means_and_the_swing_of_the_year_make_it():
    found = climate()
    swing = (LOWS[11] + HIGHS[11] - LOWS[0] - HIGHS[0]) / 2.0
    assert found.sd_index == pytest.approx(usual_spread(found.mean_index, swing), rel=1e-9)
    inland = climate(low_c=2.0 * LOWS, high_c=2.0 * HIGHS)
    assert (inland.sd_index > 1.05 * found.sd_index).all()


def test_a_given_spread_goes_in_proportion_to_the_index():
    found = climate(clearness_sd=np.full(12, 0.14))
    expected = 0.14 * monthly_index(CLEARNESS, OUTSIDE, CLEAR) / CLEARNESS
    assert monthly_means(found.sd_index) == pytest.approx(expected, rel=1e-6)


@pytest.mark.parametrize("clearness", [0.04, 0.95])
def test_days_of_the_darkest_and_the_brightest_means_still_differ(clearness):
    assert climate(clearness=np.full(12, clearness)).sd_index.min() > 0.05


def test_a_month_without_light_takes_part_in_no_mean():
    night = np.where(MONTH_OF_DAY == 11, 0.0, CLEAR)
    outside = np.where(MONTH_OF_DAY == 11, 0.0, OUTSIDE)
    index = monthly_index(CLEARNESS, outside, night)
    lit = (CLEARNESS * light_of_months(outside)).sum() / night.sum()
    assert index[11] == pytest.approx(lit)
    found = climate(extraterrestrial_wh_m2=outside, clear_wh_m2=night)
    assert np.isfinite(found.mean_index).all()


def test_a_day_has_the_light_of_its_clearness():
    clearness = np.random.default_rng(1).uniform(0.1, 0.7, (2, 365))
    clearness[1, 7] = np.nan
    found = daily_index(clearness, OUTSIDE, CLEAR)
    expected = np.full((2, 365), np.nan)
    lit = np.isfinite(clearness)
    expected[lit] = (clearness * OUTSIDE)[lit] / np.broadcast_to(CLEAR, (2, 365))[lit]
    assert found == pytest.approx(expected, nan_ok=True)


def test_a_day_without_light_has_nothing_to_lose():
    night = np.where(DAYS < 9, 0.0, CLEAR)
    found = daily_index(np.where(DAYS == 3, np.nan, 0.5), OUTSIDE, night)
    assert found[0] == 1.0
    assert np.isnan(found[3])
    assert found[9] == pytest.approx(0.5 * OUTSIDE[9] / CLEAR[9])


def test_winter_is_in_january_north_and_in_july_south():
    north, south, equator = winter_share(50.0), winter_share(-50.0), winter_share(0.0)
    assert abs(int(north.argmax()) - 14) <= 1
    assert abs(int(south.argmax()) - 196) <= 1
    assert north.max() == pytest.approx(1.0, abs=1e-4)
    assert north + south == pytest.approx(np.ones(365))
    assert equator == pytest.approx(np.full(365, 0.5))
    # The swing grows with latitude without a step.
    assert abs(winter_share(0.1) - winter_share(-0.1)).max() < 0.01


@pytest.mark.parametrize("clearness", [0.0, 0.02, 0.5, 0.98])
@pytest.mark.parametrize("sd", [None, 0.0, 0.1, 0.5])
def test_whatever_a_table_may_hold_days_can_be_drawn(clearness, sd):
    spread = None if sd is None else np.full(12, sd)
    given = climate(clearness=np.full(12, clearness), clearness_sd=spread)
    drawn = draw_years(given, 3, np.random.default_rng(1)).index
    assert np.isfinite(drawn).all()
    assert drawn.min() >= 0.0
    assert drawn.max() <= 1.25


@pytest.mark.parametrize(
    ("rest", "word"),
    [
        ({"clearness": np.full(11, 0.5)}, "clearness"),
        ({"clearness": np.full(12, -0.1)}, "clearness"),
        ({"clearness_sd": np.full(12, -0.1)}, "clearness_sd"),
        ({"clearness_sd": np.zeros(3)}, "clearness_sd"),
        ({"low_c": np.zeros(3)}, "twelve"),
    ],
)
def test_a_table_that_cannot_be_is_refused(rest, word):
    with pytest.raises(ValueError, match=word):
        climate(**rest)
