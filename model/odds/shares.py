"""A share of trial trips, and within which bounds it stands for the odds."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from model.odds.intervals import odds_interval
from model.odds.trips import DrawnSkies
from model.support.intervals import wilson_interval

# Odds from days made of twelve months miss those from the days themselves by about a tenth: as
# surely as the share found in so many trips apart from each other.
TRIPS_OF_A_CLIMATE = 25.0
# Among so many of the trips the place is called dull, or bright.
PLACE_SHARE = 0.1


@dataclass(frozen=True)
class Share:
    """A share of the trips with bounds that hold what it is worth as odds, all 0 to 1 [1].

    The bounds come from how little is known of the sky, never from the number of trips alone.
    """

    value: float
    low: float
    high: float


def share_of(holds: NDArray[np.bool_], skies: DrawnSkies, days: int) -> Share:
    """Return the share of trips that hold, with bounds for what the skies are worth.

    Parameters
    ----------
    holds : whether each trip does, shape (trips,).
    days : local dates of a trip.

    Notes
    -----
    From years the bounds count years (``intervals.odds_interval``). From a climate they are those
    of ``TRIPS_OF_A_CLIMATE`` trips. From planned words the odds of the tenth of trips at the
    dullest places and at the brightest are the bounds, for one place is one of them.
    """
    value, trips = float(holds.mean()), holds.size
    own = wilson_interval(value, trips)
    if skies.years is not None and skies.start is not None:
        return _of_years(holds, skies.start, skies.years.year, days)
    if skies.place_deviation_ratio is None:
        bounds = wilson_interval(value, min(TRIPS_OF_A_CLIMATE, trips))
    else:
        order, count = np.argsort(skies.place_deviation_ratio), max(round(PLACE_SHARE * trips), 1)
        bounds = float(holds[order[:count]].mean()), float(holds[order[-count:]].mean())
    return Share(value, min(*bounds, own[0]), max(*bounds, own[1]))


def _of_years(
    holds: NDArray[np.bool_], start: NDArray[np.int64], year: NDArray[np.int64], days: int
) -> Share:
    """Return the share of the starts of years, each by all trips that begin with it."""
    times = np.bincount(start, minlength=year.size)
    held = np.bincount(start, weights=holds, minlength=year.size)
    met = times > 0
    low, high = odds_interval(held[met] / times[met], year[met], days)
    value = float(holds.mean())
    return Share(value, min(low, value), max(high, value))
