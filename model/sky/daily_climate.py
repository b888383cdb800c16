"""A climate of twelve months as 365 days: mean and spread of the clear-sky index, low and high.

A climate table gives clearness: the light of a mean day over what falls outside the atmosphere.
Whoever draws days needs the light over that of a cloudless day, which at the same clearness is
brighter in winter and under a low sun.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from model.sky.clear_sky_index import Floats, usual_spread, widest_spread
from model.sky.monthly_nodes import DAYS_A_YEAR, DAYS_OF_MONTHS, daily_values, monthly_means

# A month with less than this of the year's cloudless light, or a day with less than this of the
# longest day's, is dark: its index weighs nothing and is noise.
DARK_SHARE = 0.001
# No month of a place is darker or brighter in the mean: the twelve yearly files lie within .43 and
# 1.05. A table beyond it, or a 0 for a month without sun, counts as the nearest.
DARKEST_MONTH_INDEX, BRIGHTEST_MONTH_INDEX = 0.08, 1.17
# A day of the smooth year may stand this far beyond them.
_DAY_BEYOND = 0.01
# A beta with more than this share of the widest spread crowds at both ends and in no middle, and
# with less than this spread there is nothing to draw: given spreads count as the nearest.
_SPREAD_SHARE, _LEAST_SPREAD = 0.9, 0.01
# At these latitudes the year has its full swing between summer and winter.
TROPIC_DEG = 23.4
# Mid January and mid July: the coldest of the year lags the shortest day by three to four weeks.
_COLDEST_DAY = 14.0


@dataclass(frozen=True, eq=False)
class DailyClimate:
    """What days are drawn from, for each of the 365 days of a year; all arrays shape (365,).

    Attributes
    ----------
    mean_index, sd_index : clear-sky index of such days [1].
    low_c, high_c : mean low and high [degC].
    winter_share : 1 in the middle of winter, 0 in the middle of summer, 1/2 at the equator [1].
    """

    mean_index: Floats
    sd_index: Floats
    low_c: Floats
    high_c: Floats
    winter_share: Floats


def daily_climate(
    clearness: ArrayLike,
    low_c: ArrayLike,
    high_c: ArrayLike,
    *,
    latitude_deg: float,
    extraterrestrial_wh_m2: Floats,
    clear_wh_m2: Floats,
    clearness_sd: ArrayLike | None = None,
) -> DailyClimate:
    """Return a climate table of twelve months as 365 days.

    Parameters
    ----------
    clearness : monthly light on the level over that above the air, January first, shape (12,) [1].
    low_c, high_c : monthly means of the daily low and high, shape (12,) [degC].
    latitude_deg : south is negative [deg].
    extraterrestrial_wh_m2, clear_wh_m2 : light of each day on the level outside the atmosphere and
        under a cloudless sky, shape (365,) [Wh/m2].
    clearness_sd : standard deviation of the daily clearness within each month, shape (12,); where
        it is not known, that of `clear_sky_index.usual_spread` [1].

    Returns
    -------
    Mean and spread of the index, low and high of each day, shape (365,) each.

    Raises
    ------
    ValueError : where a table has not twelve months, or values below 0.

    Notes
    -----
    The means are smoothed so that those of each month, and for the index its light, stay as given
    (`monthly_nodes`); lows and highs apart from each other. A month whose index lies beyond
    `DARKEST_MONTH_INDEX` or `BRIGHTEST_MONTH_INDEX` counts as that, and a given spread as no wider
    than days of such a mean can have.
    """
    index = np.clip(
        monthly_index(clearness, extraterrestrial_wh_m2, clear_wh_m2),
        DARKEST_MONTH_INDEX,
        BRIGHTEST_MONTH_INDEX,
    )
    bounds = DARKEST_MONTH_INDEX - _DAY_BEYOND, BRIGHTEST_MONTH_INDEX + _DAY_BEYOND
    mean = daily_values(index, clear_wh_m2, *bounds)
    lows, highs = daily_values(low_c), daily_values(high_c)
    if clearness_sd is None:
        spread = usual_spread(mean, float(np.ptp(np.add(low_c, high_c))) / 2.0)
    else:
        ratio = monthly_means(extraterrestrial_wh_m2) / np.maximum(monthly_means(clear_wh_m2), 1.0)
        spread = _given_spread(mean, ratio, clearness_sd)
    return DailyClimate(
        mean_index=mean,
        sd_index=spread,
        low_c=lows,
        high_c=highs,
        winter_share=winter_share(latitude_deg),
    )


def monthly_index(
    clearness: ArrayLike, extraterrestrial_wh_m2: Floats, clear_wh_m2: Floats
) -> Floats:
    """Return the monthly mean clear-sky index that gives the light of a clearness.

    Parameters
    ----------
    clearness : monthly mean clearness, shape (12,) [1].
    extraterrestrial_wh_m2, clear_wh_m2 : as in `daily_climate`, shape (365,) [Wh/m2].

    Returns
    -------
    Light of the month over its cloudless light, shape (12,) [1]; in months without light the mean
    of the others, which nothing weighs.

    Raises
    ------
    ValueError : where there are not twelve values, or one is below 0.
    """
    given = np.asarray(clearness, np.float64)
    if given.shape != (12,) or not np.all(given >= 0.0):
        raise ValueError("clearness needs twelve monthly means, none below 0")
    clear = monthly_means(clear_wh_m2) * DAYS_OF_MONTHS
    light = given * monthly_means(extraterrestrial_wh_m2) * DAYS_OF_MONTHS
    lit = clear > DARK_SHARE * clear.sum()
    over_the_year = light[lit].sum() / clear[lit].sum()
    index = np.where(lit, light / np.where(lit, clear, 1.0), over_the_year)
    return np.asarray(index, np.float64)


def daily_index(
    clearness: ArrayLike, extraterrestrial_wh_m2: Floats, clear_wh_m2: Floats
) -> Floats:
    """Return the clear-sky index of days by their clearness, gaps staying NaN.

    Parameters
    ----------
    clearness : one for each day of each year, NaN in gaps, shape (..., 365) [1].
    extraterrestrial_wh_m2, clear_wh_m2 : as in `daily_climate`, shape (365,) [Wh/m2].

    Returns
    -------
    Clear-sky index, shape (..., 365) [1]; 1 on days without light, of which there is nothing to
    lose.
    """
    lit = clear_wh_m2 > DARK_SHARE * clear_wh_m2.max()
    scale = np.where(lit, extraterrestrial_wh_m2 / np.where(lit, clear_wh_m2, 1.0), 0.0)
    given = np.asarray(clearness, np.float64)
    return np.asarray(np.where(lit | np.isnan(given), given * scale, 1.0), np.float64)


def winter_share(latitude_deg: float) -> Floats:
    """Return how far each day is into winter: 1 mid-winter, 0 mid-summer.

    A cosine with its top in mid January north of the tropics and in mid July south of them; its
    swing fades to none at the equator, where a year has no such seasons. An assumption of this
    program.

    Parameters
    ----------
    latitude_deg : south is negative [deg].

    Returns
    -------
    Share of winter, shape (365,) [1].
    """
    swing = float(np.clip(latitude_deg / TROPIC_DEG, -1.0, 1.0))
    turn = 2.0 * np.pi * (np.arange(DAYS_A_YEAR) - _COLDEST_DAY) / DAYS_A_YEAR
    return np.asarray(0.5 + 0.5 * swing * np.cos(turn), np.float64)


def _given_spread(mean: Floats, ratio: Floats, clearness_sd: ArrayLike) -> Floats:
    """Return the spread of the index on each day, by the light above the air over the clear one."""
    spread = np.asarray(clearness_sd, np.float64)
    if spread.shape != (12,) or not np.all(spread >= 0.0):
        raise ValueError("clearness_sd needs twelve monthly values, none below 0")
    # In a dark month the ratio is noise; nothing weighs its spread.
    daily = daily_values(np.minimum(ratio * spread, 1.0), lowest=0.0)
    return np.clip(daily, _LEAST_SPREAD, _SPREAD_SHARE * widest_spread(mean))
