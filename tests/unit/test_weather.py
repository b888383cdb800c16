"""Air temperature and the sky's index of each step, by local date."""

from __future__ import annotations

from datetime import date

import numpy as np
import pytest

from model.scenario.climate import Climate
from model.scenario.scenario import Day, Site
from model.sky.timeline import timeline
from model.sky.trip import Trip, Weather, planned_on
from model.sky.weather import air_span_c, index_per_step
from tests.planned import air_c

ROME = Site(latitude_deg=41.9, longitude_deg=12.5, timezone="Europe/Rome")
GREENWICH = Site(latitude_deg=51.5, longitude_deg=0.0)
APIA = Site(latitude_deg=-13.8, longitude_deg=-171.8, timezone="Pacific/Apia")


def index(site, day):
    return index_per_step(planned_on(day).weather.index, timeline(site, day))


def test_warmest_at_three_and_coldest_at_three():
    air = air_c(GREENWICH, Day(date=date(2026, 3, 1), low_c=(-4.0,), high_c=(10.0,)))
    # A minute before and after the turn are equally warm: 14:59:30 and 15:00:30.
    assert int(np.argmax(air)) in (899, 900)
    assert int(np.argmin(air)) in (179, 180)
    assert air.max() == pytest.approx(10.0, abs=1e-4)
    assert air.min() == pytest.approx(-4.0, abs=1e-4)
    assert air.mean() == pytest.approx(3.0, abs=1e-9)
    # Half way up six hours before the peak.
    assert air[9 * 60 - 1 : 9 * 60 + 1].mean() == pytest.approx(3.0, abs=1e-9)


def test_follows_the_local_clock():
    day = Day(date=date(2026, 7, 1), start_hour=12.0, low_c=(10.0,), high_c=(30.0,))
    assert int(np.argmax(air_c(ROME, day))) in (179, 180)


def test_a_run_from_saturday_morning_for_two_days_touches_three_dates():
    day = Day(
        date=date(2027, 4, 17), start_hour=8.0, days=2, sky=("clear", "rain", 0.5),
        low_c=(0.0, 5.0, 10.0), high_c=(10.0, 20.0, 30.0),
    )  # fmt: skip
    assert timeline(ROME, day).dates == tuple(date(2027, 4, d) for d in (17, 18, 19))
    assert index(ROME, day) == pytest.approx(
        np.concatenate([np.full(960, 1.03), np.full(1440, 0.33), np.full(480, 0.5)])
    )
    air = air_c(ROME, day)
    # At 15:00 each date's high, at 03:00 each date's low: 7, 19, 31 and 43 hours after the start.
    for hours, wanted in ((7, 10.0), (19, 5.0), (31, 20.0), (43, 10.0)):
        assert air[hours * 60 - 1 : hours * 60 + 1] == pytest.approx([wanted] * 2, abs=1e-4)


def test_no_midnight_lets_the_air_jump():
    day = Day(
        date=date(2026, 1, 10), start_hour=17.5, days=4,
        low_c=(-20.0, 5.0, -10.0), high_c=(-5.0, 30.0, 0.0),
    )  # fmt: skip
    # The steepest half cosine rises 40 degrees in 12 h: 0.09 a minute.
    assert np.abs(np.diff(air_c(GREENWICH, day))).max() < 0.1


@pytest.mark.parametrize("start_hour", [17.5, 18.0])
def test_no_number_of_a_moment_depends_on_the_start(start_hour):
    whole, part = (
        Day(date=date(2027, 4, 17), start_hour=begin, days=2, sky=("clear", "rain", 0.5),
            low_c=(0.0, 5.0, 10.0), high_c=(10.0, 20.0, 30.0))
        for begin in (8.0, start_hour)
    )  # fmt: skip
    offset = round((start_hour - 8.0) * 60)
    shared = 2 * 1440 - offset
    assert index(ROME, part)[:shared] == pytest.approx(index(ROME, whole)[offset:])
    assert air_c(ROME, part)[:shared] == pytest.approx(air_c(ROME, whole)[offset:])


def test_a_short_list_goes_on_and_a_long_one_is_not_used():
    short = Day(date=date(2026, 3, 1), days=3, sky=(0.9, 0.4))
    assert index(ROME, short) == pytest.approx(np.repeat([0.9, 0.4, 0.4], 1440))
    long = Day(date=date(2026, 3, 1), sky=(0.9, 0.4, 0.1), low_c=(1.0, -50.0), high_c=(9.0, 60.0))
    assert index(ROME, long) == pytest.approx(np.full(1440, 0.9))
    assert air_span_c(ROME, planned_on(long)) == (1.0, 9.0)
    assert air_c(ROME, long).min() == pytest.approx(1.0, abs=1e-4)


@pytest.mark.parametrize(
    ("when", "changes_at", "dates"),
    [
        # 23 h: one elapsed day from midnight reaches 01:00 of the next date.
        ((2026, 3, 29), 1380, 2),
        # 25 h: it ends at 23:00 of the same date.
        ((2026, 10, 25), None, 1),
    ],
)
def test_dates_change_by_the_wall_clock_when_it_is_shifted(when, changes_at, dates):
    day = Day(date=date(*when), sky=(0.9, 0.4))
    assert len(timeline(ROME, day).dates) == dates
    found = index(ROME, day)
    expected = np.full(1440, 0.9)
    if changes_at is not None:
        expected[changes_at:] = 0.4
    assert found == pytest.approx(expected)


def test_a_date_that_the_calendar_skipped_keeps_its_place():
    # Samoa had no 30 December 2011.
    day = Day(date=date(2011, 12, 29), start_hour=12.0, sky=(0.9, 0.1, 0.4))
    assert index(APIA, day) == pytest.approx(np.repeat([0.9, 0.4], 720))


@pytest.mark.parametrize(
    ("when", "jump_step", "jump_hours"), [((2026, 3, 29), 120, 2.0), ((2026, 10, 25), 180, 0.0)]
)
def test_a_shifted_clock_shifts_the_air(when, jump_step, jump_hours):
    # 02:00 becomes 03:00 on the first date; 03:00 becomes 02:00 on the second.
    air = air_c(ROME, Day(date=date(*when), low_c=(0.0,), high_c=(20.0,)))
    clock_h = 3.0 if jump_hours else 2.0
    expected = 10.0 + 10.0 * np.cos(2.0 * np.pi * (clock_h + 0.5 / 60.0 - 15.0) / 24.0)
    assert air[jump_step] == pytest.approx(expected)
    assert abs(air[jump_step] - air[jump_step - 1]) > 0.1
    assert np.abs(np.diff(np.delete(air, jump_step))).max() < 0.6


def test_coarser_steps_take_the_middle():
    day = Day(date=date(2026, 3, 1), low_c=(0.0,), high_c=(20.0,))
    coarse, fine = air_c(GREENWICH, day, 10.0), air_c(GREENWICH, day)
    assert coarse == pytest.approx(fine.reshape(-1, 10).mean(axis=1), abs=1e-3)


def test_arrays_are_read_only():
    with pytest.raises(ValueError, match="read-only"):
        air_c(ROME, Day(date=date(2026, 3, 1)))[0] = 1.0


def test_a_trip_is_made_of_words_as_they_count_at_the_place():
    day = Day(date=date(2026, 3, 1), days=2, sky=("overcast", 0.7), low_c=(3.0,), wind_m_s=4.0)
    dull = Climate(low_c=[0.0] * 12, high_c=[9.0] * 12, clearness=[0.4] * 12, loss_scale=1.2)
    trip = planned_on(day, dull)
    assert trip.weather.index == pytest.approx((1.03 - 1.2 * 0.63, 0.7))
    assert trip.weather.wind_m_s == 4.0
    assert hash(trip) == hash(planned_on(day, dull))


def test_a_day_before_has_the_weather_of_the_first_date():
    trip = Trip(date(2027, 3, 1), 8.0, 2, Weather((0.9, 0.4), (1.0,), (9.0, 7.0)))
    before = trip.with_a_day_before()
    assert (before.date, before.days) == (date(2027, 2, 28), 3)
    assert before.weather.index == (0.9, 0.9, 0.4)
    for shorter, longer in ((air_c(ROME, trip), air_c(ROME, before)),):
        # Before 03:00 of the first date the air falls from that date's own high either way.
        assert longer[1440:] == pytest.approx(shorter)
