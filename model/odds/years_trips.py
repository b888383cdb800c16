"""Trips through years that were: every start near a date, with the days as they came."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date as Date
from datetime import timedelta

import numpy as np
from numpy.typing import ArrayLike, NDArray

from model.sky.clear_sky_index import Floats
from model.sky.climate_days import DaySkies
from model.sky.monthly_nodes import DAYS_A_YEAR, day_of_year

# Starts this many days before and after the date count as of the same season: common practice.
NEAR_DAYS = 15
NEAR_STARTS = 2 * NEAR_DAYS + 1


@dataclass(frozen=True, eq=False)
class YearTrips:
    """Trips cut from years; shape (trips,) but for the skies.

    Attributes
    ----------
    skies : days of each trip, shape (trips, days).
    year : which of the years, by its row.
    start : day of the year, from 0, on which the trip begins.
    wrapped : the trip passes the last day of its year and goes on with that year's first, which
        did not follow it.
    left_out : starts that a gap in the years took away.
    """

    skies: DaySkies
    year: NDArray[np.int64]
    start: NDArray[np.int64]
    wrapped: NDArray[np.bool_]
    left_out: int


def by_day_of_year(first: Date, values: ArrayLike) -> Floats:
    """Return the values of up to a year of days where their dates stand in a year, shape (365,).

    Parameters
    ----------
    first : date of the first value.
    values : one for each day from then on, up to 366, shape (days,) [any unit].

    Returns
    -------
    Values from 1 January to 31 December, shape (365,), NaN where there is none [unit of the
    values]. A 29 February is left out; of two days of the same date the first counts.
    """
    found = np.full(DAYS_A_YEAR, np.nan)
    given = np.asarray(values, np.float64)
    dates = [first + timedelta(days=day) for day in range(given.size)]
    plain = np.array([(date.month, date.day) != (2, 29) for date in dates])
    places = np.array([day_of_year(date) for date in dates])[plain]
    # The last one written stays: backwards, so that it is the first of two.
    found[places[::-1]] = given[plain][::-1]
    return found


def trips_of_years(
    index: Floats,
    low_c: Floats,
    high_c: Floats,
    date: int,
    days: int,
    *,
    near: int = NEAR_DAYS,
    begins: ArrayLike = 0,
) -> YearTrips:
    """Return the trips that begin within some days of a date, in every year.

    Parameters
    ----------
    index : clear-sky index of each day, NaN where the year has none, shape (years, 365) [1].
    low_c, high_c : lows and highs, NaN likewise, shape (years, 365) [degC].
    date : day of the year, from 0 (`monthly_nodes.day_of_year`).
    days : days of a trip, 1 to 365.
    near : starts up to so many days before and after the date.
    begins : day of the year [day from 0] with which each row begins, one for all or shape (years,):
        a year from July to June goes on over New Year and has its seam at the end of June.

    Returns
    -------
    Trips by year, in it by start from the earliest; those with a gap in any of the three are
    left out. None at all where every one has a gap.

    Raises
    ------
    ValueError : where the years do not have 365 days each or a trip does not fit into one.
    """
    if index.ndim != 2 or index.shape[1] != DAYS_A_YEAR or not 1 <= days <= DAYS_A_YEAR:
        raise ValueError("trips need years of 365 days and 1 to 365 days of their own")
    starts = (date + np.arange(-near, near + 1)) % DAYS_A_YEAR
    on = (starts[:, None] + np.arange(days)) % DAYS_A_YEAR
    cut = [values[:, on].reshape(-1, days) for values in (index, low_c, high_c)]
    whole = np.all([np.isfinite(values).all(axis=1) for values in cut], axis=0)
    year = np.repeat(np.arange(index.shape[0]), starts.size)[whole]
    start = np.tile(starts, index.shape[0])[whole]
    into_year = (start - np.broadcast_to(begins, index.shape[:1])[year]) % DAYS_A_YEAR
    return YearTrips(
        skies=DaySkies(*(values[whole] for values in cut)),
        year=year,
        start=start,
        wrapped=into_year + days > DAYS_A_YEAR,
        left_out=int(np.count_nonzero(~whole)),
    )
