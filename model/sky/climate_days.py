"""Days drawn from a climate: one sky and one pair of temperatures for each trip and day.

References
----------
R. J. Aguiar, M. Collares-Pereira, J. P. Conde, Solar Energy 40 (1988) 269-279, and V. A. Graham,
K. G. T. Hollands, T. E. Unny, Solar Energy 40 (1988) 83-92: today's sky depends on yesterday's
and hardly on the day before; Graham draws normal scores with one lag and turns them into days by
their distribution, as here. From memory.

Fits of this program: the lag (twelve yearly files: .06 to .42, mean .23) and all that ties
temperature to the day. Assumption of this program: how much a year differs from the next.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.random import Generator
from numpy.typing import NDArray

from model.sky.clear_sky_index import Floats, index_quantile
from model.sky.daily_climate import DailyClimate
from model.sky.monthly_nodes import DAYS_A_YEAR

# Correlation of the normal scores of two days in a row, within a year.
SKY_PERSISTENCE = 0.25
# How far the light of a year stands from the mean of many, as a share of it: an assumption. One
# yearly file cannot tell, and a typical year is made to have none.
YEAR_SD = 0.08
# Of the variance of a day's score the year takes no more than a quarter: where all days of a month
# are bright those of another year are bright as well.
MOST_OF_A_SCORE = 0.5

# How a day's low and high go with its clear-sky index, in the middle of winter and of summer
# [degC per unit of index]. Twelve yearly files: lows -10.5 to -3.6 and -5.2 to 2.8, highs -10.2
# to 5.0 and 3.5 to 19.7; the sign of the winter high differs from coast to inland.
LOW_PER_INDEX = (-5.0, -1.0)
HIGH_PER_INDEX = (2.0, 6.0)
# What is left is drawn: persistence of the day before (files .44 to .79, mean .59; spliced years
# show too little), standard deviations in winter and summer [degC] and what a low and its high
# share: means of the files.
AIR_PERSISTENCE = 0.7
LOW_SD_C = (3.3, 2.2)
HIGH_SD_C = (3.1, 2.6)
LOW_WITH_HIGH = 0.7

# Beyond six deviations no score is drawn.
_SCORES = np.linspace(-6.0, 6.0, 4001)
_SHARES = np.array([0.5 * math.erfc(-score / math.sqrt(2.0)) for score in _SCORES])


@dataclass(frozen=True, eq=False)
class DaySkies:
    """Skies of drawn days; all arrays shape (trips, days).

    Attributes
    ----------
    index : clear-sky index, the day's light over that of a cloudless day [1].
    low_c, high_c : lowest and highest temperature of the day [degC].
    """

    index: Floats
    low_c: Floats
    high_c: Floats

    def of(self, trips: slice | NDArray[np.int64]) -> DaySkies:
        """Return the skies of some trips.

        Parameters
        ----------
        trips : which of them, as numpy selects rows.

        Returns
        -------
        Skies, shape (trips selected, days).
        """
        return DaySkies(self.index[trips], self.low_c[trips], self.high_c[trips])


def draw_days(
    climate: DailyClimate,
    first_day: int,
    days: int,
    trips: int,
    chance: Generator,
    *,
    year_sd: float = YEAR_SD,
) -> DaySkies:
    """Draw the days of trips that all begin on one day of the year, each in a year of its own.

    Parameters
    ----------
    climate : what is drawn from.
    first_day : day of the year from 0 to 364 (`monthly_nodes.day_of_year`); the year goes round.
    days, trips : how many.
    chance : where the draws come from; the same state gives the same days.
    year_sd : standard deviation of a year's light over that of the climate [1].

    Returns
    -------
    Index, low and high of every trip and day, shape (trips, days) each.

    Notes
    -----
    A year's factor enters through the normal score: score = ``w * year + sqrt(1 - w^2) * day``
    with ``w = year_sd * mean / sd`` of the index, at most 1/2. So no factor carries a day beyond
    its bounds, and means and spreads of the climate stay what they were.
    """
    on = (first_day + np.arange(days)) % DAYS_A_YEAR
    of_year = mirrored_scores(chance, trips, 1)
    of_day = _persistent(chance, trips, days, SKY_PERSISTENCE)
    mean, spread = climate.mean_index[on], climate.sd_index[on]
    weight = np.minimum(year_sd * mean / spread, MOST_OF_A_SCORE)
    share = normal_share(weight * of_year + np.sqrt(1.0 - weight**2) * of_day)
    index = index_quantile(share, mean, spread)
    low_c, high_c = _temperatures(climate, on, index - mean, chance)
    return DaySkies(index, low_c, high_c)


def draw_years(
    climate: DailyClimate, years: int, chance: Generator, *, year_sd: float = YEAR_SD
) -> DaySkies:
    """Draw whole years from 1 January.

    Parameters
    ----------
    climate : what is drawn from.
    years : how many.
    chance : where the draws come from; the same state gives the same years.
    year_sd : standard deviation of a year's light over that of the climate [1].

    Returns
    -------
    As of `draw_days`, arrays of shape (years, 365).
    """
    return draw_days(climate, 0, DAYS_A_YEAR, years, chance, year_sd=year_sd)


def normal_share(score: Floats) -> Floats:
    """Return the share of a normal distribution below a score, from a table.

    Parameters
    ----------
    score : in standard deviations from the mean, any shape [1].

    Returns
    -------
    Share, within 2e-6, of the shape of the scores [1].
    """
    return np.asarray(np.interp(score, _SCORES, _SHARES), np.float64)


def mirrored_scores(chance: Generator, trips: int, days: int) -> Floats:
    """Draw normal scores of which the second half mirrors the first.

    For every trip under a bright sky there is one under an equally dull one, so that few trips
    already have the mean light of the climate (antithetic variates). Each by itself is drawn as if
    alone.

    Parameters
    ----------
    chance : where the draws come from.
    trips, days : how many.

    Returns
    -------
    Scores of mean 0 and standard deviation 1, shape (trips, days) [1].

    References
    ----------
    J. M. Hammersley, K. W. Morton, "A new Monte Carlo technique: antithetic variates", Proc.
    Cambridge Phil. Soc. 52 (1956) 449-475.
    """
    drawn = chance.standard_normal(((trips + 1) // 2, days))
    return np.concatenate([drawn, -drawn])[:trips]


def _persistent(chance: Generator, trips: int, days: int, persistence: float) -> Floats:
    """Draw normal scores of variance 1 that hold on from day to day, shape (trips, days)."""
    score = mirrored_scores(chance, trips, days)
    fresh = math.sqrt(1.0 - persistence**2)
    for day in range(1, days):
        score[:, day] = persistence * score[:, day - 1] + fresh * score[:, day]
    return score


def _temperatures(
    climate: DailyClimate, on: NDArray[np.int64], brighter: Floats, chance: Generator
) -> tuple[Floats, Floats]:
    """Return low and high of the days, tied to how much brighter each is than the mean. [degC]"""
    trips, days = brighter.shape
    winter = climate.winter_share[on]

    def in_season(pair: tuple[float, float]) -> Floats:
        return np.asarray(winter * pair[0] + (1.0 - winter) * pair[1], np.float64)

    score = _persistent(chance, trips, days, AIR_PERSISTENCE)
    apart = math.sqrt(1.0 - LOW_WITH_HIGH**2)
    other = LOW_WITH_HIGH * score + apart * _persistent(chance, trips, days, AIR_PERSISTENCE)
    low = climate.low_c[on] + in_season(LOW_PER_INDEX) * brighter + in_season(LOW_SD_C) * score
    high = climate.high_c[on] + in_season(HIGH_PER_INDEX) * brighter + in_season(HIGH_SD_C) * other
    # A day whose low would stand above its high has neither: the air stays where it is.
    middle = (low + high) / 2.0
    return np.minimum(low, middle), np.maximum(high, middle)
