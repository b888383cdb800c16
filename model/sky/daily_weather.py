"""Weather records reduced to local days: each day's light against the sun above the air.

A record's samples are laid on even steps of whole local days in standard time. The light of the
lit steps that have a value is set against what falls above the atmosphere in the same steps, so
that a missing hour takes as much from both. Days are kept as sums: files of one day each in
universal time share local days and add up.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, fields
from datetime import UTC, datetime, timedelta
from datetime import date as Date
from math import ceil
from typing import NamedTuple

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from model.scenario.declare import MINUTES_A_DAY
from model.sky.clear_sky import clear_light, extraterrestrial
from model.sky.sun_position import Spot
from model.sky.timeline import Floats, Timeline

# Months of several years spliced into one stand in this one, which has no leap day.
TYPICAL_YEAR = 2001
# Finer samples are averaged over so long; coarser means are set against the sun in such steps.
FINE_STEP_MIN = 10.0
# A day is a gap when more than a tenth of the light it could have had is not there: the missing
# part may differ from the rest by some .3 of clearness, which shifts the day by .03, less than
# days of one name differ.
LEAST_LIGHT_SHARE = 0.9
# A day tells how the clock of a file runs when all of it is there.
WHOLE_DAY_SHARE = 0.98
# The low stands near dawn and the high after noon: of the hours that hold them none may be missed.
LEAST_AIR_HOURS = 22
# A day's mean above the air below which the sun has hardly risen: such a day has no light to
# speak of, whatever an instrument says in twilight.
DARK_DAY_W_M2 = 1.0
# Both files of a day are one and the same light when together they hold more than all of it.
REPEATED_SHARE = 1.02


@dataclass(frozen=True)
class WeatherRecord:
    """What one weather file holds.

    Attributes
    ----------
    kind, place, source : which kind of file, and where and what it says its data are of.
    latitude_deg, longitude_deg : place of the data, north and east positive [deg].
    elevation_m : height above the sea [m].
    utc_offset_h : standard time of the local days, east positive [h].
    step_min : from one value of light to the next [min].
    is_mean : each value of light is the mean of its step; else it is of the middle's instant.
    typical : spliced of months of several years, laid on `TYPICAL_YEAR`.
    ghi_w_m2 : light on the level by the UTC instant of the middle of its step; nan is a gap [W/m2].
    air_c : air temperature by the UTC instant it is of; nan is a gap [degC].
    cover_okta : cloud cover, by the same instants as the light; None where the file has none
        [okta].
    """

    kind: str
    place: str
    source: str
    latitude_deg: float
    longitude_deg: float
    elevation_m: float
    utc_offset_h: float
    step_min: float
    is_mean: bool
    typical: bool
    ghi_w_m2: pd.Series[float]
    air_c: pd.Series[float]
    cover_okta: pd.Series[float] | None = None

    @property
    def spot(self) -> Spot:
        """The point on the ground."""
        return Spot(self.latitude_deg, self.longitude_deg, self.elevation_m)


@dataclass(frozen=True)
class DaySums:
    """What is known of one local day; light is the mean of its 24 hours.

    Attributes
    ----------
    ghi_w_m2 : light on the level in the lit steps that have a value [W/m2].
    sun_w_m2 : light above the atmosphere in the same steps [W/m2].
    whole_sun_w_m2 : light above the atmosphere all day [W/m2].
    clear_w_m2 : light of a clear sky in the same steps; zero where no cover is given [W/m2].
    given_w_m2, dark_w_m2 : all light that is given, and that while the sun is down [W/m2].
    given_moment_min, sun_moment_min : means of light times minute of the day; the sun's, all day
        [W/m2 min].
    low_c, high_c : lowest and highest air temperature; nan where there is none [degC].
    air_hours : hours that have an air temperature [h].
    cover_sum_okta, cover_hours : cover times hours, and hours, of the lit steps that have one [okta
        h], [h].
    """

    ghi_w_m2: float
    sun_w_m2: float
    whole_sun_w_m2: float
    clear_w_m2: float
    given_w_m2: float
    dark_w_m2: float
    given_moment_min: float
    sun_moment_min: float
    low_c: float
    high_c: float
    air_hours: float
    cover_sum_okta: float
    cover_hours: float

    def __add__(self, other: DaySums) -> DaySums:
        summed = {
            field.name: getattr(self, field.name) + getattr(other, field.name)
            for field in fields(self)
        }
        for name in ("whole_sun_w_m2", "sun_moment_min"):
            summed[name] = max(getattr(self, name), getattr(other, name))
        summed["low_c"] = float(np.fmin(self.low_c, other.low_c))
        summed["high_c"] = float(np.fmax(self.high_c, other.high_c))
        return DaySums(**summed)

    @property
    def clearness(self) -> float:
        """Light over that above the atmosphere; nan for a gap [1]."""
        if self.whole_sun_w_m2 < DARK_DAY_W_M2:
            return 0.0
        if self.sun_w_m2 < LEAST_LIGHT_SHARE * self.whole_sun_w_m2 or self.is_too_bright:
            return float("nan")
        # The zero of an instrument at low sun may lie a little below none.
        return max(self.ghi_w_m2 / self.sun_w_m2, 0.0)

    @property
    def is_too_bright(self) -> bool:
        """Whether more light is given than falls above the air: no day has so much."""
        return self.whole_sun_w_m2 >= DARK_DAY_W_M2 and self.ghi_w_m2 > self.sun_w_m2

    @property
    def has_air(self) -> bool:
        """Whether enough hours have an air temperature."""
        return self.air_hours >= LEAST_AIR_HOURS

    @property
    def cover_okta(self) -> float:
        """Mean cloud cover of the lit steps; nan where there is none [okta]."""
        return self.cover_sum_okta / self.cover_hours if self.cover_hours else float("nan")


Days = Mapping[Date, DaySums]


class Joined(NamedTuple):
    """Days of several records, and how many dates more than one of them holds whole."""

    days: dict[Date, DaySums]
    repeated_days: int


def joined(first: Days, second: Days) -> Joined:
    """Return the days of both; a date that both hold whole keeps the fuller, else the first."""
    days, repeated = dict(first), 0
    for date, new in second.items():
        old = days.get(date)
        if old is None:
            days[date] = new
        elif old.sun_w_m2 + new.sun_w_m2 <= REPEATED_SHARE * old.whole_sun_w_m2:
            days[date] = old + new
        else:
            repeated += 1
            if new.sun_w_m2 > REPEATED_SHARE * old.sun_w_m2:
                days[date] = new
    return Joined(days, repeated)


def day_sums(record: WeatherRecord) -> dict[Date, DaySums]:
    """Return the sums of every local date that the record touches, in order.

    Parameters
    ----------
    record : what one weather file holds.

    Returns
    -------
    By local date: light of each day as means of its 24 hours [W/m2], its air [degC] and cover
    [okta].

    Notes
    -----
    Extraterrestrial light: Spencer 1971 as the solar library has it, on the level by the sun's
    true height. Light beyond what is physically possible, 1.5 times the extraterrestrial light
    times the 1.2th power of the height's sine plus 100 W/m2, counts as missing (Long and Dutton
    2002, tests recommended for the Baseline Surface Radiation Network).
    """
    grid = _grid(record)
    columns = _light(record, grid)
    columns.update(_air(record, grid))
    dates = [grid.first + timedelta(days=day) for day in range(grid.days)]
    rows = zip(*(columns[field.name] for field in fields(DaySums)), strict=True)
    found: dict[Date, DaySums] = {}
    for date, row in zip(dates, rows, strict=True):
        sums = DaySums(*map(float, row))
        at = date.replace(year=TYPICAL_YEAR) if record.typical else date
        # The clock's first and last hours of a typical year belong to its other end.
        found[at] = found[at] + sums if at in found else sums
    return dict(sorted(found.items()))


class _Grid(NamedTuple):
    """Whole local days from a date on, in steps whose first middle is so far from midnight."""

    first: Date
    days: int
    step_min: float
    phase_min: float

    @property
    def steps(self) -> int:
        return round(self.days * MINUTES_A_DAY / self.step_min)

    def clock(self, offset_h: float, parts: int = 1) -> Timeline:
        """Return the grid's steps, or equal parts of them, as a clock in universal time."""
        begin = datetime(self.first.year, self.first.month, self.first.day, tzinfo=UTC)
        shift = timedelta(hours=offset_h, minutes=self.step_min / 2.0 - self.phase_min)
        return Timeline(begin - shift, self.days, self.step_min / parts)

    def minutes(self) -> Floats:
        """Return the minute of the day of each middle, shape (steps,). [min]"""
        middles = self.phase_min + np.arange(self.steps) * self.step_min
        return np.asarray(middles % MINUTES_A_DAY, dtype=np.float64)


def _local_minutes(times: pd.Index[pd.Timestamp], offset_h: float) -> Floats:
    """Return minutes since 1970 by the local standard clock."""
    seconds = times.to_numpy().astype("datetime64[s]").astype(np.int64)
    minutes: Floats = seconds / 60.0 + offset_h * 60.0
    return minutes


def _grid(record: WeatherRecord) -> _Grid:
    minutes = _local_minutes(record.ghi_w_m2.index, record.utc_offset_h)
    first, last = minutes.min() // MINUTES_A_DAY, minutes.max() // MINUTES_A_DAY
    days = int(last - first) + 1
    date = Date(1970, 1, 1) + timedelta(days=int(first))
    phases, times = np.unique(np.round(minutes % record.step_min, 1), return_counts=True)
    first_middle = float(phases[np.argmax(times)]) % record.step_min
    # Whole samples, and a whole number of them a day.
    counts = range(ceil(FINE_STEP_MIN / record.step_min), MINUTES_A_DAY)
    wide = (count * record.step_min for count in counts)
    step_min = next(wide_min for wide_min in wide if MINUTES_A_DAY % wide_min == 0)
    return _Grid(date, days, step_min, first_middle + (step_min - record.step_min) / 2.0)


def _on_grid(record: WeatherRecord, grid: _Grid, values: pd.Series[float]) -> tuple[Floats, Floats]:
    """Return the mean value of each step, and which share of the step has one, shape (steps,)."""
    begin = (grid.first - Date(1970, 1, 1)).days * MINUTES_A_DAY + grid.phase_min
    minutes = _local_minutes(values.index, record.utc_offset_h)
    at = np.floor((minutes - begin) / grid.step_min + 0.5).astype(np.int64)
    given = values.to_numpy(dtype=np.float64)
    inside = (at >= 0) & (at < grid.steps) & np.isfinite(given)
    count = np.bincount(at[inside], minlength=grid.steps)
    total = np.bincount(at[inside], weights=given[inside], minlength=grid.steps)
    mean = np.divide(total, count, out=np.zeros(grid.steps), where=count > 0)
    whole = max(grid.step_min / record.step_min, 1.0)
    return mean, np.minimum(count / whole, 1.0)


def _light(record: WeatherRecord, grid: _Grid) -> dict[str, Floats]:
    ghi, present = _on_grid(record, grid, record.ghi_w_m2)
    sun, normal = _extraterrestrial(record, grid)
    lit = sun > 0.0
    possible = 100.0 + 1.5 * normal * (sun / normal) ** 1.2
    weight = present * (lit & (ghi <= possible))
    light, above = ghi * weight, sun * weight
    minutes, given = grid.minutes(), np.maximum(ghi, 0.0) * present
    columns: dict[str, Floats] = {
        "ghi_w_m2": light,
        "sun_w_m2": above,
        "whole_sun_w_m2": sun,
        "clear_w_m2": np.zeros(grid.steps),
        "given_w_m2": given,
        "dark_w_m2": given * ~lit,
        "given_moment_min": given * minutes,
        "sun_moment_min": sun * minutes,
    }
    if record.cover_okta is not None:
        parts = _parts(record, grid)
        clear, _ = clear_light(record.spot, grid.clock(record.utc_offset_h, parts))
        columns["clear_w_m2"] = _means(clear, parts) * weight
    columns = {name: _means(values, grid.steps // grid.days) for name, values in columns.items()}
    cover, covered = np.zeros(grid.steps), np.zeros(grid.steps)
    if record.cover_okta is not None:
        cover, covered = _on_grid(record, grid, record.cover_okta)
        covered = covered * lit * grid.step_min / 60.0
    columns["cover_sum_okta"] = _by_day(cover * covered, grid).sum(axis=1)
    columns["cover_hours"] = _by_day(covered, grid).sum(axis=1)
    return columns


def _by_day(values: Floats, grid: _Grid) -> Floats:
    return values.reshape(grid.days, -1)


def _means(values: Floats, of: int) -> Floats:
    """Return the mean of each run of so many values."""
    means: Floats = np.mean(values.reshape(-1, of), axis=1, dtype=np.float64)
    return means


def _extraterrestrial(record: WeatherRecord, grid: _Grid) -> tuple[Floats, Floats]:
    """Return what falls above the air on the level and square to the sun in each step. [W/m2]"""
    parts = _parts(record, grid)
    level, normal = extraterrestrial(record.spot, grid.clock(record.utc_offset_h, parts))
    return _means(level, parts), _means(normal, parts)


def _parts(record: WeatherRecord, grid: _Grid) -> int:
    """Return in how many parts a step is set against the sun: an instant in one."""
    return max(1, round(grid.step_min / FINE_STEP_MIN)) if record.is_mean else 1


def _air(record: WeatherRecord, grid: _Grid) -> dict[str, NDArray[np.float64]]:
    given = record.air_c.dropna()
    low = np.full(grid.days, np.nan)
    high, hours = low.copy(), np.zeros(grid.days)
    minutes = _local_minutes(given.index, record.utc_offset_h)
    hour = (minutes // 60).astype(np.int64) - 24 * (grid.first - Date(1970, 1, 1)).days
    inside = (hour >= 0) & (hour < 24 * grid.days)
    values, hour = given.to_numpy(dtype=np.float64)[inside], hour[inside]
    np.fmin.at(low, hour // 24, values)
    np.fmax.at(high, hour // 24, values)
    hours += np.bincount(np.unique(hour) // 24, minlength=grid.days)
    return {"low_c": low, "high_c": high, "air_hours": hours}


def light_lag_min(days: Days) -> float:
    """Return by how much the light comes later than the sun.

    Clouds before and after noon even out over some days; a clock that is wrong does not.

    Parameters
    ----------
    days : sums of each local date.

    Returns
    -------
    Median over the whole days [min]; 0 where there is none.
    """
    lags = [
        day.given_moment_min / day.given_w_m2 - day.sun_moment_min / day.whole_sun_w_m2
        for day in _whole_days(days)
    ]
    return float(np.median(lags)) if lags else 0.0


def _whole_days(days: Days) -> Iterator[DaySums]:
    for day in days.values():
        is_whole = day.sun_w_m2 > WHOLE_DAY_SHARE * day.whole_sun_w_m2 > DARK_DAY_W_M2
        if is_whole and day.ghi_w_m2 > DARK_DAY_W_M2:
            yield day


def light_in_the_dark_share(days: Days) -> float:
    """Return which share of all the light comes while the sun is down [1].

    Parameters
    ----------
    days : sums of each local date.

    Returns
    -------
    Share of the light given [1].
    """
    dark = sum(day.dark_w_m2 for day in days.values())
    return dark / max(sum(day.given_w_m2 for day in days.values()), 1e-9)
