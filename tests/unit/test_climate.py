"""The climate of a place and its years: what a file may hold, and what it costs to compare."""

from __future__ import annotations

from datetime import UTC, date, datetime
from math import isnan, nan

import numpy as np
import pandas as pd
import pvlib
import pytest

from model.editing.faults import ScenarioError
from model.editing.paths import with_value
from model.files.journal import _entry_of, _line
from model.files.scenario_file import dump_scenario, parse_scenario
from model.files.work_record import UndoStep, Work, WorkWriter, read_left
from model.scenario.climate import Climate, WeatherYear
from model.scenario.scenario import Scenario, Site
from model.sky.climate_light import (
    clear_clearness,
    climate_like,
    monthly_clearness,
    year_light,
)
from model.sky.daily_climate import monthly_index
from tests.laws.sample_kits import question, small_kit

MONTHS = {"low_c": [0.0] * 12, "high_c": [9.0] * 12, "clearness": [0.4] * 12}
YEAR = {
    "start": date(2024, 1, 1),
    "clearness": [0.31, nan, 0.62] * 122,
    "low_c": [-3.25, 1.5, nan] * 122,
    "high_c": [4.0, 9.0, nan] * 122,
}


def scenario(**climate) -> Scenario:
    return with_value(question(small_kit()), "climate", MONTHS | climate)


def test_years_with_gaps_survive_a_file():
    held = scenario(years=[YEAR, YEAR | {"typical": True, "start": date(2023, 1, 1)}])
    text = dump_scenario(held)
    assert "nan" in text
    again = parse_scenario(text.encode())
    assert again == held
    assert hash(again.climate) == hash(held.climate)
    assert isnan(again.climate.years[1].clearness[1])
    assert again.climate.years[1].typical


def test_one_day_that_differs_makes_another_year():
    one = WeatherYear.model_validate(YEAR)
    other = WeatherYear.model_validate(YEAR | {"low_c": [-3.26, *YEAR["low_c"][1:]]})
    assert one == WeatherYear.model_validate(YEAR)
    assert one != other
    assert len({one, other, WeatherYear.model_validate(YEAR)}) == 2
    assert one.model_copy(update={"low_c": other.low_c}) == other


@pytest.mark.parametrize(
    ("climate", "words"),
    [
        ({"clearness": [0.4] * 11}, "climate.clearness: must hold exactly 12 entries, got 11"),
        ({"clearness": [1.1, *[0.4] * 11]}, "climate.clearness.0: must be at most 1, got 1.1"),
        (
            {"clearness_sd": [0.6, *[0.1] * 11]},
            "climate.clearness_sd.0: must be at most 0.5, got 0.6",
        ),
        ({"loss_scale": 0.1}, "climate.loss_scale: must be at least 0.2, got 0.1"),
        ({"clear_scale": 1.2}, "climate.clear_scale: must be at most 1.15, got 1.2"),
        ({"spread_scale": 0.0}, "climate.spread_scale: must be at least 0.3, got 0"),
        ({"years": [YEAR] * 21}, "climate.years: must hold at most 20 entries, got 21"),
        (
            {"years": [YEAR | {"clearness": [0.3, 1.5]}]},
            "climate.years.0.clearness.1: must be a number from 0 to 1, or nan where the day is"
            " missing",
        ),
        (
            {"years": [YEAR | {"clearness": [0.3] * 367}]},
            "climate.years.0.clearness: must hold 1 to 366 entries, got 367",
        ),
        (
            {"years": [YEAR | {"low_c": [1.0]}]},
            "climate.years.0.low_c: must hold as many days as clearness, 366, got 1",
        ),
    ],
)
def test_a_fault_of_a_climate_says_where_and_what_would_be_right(climate, words):
    with pytest.raises(ScenarioError) as caught:
        scenario(**climate)
    assert [str(fault) for fault in caught.value.faults] == [words]


def test_years_stand_once_in_a_journal_however_much_is_edited():
    base = scenario(years=[YEAR])
    edited = with_value(base, "title", "Other")
    writer, now = WorkWriter(), datetime(2027, 4, 1, tzinfo=UTC)
    work = Work(base, (UndoStep("change of title", edited),), 1, None, "")
    entries = writer.entries(work, now)
    lines = [_line(number, entry) for number, entry in enumerate(entries, start=1)]
    assert sum(line.count(b"clearness") for line in lines) <= 2
    read = [_entry_of(line, number)[0] for number, line in enumerate(lines, start=1)]
    left, is_whole = read_left(read)
    assert is_whole
    assert left.work.scenario == edited
    assert left.work.base == base


@pytest.mark.filterwarnings("ignore:DatetimeIndex.dayofyear")
def test_the_clear_skys_own_clearness_by_the_library_alone():
    place = pvlib.location.Location(50.0, 10.0, tz="UTC", altitude=400.0)
    times = pd.date_range("2027-06-01 00:05", "2027-06-30 23:55", freq="10min", tz="UTC")
    clear = place.get_clearsky(times)["ghi"]
    zenith = place.get_solarposition(times)["apparent_zenith"]
    above = pvlib.irradiance.get_extra_radiation(times) * np.cos(np.radians(zenith.clip(upper=90)))
    site = Site(latitude_deg=50.0, longitude_deg=10.0, elevation_m=400.0)
    assert clear_clearness(site)[5] == pytest.approx(clear.sum() / above.sum(), rel=0.01)


def test_clearness_and_index_go_over_into_each_other():
    site = Site(latitude_deg=50.0, longitude_deg=10.0)
    index = (1.0, 0.5, 0.7, 0.9, 1.0, 0.3, 0.4, 0.6, 0.8, 1.0, 0.2, 0.1)
    clearness = monthly_clearness(site, index)
    assert monthly_index(clearness, *year_light(site)) == pytest.approx(index)
    # A clear sky lets half of a low sun through and three quarters of a high one.
    assert all(0.45 < month < 0.8 for month in clear_clearness(site))


def test_months_without_a_sun_ask_for_nothing():
    arctic = Site(latitude_deg=85.0, longitude_deg=0.0)
    assert np.isnan(clear_clearness(arctic)[11])
    # Above the air and under the clear sky; a month in the dark takes the mean of the others.
    above, clear = (light.sum() for light in year_light(arctic))
    index = monthly_index((0.4,) * 12, *year_light(arctic))
    assert index[11] == pytest.approx(0.4 * above / clear, rel=0.005)
    assert monthly_clearness(arctic, (1.0,) * 12)[11] == 0.0


def test_a_table_begins_with_the_first_date():
    held = with_value(question(small_kit()), "day.sky", ("overcast", "clear"))
    begun = Climate.model_validate(climate_like(held))
    assert begun.low_c == held.day.low_c[:1] * 12
    found = monthly_index(begun.clearness, *year_light(held.site))
    assert found == pytest.approx([0.40] * 12, abs=0.02)
