"""Smooth daily values whose monthly means are the given ones.

A straight line between mid-month values has other means than those it was drawn through: it cuts
every summer's top and winter's bottom off.

References
----------
M. D. Rymes, D. R. Myers, "Mean preserving algorithm for smoothly interpolating averaged data",
Solar Energy 71 (2001) 225-231: three-day means in turn with a shift of each month back to its
mean. From memory. Here stands where those turns lead, which takes no turns to reach; weights and
bounds are this program's.
"""

from __future__ import annotations

from datetime import date
from functools import cache

import numpy as np
from numpy.typing import ArrayLike

from model.sky.clear_sky_index import Floats

DAYS_A_YEAR = 365
DAYS_OF_MONTHS = np.array([31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31])
MONTH_OF_DAY = np.repeat(np.arange(12), DAYS_OF_MONTHS)
_FIRST_DAYS = np.concatenate([[0], np.cumsum(DAYS_OF_MONTHS)[:-1]])


def day_of_year(day: date) -> int:
    """Return which of the 365 days of a year a date is, from 0; 29 February counts as the 28th."""
    plain = date(2001, day.month, min(day.day, 28) if day.month == 2 else day.day)
    return plain.timetuple().tm_yday - 1


def daily_values(
    monthly: ArrayLike,
    weights: ArrayLike | None = None,
    lowest: float = -np.inf,
    highest: float = np.inf,
) -> Floats:
    """Return smooth values of 365 days with the given monthly means, December next to January.

    Parameters
    ----------
    monthly : means of the months, January first, shape (12,) [any unit].
    weights : what each day counts for in the mean of its month, shape (365,) [1]; each alike where
        they are left out and in a month where they are all 0.
    lowest, highest : no day passes these [unit of the means].

    Returns
    -------
    Daily values, shape (365,) [unit of the means].

    Raises
    ------
    ValueError : where there are not twelve finite means within the bounds.

    Notes
    -----
    Where smoothing and shifting no longer change anything, each day differs from the mean of its
    neighbours and itself by one number for its whole month: the values bend evenly within a month
    and meet without a corner. Twelve bends, which cancel over the year, and a level follow from
    twelve means.
    """
    means = np.asarray(monthly, np.float64)
    if means.shape != (12,) or not np.all((means >= lowest) & (means <= highest)):
        raise ValueError("twelve monthly means within their bounds are needed")
    shape, share = _bends(), _shares(weights)
    rows = np.zeros((13, 13))
    rows[:12, :12] = _monthly((shape * share[:, None]).T).T
    rows[:12, 12] = 1.0
    rows[12, :12] = DAYS_OF_MONTHS
    solved = np.linalg.solve(rows, np.append(means, 0.0))
    return _drawn_in(shape @ solved[:12] + solved[12], means, lowest, highest)


def monthly_means(daily: ArrayLike, weights: ArrayLike | None = None) -> Floats:
    """Return the means of the months of 365 days.

    Parameters
    ----------
    daily : values of the days from 1 January, shape (..., 365) [any unit].
    weights : what each day counts for in the mean of its month, shape (365,) [1]; each alike where
        they are left out.

    Returns
    -------
    Means of the months, January first, shape (..., 12) [unit of the days].
    """
    return _monthly(np.asarray(daily, np.float64) * _shares(weights))


@cache
def _bends() -> Floats:
    """Return what a bend of 1 in each month does to each day, shape (365, 12).

    Column m solves ``x[d] - (x[d-1] + x[d] + x[d+1]) / 3 = 1 in month m, else 0`` round the year,
    less the mean over the year of either side.
    """
    turn = 2.0 * np.pi * np.arange(DAYS_A_YEAR // 2 + 1) / DAYS_A_YEAR
    kept = np.zeros(turn.size)
    kept[1:] = 1.5 / (1.0 - np.cos(turn[1:]))
    of_month = (MONTH_OF_DAY[:, None] == np.arange(12)).astype(np.float64)
    spectrum = np.fft.rfft(of_month, axis=0) * kept[:, None]
    return np.asarray(np.fft.irfft(spectrum, DAYS_A_YEAR, axis=0), np.float64)


def _shares(weights: ArrayLike | None) -> Floats:
    """Return what each day counts for in its month; the days of a month sum to 1."""
    even = 1.0 / DAYS_OF_MONTHS[MONTH_OF_DAY]
    if weights is None:
        return even
    given = np.asarray(weights, np.float64)
    total = _monthly(given)[MONTH_OF_DAY]
    return np.where(total > 0.0, given / np.where(total > 0.0, total, 1.0), even)


def _monthly(daily: Floats) -> Floats:
    return np.asarray(np.add.reduceat(daily, _FIRST_DAYS, axis=-1), np.float64)


def _drawn_in(values: Floats, means: Floats, lowest: float, highest: float) -> Floats:
    """Return the same with the months that pass a bound drawn in about their mean."""
    away = values - means[MONTH_OF_DAY]
    up = np.maximum.reduceat(away, _FIRST_DAYS)
    down = -np.minimum.reduceat(away, _FIRST_DAYS)
    # A flat month is 0 away from its mean and needs no room.
    least = 1e-12
    part = np.minimum(
        1.0,
        np.minimum(
            (highest - means) / np.maximum(up, least), (means - lowest) / np.maximum(down, least)
        ),
    )
    # Where a day lies at its bound, the last digit of a sum may lie beyond it.
    drawn = np.clip(means[MONTH_OF_DAY] + part[MONTH_OF_DAY] * away, lowest, highest)
    return np.asarray(drawn, np.float64)
