"""How the clear-sky index of days spreads about its mean: a bounded exponential.

The clear-sky index of a day is its global horizontal light over that of a cloudless sky. Most
days of a sunny month crowd at the bright end and most of a dull one at the dark end; one
exponential between two bounds does both, and its mean alone decides which.

References
----------
B. Y. H. Liu, R. C. Jordan, "The interrelationship and characteristic distribution of direct,
diffuse and total solar radiation", Solar Energy 4 (1960) 1-19: the spread of days about a monthly
mean depends on that mean nearly alone. P. Bendt, M. Collares-Pereira, A. Rabl, "The frequency
distribution of daily insolation values", Solar Energy 27 (1981) 1-5: the exponential between two
bounds, there for clearness over extraterrestrial light. K. G. T. Hollands, R. G. Huget, "A
probability density function for the clearness index, with applications", Solar Energy 30 (1983)
195-209: another form of the same, for comparison. All three from memory.

The form on the clear-sky index instead of clearness, and both bounds, are fits of this program.
Against twelve yearly files of seven countries (typical years of the TMY2, TMY3, IWEC and PVGIS
kinds, generated years, one satellite year) the root mean square of its twelve monthly spreads
came out at .88 to 1.16 of the files' in ten, and at 1.40 (Aberdeen) and .62 (the foot of the
Alps) in the other two.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]

# The darkest and the brightest day as fractions of a cloudless one: fits of this program.
LOWEST_INDEX = 0.15
HIGHEST_INDEX = 1.05

# Below this the series of the Langevin function is exact to 1e-12, above it the closed form.
_SERIES_BELOW = 0.05
# The least rate that differs from none: below it the exponential is flat to rounding.
_FLAT_BELOW = 1e-9


def exponential_rate(
    mean_index: ArrayLike,
    lowest: ArrayLike = LOWEST_INDEX,
    highest: ArrayLike = HIGHEST_INDEX,
) -> Floats:
    """Return the rate of the bounded exponential that has this mean.

    With ``y = (index - lowest) / (highest - lowest)`` the density on 0..1 is proportional to
    ``exp(rate * y)``: positive where bright days crowd, 0 where all are equally likely.

    Parameters
    ----------
    mean_index : mean clear-sky index, any shape [1].
    lowest, highest : bounds of the index, of a shape that goes with it [1].

    Returns
    -------
    Rate, of the shape of the mean [1].

    Raises
    ------
    ValueError : where a mean does not lie between its bounds.

    Notes
    -----
    The mean of y is ``1/2 + L(rate/2)/2`` with the Langevin function ``L(x) = coth x - 1/x``. Its
    inverse starts from ``x = u (3 - u^2) / (1 - u^2)`` (A. Cohen, "A Padé approximant to the
    inverse Langevin function", Rheologica Acta 30 (1991) 270-273; within 5 %) and takes Newton's
    steps.
    """
    low, high = np.asarray(lowest, np.float64), np.asarray(highest, np.float64)
    mean = np.asarray(mean_index, np.float64)
    if not np.all((low < mean) & (mean < high)):
        raise ValueError("mean clear-sky index must lie between its bounds")
    u = 2.0 * (mean - low) / (high - low) - 1.0
    x = u * (3.0 - u * u) / (1.0 - u * u)
    for _ in range(6):
        value, slope = _langevin(x)
        x = x - (value - u) / slope
    return np.asarray(2.0 * x, np.float64)


def exponential_sd(
    rate: ArrayLike, lowest: ArrayLike = LOWEST_INDEX, highest: ArrayLike = HIGHEST_INDEX
) -> Floats:
    """Return the standard deviation of the index at this rate.

    The variance of y is the slope of its mean along the rate, ``L'(rate/2)/4``.

    Parameters
    ----------
    rate : from `exponential_rate`, any shape [1].
    lowest, highest : bounds of the index, of a shape that goes with it [1].

    Returns
    -------
    Standard deviation of the index, of the rate's shape [1].
    """
    _, slope = _langevin(np.asarray(rate, np.float64) / 2.0)
    width = np.asarray(highest, np.float64) - np.asarray(lowest, np.float64)
    return np.asarray(width * np.sqrt(slope) / 2.0, np.float64)


def exponential_cdf(
    index: ArrayLike,
    rate: ArrayLike,
    lowest: ArrayLike = LOWEST_INDEX,
    highest: ArrayLike = HIGHEST_INDEX,
) -> Floats:
    """Return the share of days at or below an index.

    Parameters
    ----------
    index : clear-sky index, any shape [1].
    rate : from `exponential_rate`, of a shape that goes with it [1].
    lowest, highest : bounds of the index, of a shape that goes with it [1].

    Returns
    -------
    Share of days, of the shape of index and rate together [1]; 0 and 1 beyond the bounds.
    """
    low, high = np.asarray(lowest, np.float64), np.asarray(highest, np.float64)
    y = np.clip((np.asarray(index, np.float64) - low) / (high - low), 0.0, 1.0)
    rates = np.asarray(rate, np.float64)
    bright = rates >= 0.0
    steep = np.maximum(np.abs(rates), _FLAT_BELOW)
    y = np.where(bright, y, 1.0 - y)
    share = np.exp(-steep * (1.0 - y)) * np.expm1(-steep * y) / np.expm1(-steep)
    return np.asarray(np.where(bright, share, 1.0 - share), np.float64)


def exponential_quantile(
    share: ArrayLike,
    rate: ArrayLike,
    lowest: ArrayLike = LOWEST_INDEX,
    highest: ArrayLike = HIGHEST_INDEX,
) -> Floats:
    """Return the index that a share of the days stays at or below.

    Parameters
    ----------
    share : shares of days, 0 to 1, any shape [1].
    rate : from `exponential_rate`, of a shape that goes with the shares [1].
    lowest, highest : bounds of the index, of a shape that goes with it [1].

    Returns
    -------
    Clear-sky index, of the shape of shares and rate together [1].
    """
    rates = np.asarray(rate, np.float64)
    bright = rates >= 0.0
    steep = np.maximum(np.abs(rates), _FLAT_BELOW)
    below = np.where(bright, share, 1.0 - np.asarray(share, np.float64))
    # log(below + (1 - below) exp(-steep)), without the loss of digits that a small rate brings.
    gentle = np.log1p((1.0 - below) * np.expm1(-np.minimum(steep, 1.0)))
    sharp = np.log(below + (1.0 - below) * np.exp(-np.maximum(steep, 1.0)))
    y = 1.0 + np.where(steep <= 1.0, gentle, sharp) / steep
    y = np.where(bright, y, 1.0 - y)
    low, high = np.asarray(lowest, np.float64), np.asarray(highest, np.float64)
    return np.asarray(low + (high - low) * y, np.float64)


def _langevin(x: Floats) -> tuple[Floats, Floats]:
    """Return ``coth x - 1/x`` and its slope ``1/x^2 - 1/sinh^2 x``."""
    size = np.abs(x)
    small = size < _SERIES_BELOW
    far = np.where(small, 1.0, size)
    fading = np.exp(-2.0 * far)
    far_value = (1.0 + fading) / (1.0 - fading) - 1.0 / far
    far_slope = 1.0 / far**2 - 4.0 * fading / (1.0 - fading) ** 2
    near = np.where(small, size, 0.0)
    near_value = near / 3.0 - near**3 / 45.0 + 2.0 * near**5 / 945.0
    near_slope = 1.0 / 3.0 - near**2 / 15.0 + 2.0 * near**4 / 189.0
    value = np.sign(x) * np.where(small, near_value, far_value)
    return value, np.where(small, near_slope, far_slope)
