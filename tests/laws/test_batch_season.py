"""The year by day is the run of each of its dates."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import numpy as np
import pytest

from model.editing.paths import with_value
from model.sizing.year import Year, _mean_weather, dated, season_year
from model.sky.climate_light import year_light
from model.sky.trip import planned
from model.station.carried_mass import shared_extras
from tests.laws.sample_kits import one_box, question, small_kit
from tests.planned import run_station

ALPINE = {
    "low_c": [-9.0, -8.0, -4.0, 0.0, 4.0, 8.0, 10.0, 10.0, 7.0, 2.0, -4.0, -8.0],
    "high_c": [-1.0, 0.0, 4.0, 8.0, 13.0, 17.0, 19.0, 19.0, 15.0, 9.0, 3.0, 0.0],
    "clearness": [0.41, 0.45, 0.48, 0.52, 0.54, 0.54, 0.56, 0.55, 0.52, 0.45, 0.4, 0.36],
}
LAPTOP = {"power_w": 9.0, "own_battery_wh": 30.0, "converter_efficiency": 0.9}


def seasonal(*kits, **day):
    return with_value(question(*kits, **({"days": 2, "start_hour": 8.0} | day)), "climate", ALPINE)


@pytest.fixture(scope="module")
def scenario():
    return seasonal(small_kit() | {"laptop": LAPTOP}, one_box())


@pytest.fixture(scope="module")
def year(scenario):
    return season_year(scenario)


# On both sides of both changes of the clock, on the days of the changes, and across new year.
@pytest.mark.parametrize("day_of_year", [1, 40, 86, 87, 88, 172, 260, 303, 304, 305, 364, 365])
def test_a_date_is_the_run_of_that_date(scenario, year, day_of_year):
    when = year.dates[day_of_year - 1]
    trip = planned(dated(scenario, when))
    # Where loads drop and return, the last digit that a typed day loses moves the lowest charge.
    exact = _mean_weather(scenario, when, len(trip.weather.index))
    assert trip.weather.index == pytest.approx(exact.index, abs=0.0051)
    trip = replace(trip, weather=exact)
    for index, station in enumerate(scenario.stations):
        run = run_station(
            scenario.site, trip, scenario.plan, station,
            shared_extras(scenario, index), step_min=10.0,
        )  # fmt: skip
        clocks = (run.clocks.full_power, run.clocks.reduced_power, run.clocks.receive)
        held_h = min((c.hours for c in clocks if c.hours is not None), default=48.0)
        told = year.stations[index]
        # Cells begin a little warmer or colder than after a day like the first.
        assert told.held_h[day_of_year - 1] == pytest.approx(held_h, abs=0.34)
        assert told.lowest_fraction[day_of_year - 1] == pytest.approx(run.lowest.value, abs=0.01)


def test_weather_keeps_the_means_of_the_months(scenario):
    january = [dated(scenario, date(2027, 1, day)).day for day in range(1, 32)]
    assert {day.days for day in january} == {2}
    # Typed to two decimals.
    assert np.mean([day.low_c[0] for day in january]) == pytest.approx(-9.0, abs=0.01)
    assert np.mean([day.high_c[0] for day in january]) == pytest.approx(-1.0, abs=0.01)
    light = year_light(scenario.site)
    sky = np.array([day.sky[0] for day in january])
    ghi, above = (sky * light.clear_wh_m2[:31]).sum(), light.extraterrestrial_wh_m2[:31].sum()
    assert ghi / above == pytest.approx(ALPINE["clearness"][0], rel=0.005)


def test_december_goes_over_into_january(scenario):
    new_year = dated(scenario, date(2027, 12, 31)).day
    assert len(new_year.low_c) == 3
    assert -9.5 < new_year.low_c[1] < -8.0
    assert abs(new_year.sky[1] - new_year.sky[0]) < 0.02


def test_winter_is_worse_than_summer(year):
    for station in year.stations:
        assert station.held_h[:31].mean() < station.held_h[150:212].mean()
        assert (station.works | (station.held_h < 48.0)).all()
        assert (~station.keeps_reserve | station.works).all()


def test_a_summer_kit_works_from_a_date_in_spring_to_one_in_autumn(year):
    first, last = year.working_spans(1)[0]
    works = year.stations[1].works
    assert works[(first - date(2027, 1, 1)).days]
    assert not works[(first - date(2027, 1, 1)).days - 1]
    assert works[(last - date(2027, 1, 1)).days]
    assert not works[(last - date(2027, 1, 1)).days + 1]
    assert first.month < 6 < last.month


def spans_of(works):
    days = tuple(date.fromordinal(date(2027, 1, 1).toordinal() + n) for n in range(len(works)))
    station = type("Station", (), {"works": np.array(works, dtype=bool)})()
    found = Year(days, (station,)).working_spans(0)
    return [(days.index(first), days.index(last)) for first, last in found]


def test_stretches_go_round_the_turn_of_the_year():
    assert spans_of([1, 1, 0, 0, 1, 0, 1, 1]) == [(6, 1), (4, 4)]
    assert spans_of([0, 1, 1, 0, 0, 1]) == [(1, 2), (5, 5)]
    assert spans_of([1, 1, 1]) == [(0, 2)]
    assert spans_of([0, 0]) == []


def test_a_leap_year_has_its_day():
    scenario = seasonal(small_kit(), date=date(2028, 6, 15))
    year = season_year(scenario)
    assert len(year.dates) == 366
    assert year.stations[0].held_h.size == 366


def test_without_a_climate_there_is_no_year():
    assert season_year(question(small_kit())) is None
    with pytest.raises(ValueError, match="no climate"):
        dated(question(small_kit()), date(2027, 1, 1))
