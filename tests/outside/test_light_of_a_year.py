"""A year's light by the program against the sum of the hours of the file, at three places.

With a climate in two ways: as the mean days of its twelve months, which the year and the odds are
made of, and as words for each day by its cover, their losses scaled to the place. Without one by
the words alone. The hours are summed apart from the program (``plain_balance``).
"""

from __future__ import annotations

from datetime import date, timedelta

import numpy as np
import pytest

from model.sky.climate_light import site_climate, year_light
from model.sky.cloud_words import at_the_place, cover_class
from model.sky.daily_weather import DARK_DAY_W_M2, day_sums
from model.sky.monthly_nodes import MONTH_OF_DAY
from tests.outside.file_places import FILES, imported, record
from tests.outside.plain_balance import hours_of


def of_months(daily: np.ndarray) -> np.ndarray:
    return np.array([daily[month == MONTH_OF_DAY].sum() for month in range(12)])


def file_wh_m2(name: str) -> np.ndarray:
    """Light of each day by the hours of the file. [Wh/m2]"""
    return np.array(hours_of(FILES[name]).global_w_m2).reshape(365, 24).sum(axis=1)


def by_words(name: str, *, scaled: bool) -> tuple[np.ndarray, np.ndarray]:
    """Light of each day by the class of its cover, and its claimed spread between places."""
    climate = imported(FILES[name]).climate if scaled else None
    days = day_sums(record(FILES[name]))
    light, claimed = np.zeros(365), np.zeros(365)
    for at in range(365):
        day = days[date(2001, 1, 1) + timedelta(days=at)]
        if day.clear_w_m2 > DARK_DAY_W_M2:
            told = cover_class(min(day.cover_okta, 8.0))
            # One class has no word, but typed eighths come to it.
            light[at] = 24.0 * day.clear_w_m2 * at_the_place(told.index, climate)
            claimed[at] = 24.0 * day.clear_w_m2 * told.sd_between
    return light, claimed


@pytest.mark.parametrize("name", FILES)
def test_the_mean_days_of_a_climate_have_the_light_of_the_file(name):
    # Found within .04 % of the year, and .8 % of every month; so over thirteen files.
    scenario = imported(FILES[name])
    days = site_climate(scenario.site, scenario.climate).mean_index
    light, known = days * year_light(scenario.site).clear_wh_m2, file_wh_m2(name)
    assert light.sum() == pytest.approx(known.sum(), rel=0.01)
    assert of_months(light) == pytest.approx(of_months(known), rel=0.02)


@pytest.mark.parametrize(
    ("name", "months_within"), [("Sand Point", 10), ("Greensboro", 11), ("Miami", 12)]
)
def test_words_scaled_by_a_climate_have_the_light_of_the_file(name, months_within):
    # Found within .1 % of the year; November and December at Sand Point are 10 and 17 % too dark:
    # under a low sun the same cover takes less. Over thirteen files 11 months are within a tenth at
    # eleven places and 10 at two; the worst month is 22 % off (Aberdeen, December).
    light, known = by_words(name, scaled=True)[0], file_wh_m2(name)
    assert light.sum() == pytest.approx(known.sum(), rel=0.01)
    miss = np.abs(of_months(light) / of_months(known) - 1.0)
    assert np.count_nonzero(miss <= 0.10) >= months_within
    assert miss.max() <= 0.20


def test_words_alone_miss_the_year_by_no_more_than_places_are_said_to_differ():
    # Found +20, -3 and -8 % of the year, with 15, 10 and 10 % claimed as one standard deviation.
    # Over thirteen files -8 to +20 %, .8 deviations as a root mean square, 1.3 at the most.
    misses = []
    for name in FILES:
        (light, claimed), known = by_words(name, scaled=False), file_wh_m2(name)
        misses.append((light.sum() - known.sum()) / claimed.sum())
    assert np.sqrt(np.mean(np.square(misses))) <= 1.0
    # Of three draws of a normal one in a hundred goes beyond this.
    assert np.abs(misses).max() <= 2.9
