"""The clear-sky index of days where both its mean and its spread are known: a beta.

References
----------
V. A. Graham, K. G. T. Hollands, T. E. Unny, "A time series model for Kt with application to
global synthetic weather generation", Solar Energy 40 (1988) 83-92, and R. J. Aguiar, M.
Collares-Pereira, J. P. Conde, "Simple procedure for generating sequences of daily radiation
values using a library of Markov transition matrices", Solar Energy 40 (1988) 269-279: sequences
of days from monthly means through scores whose distribution is known. From memory. The beta on
the clear-sky index and its bounds are a choice of this program.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from model.sky.clear_sky_index import Floats

# Wider than the exponential's: with a spread of its own a month needs no bounds to make one. In
# eleven of twelve yearly files the darkest and the brightest day stood at .1 and 1.23.
LOWEST_BETA_INDEX = 0.05
HIGHEST_BETA_INDEX = 1.22

_WIDTH = HIGHEST_BETA_INDEX - LOWEST_BETA_INDEX
_POINTS = 801
# These only find where the tails end.
_COARSE_POINTS = 101
# exp(-25) of the density is left beyond each end of the table.
_TAIL = 25.0


def widest_spread(mean_index: ArrayLike) -> Floats:
    """Return the spread that a beta of this mean stays below; half the days at each bound have it.

    Parameters
    ----------
    mean_index : mean clear-sky index, any shape [1].

    Returns
    -------
    Standard deviation, of the mean's shape [1]; 0 where the mean lies beyond the bounds.
    """
    mean = np.asarray(mean_index, np.float64)
    room = (mean - LOWEST_BETA_INDEX) * (HIGHEST_BETA_INDEX - mean)
    return np.asarray(np.sqrt(np.maximum(room, 0.0)), np.float64)


def beta_quantile(share: Floats, mean_index: Floats, sd_index: Floats) -> Floats:
    """Return the index that a share of the days stays at or below.

    Parameters
    ----------
    share : shares of days, between 0 and 1, shape (trips, days) [1].
    mean_index, sd_index : mean and standard deviation of each day, shape (days,) [1].

    Returns
    -------
    Clear-sky index, shape (trips, days) [1]; within .002 of the exact quantile between shares of
    .001 and .999.

    Raises
    ------
    ValueError : where a spread is not between 0 and `widest_spread`.

    Notes
    -----
    Over the log odds z of ``y = (index - lowest) / (highest - lowest)`` the density is
    ``y^a (1-y)^b``: smooth and with exponential tails for every a and b, where that over y is
    infinite at an end as soon as a or b is below 1. One table a day by the trapezoidal rule.
    """
    if not np.all((sd_index > 0.0) & (sd_index < widest_spread(mean_index))):
        raise ValueError("spread of the clear-sky index must be above 0 and below the widest")
    mean = (mean_index - LOWEST_BETA_INDEX) / _WIDTH
    weight = mean * (1.0 - mean) / (sd_index / _WIDTH) ** 2 - 1.0
    a, b = mean * weight, (1.0 - mean) * weight
    found = np.empty_like(share)
    for day, (at_low, at_high) in enumerate(zip(a, b, strict=True)):
        log_odds, cumulative = _table(float(at_low), float(at_high))
        found[:, day] = np.interp(share[:, day], cumulative, log_odds)
    y = np.exp(-np.logaddexp(0.0, -found))
    return np.asarray(LOWEST_BETA_INDEX + _WIDTH * y, np.float64)


def _table(a: float, b: float) -> tuple[Floats, Floats]:
    """Return log odds and the share of days at or below each, shape (points,)."""

    def log_density(z: Floats) -> Floats:
        return np.asarray(-a * np.logaddexp(0.0, -z) - b * np.logaddexp(0.0, z), np.float64)

    # About its middle the density over z is a bell of this width; far out the tails take over.
    middle, bell = np.log(a / b), np.sqrt(1.0 / a + 1.0 / b)
    top = log_density(np.array([middle]))[0]
    reach = np.sqrt(2.0 * _TAIL) * bell
    wide = np.linspace(middle - reach - _TAIL / a, middle + reach + _TAIL / b, _COARSE_POINTS)
    inside = np.flatnonzero(log_density(wide) > top - _TAIL)
    ends = wide[max(inside[0] - 1, 0)], wide[min(inside[-1] + 1, _COARSE_POINTS - 1)]
    z = np.linspace(*ends, _POINTS)
    density = np.exp(log_density(z) - top)
    cumulative = np.concatenate([[0.0], np.cumsum(density[1:] + density[:-1])])
    return z, cumulative / cumulative[-1]
