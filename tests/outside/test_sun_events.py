"""Rise, set and civil twilight against published tables and an almanac."""

from __future__ import annotations

import numpy as np
import pytest
from skyfield import almanac as skyfield_almanac
from skyfield.api import wgs84

from model.sky.sun_times import sun_events
from model.sky.timeline import timeline
from tests.outside.sky_questions import on, place, planetary_ephemeris, seconds_off, solar_noon_min

GOLDEN = place(39.742476, -105.1786, elevation_m=1830.14, timezone="Etc/GMT+7")
TROMSO = place(69.5, 19.0, timezone="Etc/GMT-1")


@pytest.fixture(scope="module")
def almanac():
    with planetary_ephemeris() as opened:
        yield opened


def named(site, day, name):
    return [instant for instant, event in sun_events(site, day) if event == name]


# The algorithm counts in days of universal time: the set it prints for a day west of Greenwich, if
# it falls after 0 h UT, is that of the local day before. Each date here is the local one.
@pytest.mark.parametrize(
    ("date", "event", "clock"),
    [
        # Example output of the reference code of NREL/TP-560-34302; quoted from memory.
        ((2003, 10, 17), "rise", "06:12:43"),
        ((2003, 10, 16), "set", "17:20:19"),
        # NREL's page of the solar position algorithm.
        ((2015, 1, 2), "rise", "07:21:55"),
        ((2015, 1, 2), "set", "16:47:43"),
        ((2015, 8, 2), "rise", "05:00:27"),
        ((2015, 8, 1), "set", "19:13:58"),
    ],
)
def test_rise_and_set_of_the_algorithm(date, event, clock):
    (found,) = named(GOLDEN, on(*date), event)
    assert seconds_off(found, clock) <= 2.0


@pytest.mark.parametrize(("date", "noon_min"), [((2015, 1, 2), 724.75), ((2015, 8, 2), 726.967)])
def test_transit(date, noon_min):
    # Same page: 12:04:45 and 12:06:58.
    assert solar_noon_min(GOLDEN, on(*date)) == pytest.approx(noon_min, abs=0.05)


@pytest.mark.parametrize(
    ("date", "rise", "sets"),
    [
        ((2015, 1, 1), "07:22:00", "16:47:00"),
        ((2015, 1, 2), "07:22:00", "16:48:00"),
        ((2015, 1, 3), "07:22:00", "16:49:00"),
        ((2015, 8, 2), "05:00:00", "19:13:00"),
    ],
)
def test_whole_minutes_of_the_naval_observatory(date, rise, sets):
    # US Naval Observatory, tables of sunrise and sunset, Golden, Colorado.
    day = on(*date)
    (risen,), (gone,) = named(GOLDEN, day, "rise"), named(GOLDEN, day, "set")
    assert seconds_off(risen, rise) <= 60.0
    assert seconds_off(gone, sets) <= 60.0


def test_high_latitude_of_the_naval_observatory():
    # US Naval Observatory, "Sun and Moon Data for One Day", 69.5 N 19.0 E, 2014-04-01, UTC+1.
    day = on(2014, 4, 1)
    printed = {"dawn": "03:46:00", "rise": "04:50:00", "set": "18:49:00", "dusk": "19:53:00"}
    assert [event for _, event in sun_events(TROMSO, day)] == list(printed)
    for instant, event in sun_events(TROMSO, day):
        assert seconds_off(instant, printed[event]) <= 60.0
    assert solar_noon_min(TROMSO, day) == pytest.approx(11 * 60 + 48, abs=1.0)


@pytest.mark.parametrize(
    ("latitude", "longitude", "date"),
    [
        (69.5, 19.0, (2026, 5, 17)),
        (67.3, 14.4, (2026, 12, 21)),
        (60.0, 25.0, (2026, 6, 21)),
        (45.0, 10.0, (2026, 12, 21)),
        (0.0, -78.5, (2026, 3, 20)),
        (-33.9, 151.2, (2026, 1, 15)),
        (-54.8, -68.3, (2026, 6, 21)),
    ],
)
def test_three_days_against_the_planetary_ephemeris(almanac, latitude, longitude, date):
    # Skyfield with the JPL ephemeris DE421, centre of the sun at -0.833 deg.
    timescale, bodies = almanac
    site, day = place(latitude, longitude), on(*date, days=3)
    clock = timeline(site, day)
    first, last = timescale.from_datetime(clock.at(0)), timescale.from_datetime(clock.at(3 * 1440))
    here = bodies["earth"] + wgs84.latlon(latitude, longitude)
    for name, find in (
        ("rise", skyfield_almanac.find_risings),
        ("set", skyfield_almanac.find_settings),
    ):
        times, crosses = find(here, bodies["sun"], first, last, horizon_degrees=-0.833)
        expected = [t for t, true in zip(times.utc_datetime(), crosses, strict=True) if true]
        found = named(site, day, name)
        assert len(found) == len(expected)
        off = [(a - b).total_seconds() for a, b in zip(found, expected, strict=True)]
        # Where the sun grazes the horizon, a thousandth of a degree is many seconds.
        assert np.abs(off).max(initial=0.0) < (30.0 if latitude > 65 else 2.0)
