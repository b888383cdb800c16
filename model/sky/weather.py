"""Air temperature and the sky's index for every step of a trip."""

from __future__ import annotations

import numpy as np

from model.scenario.scenario import Site
from model.sky.timeline import Floats, Timeline, timeline
from model.sky.trip import Trip
from model.support.cache import kept_within, read_only

COLDEST_HOUR, WARMEST_HOUR = 3.0, 15.0


def air_c(site: Site, trip: Trip, step_min: float = 1.0) -> Floats:
    """Return the air temperature at the middle of each step.

    Half cosines by the local wall clock from each date's low at 03:00 to its high at 15:00, and
    from there to the low of the next date: there is no jump at midnight. Dates of one low and one
    high give ``mean + half range * cos(2 pi (h - 15) / 24)``. Before 03:00 of the first date the
    air falls from a high like that date's own, and after 15:00 of the last date the run touches it
    falls to a low like that date's own. Common practice, no source.

    Parameters
    ----------
    site : the place.
    trip : its weather gives lows and highs by local date.
    step_min : length of a step [min].

    Returns
    -------
    Air temperature, read-only, shape (steps,) [degC].
    """
    return _air_c(site, trip.with_air_alone(), step_min)


@kept_within(4_000_000)
def _air_c(site: Site, trip: Trip, step_min: float) -> Floats:
    low_c, high_c = (
        np.asarray(given, np.float64) for given in (trip.weather.low_c, trip.weather.high_c)
    )
    return read_only(air_of_dates(timeline(site, trip, step_min), low_c, high_c))


def air_of_dates(clock: Timeline, low_c: Floats, high_c: Floats) -> Floats:
    """Return the air temperature of ``air_c`` for lows and highs of one trip or of many.

    Parameters
    ----------
    clock : of the run.
    low_c, high_c : of each local date from that of the start, shape (dates,) or (dates, trips)
        [degC].

    Returns
    -------
    Air temperature, shape (steps,) or (steps, trips) [degC].
    """
    dates, hours = clock.date_of_step(), clock.wall_minutes() / 60.0
    low = by_date(low_c, dates + (hours >= WARMEST_HOUR), int(dates[-1]))
    high = by_date(high_c, dates - (hours < COLDEST_HOUR), int(dates[-1]))
    course = np.cos(2.0 * np.pi * (hours - WARMEST_HOUR) / 24.0)
    if low.ndim > 1:
        course = course[:, None]
    air: Floats = (low + high) / 2.0 + (high - low) / 2.0 * course
    return air


def index_per_step(index: tuple[float, ...], clock: Timeline) -> Floats:
    """Return the clear-sky index of each step, that of its local date.

    Parameters
    ----------
    index : of each local date from that of the start; a short tuple goes on with its last [1].
    clock : of the run.

    Returns
    -------
    Clear-sky index, shape (steps,) [1].
    """
    dates = clock.date_of_step()
    return by_date(index, dates, int(dates[-1]))


def by_date(given: tuple[float, ...] | Floats, dates: np.ndarray, last: int) -> Floats:
    """Return the value of each step's date; a short tuple goes on with its last.

    Parameters
    ----------
    given : value of each local date from that of the start, of many trips shape (dates, trips) [any
        unit].
    dates : which date each step lies on, from 0, shape (steps,).
    last : the last date the run touches; later ones count as that.

    Returns
    -------
    Value of each step, shape (steps,) or (steps, trips) [unit of the values].
    """
    values = np.asarray(given, dtype=np.float64)
    found: Floats = values[np.clip(dates, 0, min(last, len(values) - 1))]
    return found


def coldest_c(site: Site, trip: Trip) -> float:
    """Return the lowest of the lows of the dates that a trip touches.

    Parameters
    ----------
    site : the place.
    trip : its weather gives lows by local date.

    Returns
    -------
    Air temperature [degC].
    """
    return air_span_c(site, trip)[0]


def air_span_c(site: Site, trip: Trip) -> tuple[float, float]:
    """Return the lowest low and the highest high of the dates that a trip touches.

    Parameters
    ----------
    site : the place.
    trip : its weather gives lows and highs by local date.

    Returns
    -------
    Lowest and highest air temperature [degC].
    """
    count = len(timeline(site, trip).dates)
    return min(trip.weather.low_c[:count]), max(trip.weather.high_c[:count])
