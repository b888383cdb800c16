"""Weather files of each kind give back the light, the hours and the air they were written with."""

from __future__ import annotations

import gzip
from collections.abc import Callable
from datetime import date, timedelta
from pathlib import Path

import numpy as np
import pandas as pd
import pytest

from model.files.weather_file import read_weather_file
from model.sky.daily_weather import (
    TYPICAL_YEAR,
    DaySums,
    day_sums,
    joined,
    light_in_the_dark_share,
    light_lag_min,
)
from tests.unit import weather_makers as make

MAY = date(2019, 5, 10)
HALF = 0.5
# Files hold light to the whole watt or the hundredth, and an hour is met by twelve moments.
SHARE_TOLERANCE = 0.004


def half(place: make.Place) -> make.Light:
    return make.share_of(place, HALF)


def days_of(tmp_path: Path, data: str | bytes, name: str = "weather") -> dict[date, DaySums]:
    path = tmp_path / name
    path.write_bytes(data if isinstance(data, bytes) else data.encode())
    return day_sums(read_weather_file(path))


Maker = Callable[[make.Place], str]
# Kind, and a file of it with five days of half the light, at a place whose sun is its zone's.
SHORT: dict[str, Maker] = {
    "EPW": lambda at: make.epw(at, MAY, 5, half(at)),
    "PVGIS hourly": lambda at: make.pvgis_hourly_csv(at, MAY, 5, half(at)),
    "NSRDB": lambda at: make.nsrdb(at, MAY, 5, half(at)),
    "BSRN": lambda at: make.bsrn(at, MAY, 5, half(at)),
}
VARIANTS: dict[str, Maker] = {
    "PVGIS hourly JSON": lambda at: make.pvgis_hourly_json(at, MAY, 5, half(at)),
    "PVGIS reanalysis": lambda at: make.pvgis_hourly_csv(
        at, MAY, 5, lambda times: make.hourly_means(half(at), times + pd.Timedelta(minutes=30)),
        minute=30,
    ),
    "NSRDB half hours": lambda at: make.nsrdb(at, MAY, 5, half(at), step_min=30),
    "NSRDB five minutes": lambda at: make.nsrdb(at, MAY, 5, half(at), step_min=5),
    "NSRDB older": lambda at: make.nsrdb(at, MAY, 5, half(at), older=True),
}  # fmt: skip
PLACES = {"ridge": make.RIDGE, "south": make.SOUTH, "desert": make.DESERT}


@pytest.mark.parametrize("place", PLACES.values(), ids=PLACES)
@pytest.mark.parametrize("maker", (SHORT | VARIANTS).values(), ids=SHORT | VARIANTS)
def test_half_of_the_light_is_a_clearness_of_a_half(
    tmp_path: Path, maker: Maker, place: make.Place
) -> None:
    days = days_of(tmp_path, maker(place))
    # Files in universal time begin and end within a local day.
    whole = {at: day for at, day in days.items() if not np.isnan(day.clearness)}
    assert len(whole) >= 4
    for day in whole.values():
        assert day.clearness == pytest.approx(HALF, abs=SHARE_TOLERANCE)
    # Of the days within the file no sample is lost.
    for day in list(whole.values())[1:-1]:
        assert day.sun_w_m2 == pytest.approx(day.whole_sun_w_m2)
    # With a sky that lets the same share through all day the light must lie even about noon.
    assert light_lag_min(days) == pytest.approx(0.0, abs=1.0)
    assert light_in_the_dark_share(days) < 0.001


@pytest.mark.parametrize(("kind", "maker"), SHORT.items(), ids=SHORT)
def test_place_kind_and_air_are_those_of_the_file(tmp_path: Path, kind: str, maker: Maker) -> None:
    path = tmp_path / "of no suffix"
    path.write_text(maker(make.RIDGE), encoding="ascii")
    record = read_weather_file(path)
    assert record.kind == kind
    assert not record.typical
    assert record.spot == (47.0, 9.5, 900.0)
    day = day_sums(record)[MAY + timedelta(days=2)]
    assert (day.low_c, day.high_c) == pytest.approx((5.0, 15.0), abs=0.1)
    assert day.has_air


@pytest.mark.parametrize(
    "maker",
    [
        lambda at: make.pvgis_tmy_csv(at, half(at)),
        lambda at: make.pvgis_tmy_json(at, half(at)),
        lambda at: make.pvgis_tmy_csv(at, half(at), offset_h=0.0),
    ],
    ids=["csv", "json", "csv without an offset"],
)
def test_a_typical_year_of_pvgis_is_one_calendar_year_of_local_days(
    tmp_path: Path, maker: Maker
) -> None:
    path = tmp_path / "weather"
    path.write_text(maker(make.SOUTH), encoding="ascii")
    record = read_weather_file(path)
    days = day_sums(record)
    assert record.typical
    assert list(days) == [date(TYPICAL_YEAR, 1, 1) + timedelta(days=day) for day in range(365)]
    assert {round(day.clearness, 2) for day in days.values()} == {HALF}
    assert light_lag_min(days) == pytest.approx(0.0, abs=1.0)
    assert all(day.has_air for day in days.values())


def test_an_epw_of_pvgis_stands_in_universal_time_whatever_its_zone_says(tmp_path: Path) -> None:
    text = make.epw(make.RIDGE, MAY, 4, half(make.RIDGE), pvgis_offset_h=-0.8239)
    days = days_of(tmp_path, text)
    assert light_lag_min(days) == pytest.approx(0.0, abs=1.0)
    assert days[MAY + timedelta(days=1)].clearness == pytest.approx(HALF, abs=SHARE_TOLERANCE)


def test_tmy3_is_typical_and_its_midnights_meet(tmp_path: Path) -> None:
    place = make.DESERT
    # The two last weeks of the year: the last hour ends at its midnight.
    text = make.tmy3(place, date(2001, 12, 18), 14, half(place), lambda month: 1990 + month)
    days = days_of(tmp_path, text)
    known = {at: day for at, day in days.items() if not np.isnan(day.clearness)}
    assert list(known) == [date(TYPICAL_YEAR, 12, 18) + timedelta(days=day) for day in range(14)]
    assert {round(day.clearness, 2) for day in known.values()} == {HALF}
    # 5 tenths are 4 eighths.
    assert days[date(TYPICAL_YEAR, 12, 20)].cover_okta == pytest.approx(4.0)


@pytest.mark.parametrize("place", PLACES.values(), ids=PLACES)
@pytest.mark.parametrize("city", ["NOWHERE", "PORT OF NOWHERE AT SEA"])
def test_tmy2_with_any_name_of_its_city(tmp_path: Path, place: make.Place, city: str) -> None:
    path = tmp_path / "weather"
    path.write_text(make.tmy2(place, 4, half(place), city), encoding="ascii")
    record = read_weather_file(path)
    assert record.place == f"{city}, XX"
    days = day_sums(record)
    assert [round(day.clearness, 2) for day in days.values()] == [HALF] * 4
    assert light_lag_min(days) == pytest.approx(0.0, abs=1.5)


def test_surfrad_days_in_universal_time_join_into_local_days(tmp_path: Path) -> None:
    place = make.DESERT
    days: dict[date, DaySums] = {}
    for day in range(3):
        text = make.surfrad(place, MAY + timedelta(days=day), half(place))
        days, repeated = joined(days, days_of(tmp_path, text))
        assert repeated == 0
    values = [day.clearness for day in days.values()]
    assert list(days) == [MAY + timedelta(days=day) for day in range(-1, 3)]
    assert values[1:3] == pytest.approx([HALF, HALF], abs=SHARE_TOLERANCE)
    # Before the first file's local dawn nothing is known, after the last's evening neither.
    assert np.isnan(values[0])
    assert light_lag_min(days) == pytest.approx(0.0, abs=1.0)
    assert days[MAY + timedelta(days=1)].has_air


def test_surfrad_of_three_minutes_loses_no_sample(tmp_path: Path) -> None:
    place = make.DESERT
    days: dict[date, DaySums] = {}
    for day in (MAY, MAY + timedelta(days=1)):
        head, place_line, *rows = make.surfrad(place, day, half(place)).splitlines()
        text = "\n".join([head, place_line, *rows[::3]]) + "\n"
        days = joined(days, days_of(tmp_path, text)).days
    assert days[MAY].sun_w_m2 == pytest.approx(days[MAY].whole_sun_w_m2)
    # The mean of its last minute stands for that of three.
    assert days[MAY].clearness == pytest.approx(HALF, abs=SHARE_TOLERANCE)


def test_surfrad_values_flagged_as_bad_are_missing(tmp_path: Path) -> None:
    place = make.DESERT
    # Noon there is 19:30 in universal time: half an hour of nonsense then changes nothing.
    bad = frozenset(range(19 * 60, 19 * 60 + 30))
    days: dict[date, DaySums] = {}
    for day in (MAY, MAY + timedelta(days=1)):
        text = make.surfrad(place, day, half(place), bad)
        days = joined(days, days_of(tmp_path, text)).days
    assert days[MAY].clearness == pytest.approx(HALF, abs=SHARE_TOLERANCE)
    assert days[MAY].sun_w_m2 < 0.96 * days[MAY].whole_sun_w_m2


@pytest.mark.parametrize(("missing_h", "is_gap"), [(0.5, False), (3.0, True)])
def test_a_day_is_a_gap_when_too_much_of_its_light_is_missing(
    tmp_path: Path, missing_h: float, is_gap: bool
) -> None:
    # Local noon at 9.5 degrees east lies at 11:22 in universal time.
    def gap(at: pd.Timestamp) -> bool:
        return at.day == 11 and 11 <= at.hour + at.minute / 60 < 11 + missing_h

    days = days_of(tmp_path, make.bsrn(make.RIDGE, MAY, 3, half(make.RIDGE), gap))
    assert np.isnan(days[date(2019, 5, 11)].clearness) == is_gap
    # In UTC these three days are the local ones but for an hour at night.
    assert days[MAY].clearness == pytest.approx(HALF, abs=SHARE_TOLERANCE)


def test_the_afternoon_alone_does_not_speak_for_the_day(tmp_path: Path) -> None:
    def cloudy_after_noon(times: pd.DatetimeIndex) -> np.ndarray:
        return np.where(times.hour < 11, 0.7, 0.3)

    light = make.share_of(make.RIDGE, cloudy_after_noon)
    day = days_of(tmp_path, make.epw(make.RIDGE, MAY, 2, light))[MAY]
    assert 0.4 < day.clearness < 0.6
    # By hand: light that is stronger before noon comes earlier than the sun.
    assert light_lag_min({MAY: day}) < -30


def test_a_leap_day_is_a_day_of_the_calendar_and_none_of_a_typical_year(tmp_path: Path) -> None:
    place, leap = make.RIDGE, date(2020, 2, 29)
    days = days_of(tmp_path, make.epw(place, date(2020, 2, 27), 5, half(place)))
    assert days[leap].clearness == pytest.approx(HALF, abs=SHARE_TOLERANCE)
    text = make.epw(place, date(2020, 2, 27), 5, half(place), kind="IWEC data")
    assert leap.replace(year=TYPICAL_YEAR, day=28) in days_of(tmp_path, text)


@pytest.mark.parametrize(
    ("first", "days"), [(date(2019, 11, 20), 60), (date(2018, 12, 1), 430)], ids=["winter", "years"]
)
def test_years_of_the_calendar_are_not_typical(tmp_path: Path, first: date, days: int) -> None:
    path = tmp_path / "weather"
    path.write_text(make.pvgis_hourly_csv(make.RIDGE, first, days, half(make.RIDGE)))
    record = read_weather_file(path)
    assert not record.typical
    found = day_sums(record)
    inside = [first + timedelta(days=day) for day in range(days)]
    assert [round(found[at].clearness, 2) for at in inside[1:-1]] == [HALF] * (days - 2)


def test_a_zone_of_half_an_hour_and_rows_in_universal_time(tmp_path: Path) -> None:
    plain = make.Place(20.0, 79.0, 300.0, 5.5)
    days = days_of(tmp_path, make.nsrdb(plain, MAY, 3, half(plain)))
    assert days[MAY].clearness == pytest.approx(HALF, abs=SHARE_TOLERANCE)
    assert light_lag_min(days) == pytest.approx(0.0, abs=1.0)
    in_utc = make.Place(33.5, -112.0, 340.0, 0.0)
    days = days_of(tmp_path, make.nsrdb(in_utc, MAY, 3, half(in_utc)))
    # The sun's own clock is seven hours behind: days are cut at its midnight.
    assert next(iter(days)) == MAY - timedelta(days=1)
    assert days[MAY].clearness == pytest.approx(HALF, abs=SHARE_TOLERANCE)


def test_dark_days_have_no_clearness_to_speak_of(tmp_path: Path) -> None:
    north = make.Place(70.0, 20.0, 50.0, 1.0)
    days = days_of(tmp_path, make.epw(north, date(2019, 12, 20), 3, half(north)))
    assert [day.clearness for day in days.values()] == [0.0] * 3
    summer = days_of(tmp_path, make.epw(north, date(2019, 6, 20), 3, half(north)))
    assert [round(day.clearness, 2) for day in summer.values()] == [HALF] * 3


def test_a_packed_file_is_unpacked(tmp_path: Path) -> None:
    packed = gzip.compress(make.bsrn(make.RIDGE, MAY, 2, half(make.RIDGE)).encode())
    days = days_of(tmp_path, packed, "nowhere0519.dat.gz")
    assert days[MAY].clearness == pytest.approx(HALF, abs=SHARE_TOLERANCE)


def test_the_same_day_twice_is_one_day(tmp_path: Path) -> None:
    days = days_of(tmp_path, make.epw(make.RIDGE, MAY, 3, half(make.RIDGE)))
    both = joined(days, days)
    assert both.days == days
    assert both.repeated_days == 3


def test_light_at_night_gives_a_wrong_place_away(tmp_path: Path) -> None:
    text = make.epw(make.DESERT, MAY, 3, half(make.DESERT)).replace("-112.0", "68.0")
    assert light_in_the_dark_share(days_of(tmp_path, text)) > 0.8
