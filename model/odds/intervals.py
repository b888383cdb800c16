"""How far odds may be off when they come from few years.

The error of the simulated trips themselves is never the interval: it falls as more are drawn,
while the years stay as few as they were.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import ArrayLike, NDArray

from model.odds.years_trips import NEAR_STARTS
from model.support.intervals import student_t, wilson_interval

# From so many years on they are also taken as draws of their own.
YEARS_FOR_T = 3


def independent_trips(years: float, days: int) -> float:
    """Return how many trips apart from each other the near starts of some years hold.

    Starts a day apart share all but one of their days: 31 of them are as good as 31 / days. An
    assumption of this program.

    Parameters
    ----------
    years : years of starts, need not be whole [1].
    days : days of a trip.

    Returns
    -------
    Trips, need not be whole [1].
    """
    return years * NEAR_STARTS / days


def t_interval(by_year: ArrayLike) -> tuple[float, float]:
    """Return the 95 % bounds of the mean of shares found year by year.

    Parameters
    ----------
    by_year : share of each year, shape (years,), two years or more [1].

    Returns
    -------
    Lower and upper bound, within 0 and 1 [1].

    Raises
    ------
    ValueError : with fewer than two years.
    """
    shares = np.asarray(by_year, np.float64)
    if shares.size < 2:
        raise ValueError("an interval by year needs two years or more")
    half = student_t(shares.size - 1) * shares.std(ddof=1) / math.sqrt(shares.size)
    mean = float(shares.mean())
    return max(0.0, mean - half), min(1.0, mean + half)


def odds_interval(
    holds: NDArray[np.bool_] | NDArray[np.float64], year: NDArray[np.int64], days: int
) -> tuple[float, float]:
    """Return the 95 % bounds of the share of trips that hold.

    Parameters
    ----------
    holds : whether each trip does, or how often, shape (trips,) [1].
    year : which year it is from, shape (trips,).
    days : days of a trip.

    Returns
    -------
    Under three years Wilson's interval with years x 31 / days trials, a year with gaps counted by
    the starts it has; from three years on the wider of that and Student's t by year [1].

    Raises
    ------
    ValueError : without any trip.
    """
    if holds.size == 0:
        raise ValueError("odds need a trip")
    share = float(holds.mean())
    wilson = wilson_interval(share, independent_trips(holds.size / NEAR_STARTS, days))
    years = np.unique(year)
    if years.size < YEARS_FOR_T:
        return wilson
    low, high = t_interval([holds[year == one].mean() for one in years])
    # Years with gaps count as much as whole ones by year but not by trips.
    by_year = min(low, share), max(high, share)
    return max(wilson, by_year, key=lambda bounds: bounds[1] - bounds[0])
