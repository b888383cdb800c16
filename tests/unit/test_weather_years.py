"""Years of days and the months they make."""

from __future__ import annotations

from datetime import date, timedelta
from math import nan
from pathlib import Path

import numpy as np
import pandas as pd
import pytest

from model.files.weather_file import read_weather_file
from model.scenario.climate import Climate, WeatherYear
from model.sky.cloud_words import at_the_place, cover_class
from model.sky.daily_weather import DaySums, day_sums
from model.sky.sun_position import Spot
from model.sky.weather_years import merged_years, months_of, weather_years
from model.sky.word_scales import word_scales
from tests.unit import weather_makers as make

RIDGE = Spot(47.0, 9.5, 900.0)


def year(start: date, *clearness: float, typical: bool = False, low_c: float = 5.0) -> WeatherYear:
    air = [nan if np.isnan(value) else low_c for value in clearness]
    return WeatherYear(start=start, clearness=clearness, low_c=air, high_c=air, typical=typical)


def read(tmp_path: Path, text: str, name: str = "weather") -> dict:
    path = tmp_path / name
    path.write_text(text, encoding="ascii")
    return day_sums(read_weather_file(path))


def test_days_become_a_year_for_each_calendar_year_without_gaps_at_their_ends(
    tmp_path: Path,
) -> None:
    text = make.pvgis_hourly_csv(
        make.DESERT, date(2019, 12, 28), 10, make.share_of(make.DESERT, 0.5)
    )
    first, second = weather_years(read(tmp_path, text), typical=False)
    # In UTC-7 the first UTC hours belong to the day before, of which too little is known.
    assert (first.start, len(first.clearness)) == (date(2019, 12, 28), 4)
    assert second.start == date(2020, 1, 1)
    assert set(first.clearness) | set(second.clearness[:5]) == {0.5}


def test_a_gap_within_stays_a_gap(tmp_path: Path) -> None:
    text = make.epw(make.RIDGE, date(2019, 5, 10), 5, make.share_of(make.RIDGE, 0.5))
    rows = [line for line in text.split("\n") if not line.startswith("2019,5,12,")]
    (only,) = weather_years(read(tmp_path, "\n".join(rows)), typical=False)
    assert only.start == date(2019, 5, 10)
    assert [round(value, 2) for value in only.clearness[:2]] == [0.5, 0.5]
    assert np.isnan([only.clearness[2], only.low_c[2], only.high_c[2]]).all()
    assert [round(value, 2) for value in only.clearness[3:]] == [0.5, 0.5]


def test_years_add_up_and_each_date_stands_once() -> None:
    before = [year(date(2019, 1, 1), 0.1, 0.2, nan), year(date(2001, 1, 1), 0.6, typical=True)]
    new = [year(date(2019, 1, 2), 0.3, 0.4, 0.5), year(date(2020, 6, 1), 0.7)]
    merged = merged_years(before, new)
    assert [(found.start, tuple(found.clearness)) for found in merged] == [
        (date(2019, 1, 1), (0.1, 0.3, 0.4, 0.5)),
        (date(2020, 6, 1), (0.7,)),
        (date(2001, 1, 1), (0.6,)),
    ]
    assert merged_years(merged, new) == merged
    assert merged_years(merged, merged) == merged


def test_a_gap_does_not_put_out_what_is_known() -> None:
    (merged,) = merged_years(
        [year(date(2019, 1, 1), 0.1, 0.2)], [year(date(2019, 1, 1), nan, 0.4, nan, 0.6)]
    )
    assert merged.clearness[:2] == (0.1, 0.4)
    assert np.isnan(merged.clearness[2])
    assert merged.low_c[0] == 5.0


def test_a_month_is_all_its_light_over_all_above_the_air() -> None:
    # By hand: October days at 47 N lose a third of their sun within the month.
    clearness = np.linspace(0.7, 0.3, 31)
    months = months_of(RIDGE, [year(date(2019, 10, 1), *clearness)])
    minutes = pd.date_range("2019-10-01", periods=31 * 144, freq="10min") - pd.Timedelta(hours=1)
    sun = make.above(make.RIDGE, minutes).reshape(31, 144).sum(axis=1)
    assert months.clearness[9] == pytest.approx((clearness * sun).sum() / sun.sum(), rel=0.002)
    assert months.clearness[9] > clearness.mean() + 0.005
    assert months.missing == (1, 2, 3, 4, 5, 6, 7, 8, 9, 11, 12)


def test_days_spread_about_the_mean_of_their_own_year() -> None:
    # By hand: 30 days at .4 and .6 in turn spread by .1 times sqrt(30/29); so do those of a
    # brighter year, and how the years differ is no spread of days.
    dull, bright = [0.3, 0.5] * 15, [0.5, 0.7] * 15
    months = months_of(RIDGE, [year(date(2019, 6, 1), *dull), year(date(2020, 6, 1), *bright)])
    assert months.clearness_sd[5] == pytest.approx(0.1 * np.sqrt(30 / 29), rel=1e-6)
    assert months.clearness[5] == pytest.approx(0.5, abs=0.001)
    assert months.days[5] == 60


def test_too_few_days_make_no_month() -> None:
    assert np.isnan(months_of(RIDGE, [year(date(2019, 6, 1), *[0.5] * 19)]).clearness[5])
    assert months_of(RIDGE, [year(date(2019, 6, 1), *[0.5] * 20)]).clearness[5] == 0.5


def test_a_month_without_sun_has_no_clearness_and_misses_nothing() -> None:
    months = months_of(Spot(75.0, 20.0, 0.0), [year(date(2019, 12, 1), *[0.0] * 31)])
    assert months.clearness[11] == 0.0
    assert months.low_c[11] == 5.0
    assert 12 not in months.missing


def sums(okta: float, index: float) -> DaySums:
    """A whole day of 200 W/m2 under the clear sky."""
    return DaySums(
        ghi_w_m2=200.0 * index, sun_w_m2=300.0, whole_sun_w_m2=300.0, clear_w_m2=200.0,
        given_w_m2=200.0 * index, dark_w_m2=0.0, given_moment_min=0.0, sun_moment_min=0.0,
        low_c=0.0, high_c=9.0, air_hours=24.0, cover_sum_okta=12.0 * okta, cover_hours=12.0,
    )  # fmt: skip


OKTAS = (0.5, 2.0, 4.0, 6.0, 7.5, 8.0)


@pytest.mark.parametrize(("clear", "losses", "spread"), [(0.9, 0.7, 0.6), (1.05, 1.4, 1.3)])
def test_words_are_scaled_as_the_days_of_a_place_have_it(
    clear: float, losses: float, spread: float
) -> None:
    chance = np.random.default_rng(1)
    days = []
    for okta in OKTAS * 300:
        one = cover_class(okta)
        mean = clear * 1.03 - losses * (1.03 - one.index)
        sd = np.hypot(spread * one.sd_within, one.sd_scaled)
        days.append(sums(okta, mean + sd * chance.standard_normal()))
    found = word_scales(days)
    assert found is not None
    assert found.days == len(days)
    assert found[:3] == pytest.approx((clear, losses, spread), abs=0.03)


@pytest.mark.parametrize("oktas", [(4.0,), (0.5,), OKTAS])
def test_the_light_of_all_days_is_met_by_the_scaled_words(oktas: tuple[float, ...]) -> None:
    days = [sums(okta, 0.8 * cover_class(okta).index + 0.05) for okta in oktas * 90]
    found = word_scales(days)
    assert found is not None
    months = {"low_c": [0.0] * 12, "high_c": [9.0] * 12, "clearness": [0.4] * 12}
    climate = Climate.model_validate(
        months | {"clear_scale": found.clear_ratio, "loss_scale": found.losses}
    )
    words = [at_the_place(cover_class(day.cover_okta).index, climate) for day in days]
    assert np.mean(words) * 200.0 == pytest.approx(np.mean([day.ghi_w_m2 for day in days]))


def test_days_of_one_class_alone_tell_of_clear_days_and_losses_as_places_differ() -> None:
    found = word_scales([sums(4.0, 0.76)] * 90)
    assert found is not None
    # By hand, of .08 too little: two normal spreads, .05 of clear days and .19 x .2 of losses,
    # share it by their squares.
    of_losses = 0.08 * (0.19 * 0.2) ** 2 / (0.05**2 + (0.19 * 0.2) ** 2)
    assert found.losses == pytest.approx(1.0 + of_losses / 0.19)
    assert found.clear_ratio * 1.03 == pytest.approx(1.03 - (0.08 - of_losses))


def test_the_light_of_files_with_cover_is_that_of_the_scaled_words(tmp_path: Path) -> None:
    place = make.RIDGE

    def clouded(times: pd.DatetimeIndex) -> np.ndarray:
        # 5 tenths, 4 eighths, are "mixed": .16 is lost by the table of words.
        return make.clear(place, times) * (1.0 - 1.5 * 0.16)

    days = read(tmp_path, make.epw(place, date(2019, 4, 1), 70, clouded, tenths=5))
    found = word_scales(days.values())
    assert found is not None
    # Turbidity in steps of months instead of a line through them moves the clear sky by .01.
    mixed = found.clear_ratio * 1.03 - found.losses * 0.19
    assert mixed == pytest.approx(1.0 - 1.5 * 0.16, abs=0.015)
    assert found.days == 70


def test_without_cloud_cover_or_with_few_days_words_are_not_scaled(tmp_path: Path) -> None:
    light = make.share_of(make.RIDGE, 0.5)
    without = read(tmp_path, make.epw(make.RIDGE, date(2019, 4, 1), 70, light))
    assert word_scales(without.values()) is None
    few = read(tmp_path, make.epw(make.RIDGE, date(2019, 4, 1), 10, light, tenths=5))
    assert word_scales(few.values()) is None
    assert {day.cover_okta for day in few.values()} == {4.0}
    assert date(2019, 4, 1) + timedelta(days=9) in few
