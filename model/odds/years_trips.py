"""Trips through years that were: every start near a date, with the days as they came."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from model.sky.clear_sky_index import Floats
from model.sky.climate_days import DaySkies
from model.sky.monthly_nodes import DAYS_A_YEAR

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
    wrapped : the trip passes the end of its year and goes on with that year's own January, which
        did not follow its December.
    left_out : starts that a gap in the years took away.
    """

    skies: DaySkies
    year: NDArray[np.int64]
    start: NDArray[np.int64]
    wrapped: NDArray[np.bool_]
    left_out: int


def trips_of_years(
    index: Floats, low_c: Floats, high_c: Floats, date: int, days: int, near: int = NEAR_DAYS
) -> YearTrips:
    """Return the trips that begin within some days of a date, in every year.

    Parameters
    ----------
    index : clear-sky index of each day, NaN where the year has none, shape (years, 365) [1].
    low_c, high_c : lows and highs, NaN likewise, shape (years, 365) [degC].
    date : day of the year, from 0 (`monthly_nodes.day_of_year`).
    days : days of a trip, 1 to 365.
    near : starts up to so many days before and after the date.

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
    start = np.tile(starts, index.shape[0])[whole]
    return YearTrips(
        skies=DaySkies(*(values[whole] for values in cut)),
        year=np.repeat(np.arange(index.shape[0]), starts.size)[whole],
        start=start,
        wrapped=start + days > DAYS_A_YEAR,
        left_out=int(np.count_nonzero(~whole)),
    )
