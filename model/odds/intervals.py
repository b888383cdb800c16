"""How far odds may be off when they come from few years.

The error of the simulated trips themselves is never the interval: it falls as more are drawn,
while the years stay as few as they were.

References
----------
E. B. Wilson, "Probable inference, the law of succession, and statistical inference", Journal of
the American Statistical Association 22 (1927) 209-212; NIST/SEMATECH e-Handbook of Statistical
Methods, sections 7.2.4.1 (Wilson's interval) and 1.3.6.7.2 (table of Student's t).
From memory; the tests hold both against another library.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import ArrayLike, NDArray

from model.odds.years_trips import NEAR_STARTS

# Standard score of a two-sided 95 % interval.
Z_95 = 1.959964
# From so many years on they are also taken as draws of their own.
YEARS_FOR_T = 3

# Student's t at .975 by degrees of freedom from 1: NIST/SEMATECH e-Handbook, 1.3.6.7.2.
_T_975 = (
    12.706, 4.303, 3.182, 2.776, 2.571, 2.447, 2.365, 2.306, 2.262, 2.228,
    2.201, 2.179, 2.160, 2.145, 2.131, 2.120, 2.110, 2.101, 2.093, 2.086,
    2.080, 2.074, 2.069, 2.064, 2.060, 2.056, 2.052, 2.048, 2.045, 2.042,
)  # fmt: skip


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


def wilson_interval(share: float, trials: float, z: float = Z_95) -> tuple[float, float]:
    """Return the bounds of a share found in some independent trials.

    Parameters
    ----------
    share : share found, 0 to 1 [1].
    trials : above 0; need not be whole [1].
    z : standard score of the interval [1].

    Returns
    -------
    Lower and upper bound [1].

    Raises
    ------
    ValueError : where there are no trials or the share is not one.

    References
    ----------
    E. B. Wilson, "Probable inference, the law of succession, and statistical inference", Journal of
    the American Statistical Association 22 (1927) 209-212.
    """
    if not (trials > 0.0 and 0.0 <= share <= 1.0):
        raise ValueError("Wilson's interval needs trials and a share of 0 to 1")
    z2 = z * z / trials
    middle = (share + z2 / 2.0) / (1.0 + z2)
    half = z / (1.0 + z2) * math.sqrt(share * (1.0 - share) / trials + z2 / (4.0 * trials))
    return max(0.0, middle - half), min(1.0, middle + half)


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


def student_t(freedom: int) -> float:
    """Return Student's t that 97.5 % stay below, for degrees of freedom from 1.

    The table to 30; beyond it R. A. Fisher and E. A. Cornish's expansion in 1 / freedom, as in
    Abramowitz and Stegun, Handbook of Mathematical Functions, 26.7.5, within .0005.

    Returns
    -------
    The quantile [1].
    """
    if freedom <= len(_T_975):
        return _T_975[freedom - 1]
    z = Z_95
    first = (z**3 + z) / 4.0
    second = (5.0 * z**5 + 16.0 * z**3 + 3.0 * z) / 96.0
    return z + first / freedom + second / freedom**2
