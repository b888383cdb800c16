"""Days drawn from twelve monthly numbers against the weather years those numbers came from."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.stats import norm

from model.sky.clear_sky_index import index_quantile
from model.sky.climate_days import draw_years
from model.sky.daily_climate import daily_climate
from model.sky.monthly_nodes import MONTH_OF_DAY, monthly_means
from tests.outside.weather_year_files import PLACES, by_month, weather_year

YEARS = 200


def climate_of(name, *, with_spread=False):
    year = weather_year(name)
    return daily_climate(
        year.monthly_clearness,
        by_month(np.mean, year.low_c),
        by_month(np.mean, year.high_c),
        latitude_deg=year.latitude_deg,
        extraterrestrial_wh_m2=year.outside_wh_m2,
        clear_wh_m2=year.clear_wh_m2,
        clearness_sd=year.monthly_clearness_sd if with_spread else None,
    )


def drawn(name, *, with_spread=False, years=YEARS, seed=1):
    climate = climate_of(name, with_spread=with_spread)
    return draw_years(climate, years, np.random.default_rng(seed))


def running_means(daily, days):
    total = np.cumsum(np.insert(daily, 0, 0.0, axis=-1), axis=-1)
    return (total[..., days:] - total[..., :-days]) / days


def rms_spread(index):
    """Root mean square of the spreads within the months, for each year."""
    months = [index[..., month == MONTH_OF_DAY].std(axis=-1) ** 2 for month in range(12)]
    return np.sqrt(np.mean(months, axis=0))


def lag_of_scores(index):
    """Lag-1 correlation of the normal scores by rank within each month."""
    score = np.empty(365)
    for month in range(12):
        here = month == MONTH_OF_DAY
        rank = index[here].argsort().argsort()
        score[here] = norm.ppf((rank + 0.5) / rank.size)
    same_month = MONTH_OF_DAY[1:] == MONTH_OF_DAY[:-1]
    return np.corrcoef(score[1:][same_month], score[:-1][same_month])[0, 1]


@pytest.mark.parametrize("with_spread", [False, True])
@pytest.mark.parametrize("name", PLACES)
def test_the_light_of_every_month_is_that_of_the_file(name, with_spread):
    year = weather_year(name)
    light = drawn(name, with_spread=with_spread).index * year.clear_wh_m2
    found = monthly_means(light).mean(axis=0)
    assert found == pytest.approx(by_month(np.mean, year.light_wh_m2), rel=0.02)


@pytest.mark.parametrize("with_spread", [False, True])
@pytest.mark.parametrize("name", PLACES)
def test_days_spread_as_in_the_file(name, with_spread):
    # Found: 1.06, .92, 1.05 without a spread given; .96, .94, .90 with.
    found = np.sqrt((rms_spread(drawn(name, with_spread=with_spread).index) ** 2).mean())
    assert 0.85 <= found / rms_spread(weather_year(name).index) <= 1.2


@pytest.mark.parametrize("name", PLACES)
def test_days_hold_on_as_in_the_file(name):
    # Ranks within a month of 30 days lose a little of the lag in files and draws alike.
    found = np.mean([lag_of_scores(index) for index in drawn(name, years=60).index])
    assert found == pytest.approx(lag_of_scores(weather_year(name).index), abs=0.15)


@pytest.mark.parametrize("days", [3, 5])
@pytest.mark.parametrize("name", PLACES)
def test_runs_of_dark_days_are_as_frequent_as_in_the_file(name, days):
    dark = (running_means(drawn(name, years=1000).index, days) < 0.4).mean(axis=1)
    low, high = np.quantile(dark, [0.005, 0.995])
    assert low <= (running_means(weather_year(name).index, days) < 0.4).mean() <= high


@pytest.mark.parametrize("with_spread", [False, True])
def test_four_in_five_spells_of_three_days_lie_in_the_band_of_four_in_five(with_spread):
    """Ranks of the file's three-day means among those drawn for the same dates."""
    ranks = []
    for name in PLACES:
        of_draws = running_means(drawn(name, with_spread=with_spread, years=400).index, 3)
        rank = (of_draws < running_means(weather_year(name).index, 3)).mean(axis=0)
        # Found .83, .77, .86 without a spread given; .77, .80, .83 with.
        assert 0.65 <= ((rank > 0.1) & (rank < 0.9)).mean() <= 0.92
        assert (rank < 0.1).mean() < 0.2
        assert (rank > 0.9).mean() < 0.2
        ranks.append(rank)
    pooled = np.concatenate(ranks)
    assert 0.75 <= ((pooled > 0.1) & (pooled < 0.9)).mean() <= 0.85


@pytest.mark.parametrize("name", PLACES)
def test_lows_and_highs_keep_the_means_of_the_file(name):
    year, found = weather_year(name), drawn(name)
    # A low above its high is drawn to the middle: on an island of small swings that is .2 degC.
    for air, of_file in ((found.low_c, year.low_c), (found.high_c, year.high_c)):
        means = monthly_means(air).mean(axis=0)
        assert means == pytest.approx(by_month(np.mean, of_file), abs=0.3)


def slope(index, air, here):
    """Degrees for each unit of index within a season, both less their monthly means."""
    apart = [values - monthly_means(values)[..., MONTH_OF_DAY] for values in (index, air)]
    x, y = (values[..., here].ravel() for values in apart)
    return (x * y).sum() / (x * x).sum()


@pytest.mark.parametrize("name", PLACES)
def test_bright_winter_nights_are_colder_and_bright_summer_noons_warmer(name):
    year, found = weather_year(name), drawn(name)
    winter, summer = np.isin(MONTH_OF_DAY, [11, 0, 1]), np.isin(MONTH_OF_DAY, [5, 6, 7])
    for index, low, high in (
        (year.index, year.low_c, year.high_c),
        (found.index, found.low_c, found.high_c),
    ):
        assert slope(index, low, winter) < -2.0
        assert slope(index, high, summer) > 2.0
        assert slope(index, low, winter) < slope(index, low, summer)


@pytest.mark.parametrize("name", PLACES)
def test_one_form_by_means_alone_follows_the_days_of_a_year(name):
    """Each month's days by rank against the quantiles of its means, all months pooled."""
    year, misses = weather_year(name), []
    spread = monthly_means(climate_of(name).sd_index)
    for month in range(12):
        days = np.sort(year.index[month == MONTH_OF_DAY])
        share = (np.arange(days.size)[:, None] + 0.5) / days.size
        own = index_quantile(share, days.mean(keepdims=True), spread[month : month + 1])
        misses.append(days - own[:, 0])
    assert np.sqrt(np.mean(np.concatenate(misses) ** 2)) < 0.075
