"""From days to what a scenario keeps: years of one value a day, and the twelve months they make."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from datetime import date as Date
from functools import lru_cache
from itertools import groupby
from math import isnan, nan

import numpy as np

from model.scenario.climate import WeatherYear
from model.sky.clear_sky import extraterrestrial
from model.sky.daily_weather import DARK_DAY_W_M2, Days, DaySums
from model.sky.sun_position import Spot
from model.sky.timeline import Floats, Timeline

# A month's mean takes so many of its days, of whatever years.
LEAST_DAYS_A_MONTH = 20
# How days differ within a month takes so many days of one month of one year.
LEAST_DAYS_FOR_SPREAD = 10
CLEARNESS_DECIMALS = 3
AIR_DECIMALS = 1
_LEAP_YEAR = 2000
_WEIGHT_STEP_MIN = 20.0


@dataclass(frozen=True)
class Months:
    """Means of twelve months, January first; nan where too few days are known.

    Attributes
    ----------
    clearness : all light over all that falls above the air [1].
    clearness_sd : how days differ within a month of a year [1].
    low_c, high_c : means of the lows and highs [degC].
    days : days with a clearness.
    """

    clearness: tuple[float, ...]
    clearness_sd: tuple[float, ...]
    low_c: tuple[float, ...]
    high_c: tuple[float, ...]
    days: tuple[int, ...]

    @property
    def missing(self) -> tuple[int, ...]:
        """Months, 1 to 12, that have no mean of light or of air."""
        rows = zip(self.clearness, self.low_c, self.high_c, strict=True)
        return tuple(month for month, row in enumerate(rows, 1) if any(map(isnan, row)))


def weather_years(days: Days, *, typical: bool) -> tuple[WeatherYear, ...]:
    """Return a year for each calendar year of the days, without the gaps at its ends."""
    found = []
    for _, dates in groupby(sorted(days), key=lambda date: date.year):
        values = {date: _values_of(days[date]) for date in dates}
        known = [date for date, row in values.items() if not all(map(isnan, row))]
        if known:
            found.append(_year(values, known[0], known[-1], typical))
    return tuple(found)


def _values_of(day: DaySums) -> tuple[float, float, float]:
    clearness = round(day.clearness, CLEARNESS_DECIMALS)
    if not day.has_air:
        return clearness, nan, nan
    return clearness, round(day.low_c, AIR_DECIMALS), round(day.high_c, AIR_DECIMALS)


_GAP = (nan, nan, nan)


def _year(
    values: Mapping[Date, tuple[float, float, float]], first: Date, last: Date, typical: bool
) -> WeatherYear:
    dates = (first + timedelta(days=day) for day in range((last - first).days + 1))
    clearness, low_c, high_c = zip(*(values.get(date, _GAP) for date in dates), strict=True)
    return WeatherYear(
        start=first, clearness=clearness, low_c=low_c, high_c=high_c, typical=typical
    )


def merged_years(
    before: Iterable[WeatherYear], new: Iterable[WeatherYear]
) -> tuple[WeatherYear, ...]:
    """Return all years, the calendar's first, then typical ones; each date once.

    Where both hold a date of the calendar, the new value stands, unless it is a gap. A typical
    year stands beside others; the same once more changes nothing.
    """
    both = [*before, *new]
    typical = list(dict.fromkeys(year for year in both if year.typical))
    dated: dict[Date, tuple[float, float, float]] = {}
    for year in both:
        if not year.typical:
            for date, row in _rows(year):
                old = dated.get(date, _GAP)
                dated[date] = _first_known(row, old)
    years = []
    for _, dates in groupby(sorted(dated), key=lambda date: date.year):
        values = {date: dated[date] for date in dates}
        years.append(_year(values, min(values), max(values), typical=False))
    return (*years, *typical)


def _first_known(
    row: tuple[float, float, float], other: tuple[float, float, float]
) -> tuple[float, float, float]:
    clearness = other[0] if isnan(row[0]) else row[0]
    # The low and the high of a day come from one file.
    air = other if isnan(row[1]) else row
    return clearness, air[1], air[2]


def _rows(year: WeatherYear) -> Iterable[tuple[Date, tuple[float, float, float]]]:
    for day, row in enumerate(zip(year.clearness, year.low_c, year.high_c, strict=True)):
        yield year.start + timedelta(days=day), row


def months_of(spot: Spot, years: Iterable[WeatherYear]) -> Months:
    """Return the twelve months that years of days make.

    A month's clearness is all its light over all that falls above the air, as climate tables
    have it: a day counts by the sun it has. Days without sun say nothing of it.

    Parameters
    ----------
    spot : the place.
    years : values of days.

    Returns
    -------
    Means of clearness [1] and of air [degC], nan where too few days are known.
    """
    sun = _sun_of_dates(spot)
    rows = [(date, row) for year in years for date, row in _rows(year)]
    clearness, low_c, high_c, spread, days = [], [], [], [], []
    for month in range(1, 13):
        of_month = [(date, row) for date, row in rows if date.month == month]
        lit = [
            (date, row[0], sun[date.month, date.day])
            for date, row in of_month
            if not isnan(row[0]) and sun[date.month, date.day] > DARK_DAY_W_M2
        ]
        is_dark = all(sun[month, day] <= DARK_DAY_W_M2 for day in range(1, 29))
        weight = sum(weight for _, _, weight in lit)
        has_mean = len(lit) >= LEAST_DAYS_A_MONTH
        mean = sum(value * weight for _, value, weight in lit) / weight if has_mean else nan
        clearness.append(0.0 if is_dark else mean)
        low_c.append(_mean(row[1] for _, row in of_month))
        high_c.append(_mean(row[2] for _, row in of_month))
        spread.append(_spread([(date.year, value) for date, value, _ in lit]))
        days.append(sum(not isnan(row[0]) for _, row in of_month))
    return Months(tuple(clearness), tuple(spread), tuple(low_c), tuple(high_c), tuple(days))


def _mean(values: Iterable[float]) -> float:
    known = [value for value in values if not isnan(value)]
    return sum(known) / len(known) if len(known) >= LEAST_DAYS_A_MONTH else nan


def _spread(values: list[tuple[int, float]]) -> float:
    """Return the spread of days about the mean of their own month and year."""
    squares, freedom = 0.0, 0
    for year in {year for year, _ in values}:
        days = [value for of_year, value in values if of_year == year]
        if len(days) >= LEAST_DAYS_FOR_SPREAD:
            squares += float(np.var(days)) * len(days)
            freedom += len(days) - 1
    return float(np.sqrt(squares / freedom)) if freedom else nan


@lru_cache(maxsize=8)
def _sun_of_dates(spot: Spot) -> dict[tuple[int, int], float]:
    """Return the mean light above the air on each day of a leap year, by month and day. [W/m2]"""
    by_the_sun_h = round(spot.longitude_deg / 15.0)
    begin = datetime(_LEAP_YEAR, 1, 1, tzinfo=UTC) - timedelta(hours=by_the_sun_h)
    level, _ = extraterrestrial(spot, Timeline(begin, 366, _WEIGHT_STEP_MIN))
    means: Floats = level.reshape(366, -1).mean(axis=1)
    dates = (Date(_LEAP_YEAR, 1, 1) + timedelta(days=day) for day in range(366))
    return {(date.month, date.day): float(mean) for date, mean in zip(dates, means, strict=True)}
