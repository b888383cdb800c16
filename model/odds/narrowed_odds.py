"""What would narrow a station's odds: one measured number, or one more year of weather.

A number that is not known may be anything within its band, and each trip has another value of it.
Held at one value over the same trips it shows how far the odds hang on it; drawn as closely as a
measured one would be known, it shows how much closer together the trips end.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import log1p

import numpy as np

from model.odds.drivers import PLAN, SKY, Driver
from model.odds.intervals import (
    YEARS_FOR_T,
    independent_trips,
)
from model.odds.odds import HIGH_SHARE, LOW_SHARE
from model.odds.shares import TRIPS_OF_A_CLIMATE, Share
from model.odds.station_trips import Goal, StationTrips
from model.results.provenance import usual_spread
from model.scenario.declare import Provenance
from model.sky.timeline import Floats
from model.support.intervals import student_t, wilson_interval
from model.support.progress import Search, within

# So many numbers are asked about, the greatest drivers first.
NUMBERS_ASKED = 4
# Where fewer trips end, they are compared by their lowest charge.
ENDS_ENOUGH_SHARE = 0.5


@dataclass(frozen=True)
class Narrowing:
    """What it would be worth to measure one number.

    Attributes
    ----------
    path : such as ``stations.1.radio.receive_a``.
    origin : where the number comes from now.
    low, high : the lower and the higher odds with the number at the two ends of eight tenths of
        what it may be, over the same trips [1].
    width_h : how far apart eight in ten first ends lie, now and with the number measured; trips
        that last count as ending with the run. None where fewer than half of them end [h].
    width_fraction : the same of the lowest charge; None where half of the trips end [1].
    """

    path: str
    origin: Provenance
    low: float
    high: float
    width_h: tuple[float, float] | None
    width_fraction: tuple[float, float] | None

    @property
    def narrower_share(self) -> float:
        """By which share the ends, or the lowest charges, would come closer; never below 0 [1]."""
        now, then = self.width_h or self.width_fraction or (0.0, 0.0)
        return max(1.0 - then / now, 0.0) if now > 0 else 0.0


@dataclass(frozen=True)
class MoreYears:
    """What more years of weather would do to the bounds of the odds.

    Attributes
    ----------
    years : of weather that there would be.
    width_now_share, width_then_share : between the bounds, now and as expected then [1].
    """

    years: int
    width_now_share: float
    width_then_share: float


def search_narrowings(
    trips: StationTrips, found: tuple[Driver, ...], goal: Goal
) -> Search[tuple[Narrowing, ...]]:
    """Ask of the numbers that drive a station's uncertainty what it would be worth to measure them.

    Parameters
    ----------
    found : the drivers of that station, the greatest first; what is measured already is left out.

    Returns
    -------
    The one that the odds hang on most first, then the one that brings ends closest together.
    """
    asked = [
        one for one in found if one.path not in (SKY, PLAN) and one.origin not in (None, "measured")
    ][:NUMBERS_ASKED]
    results = []
    for at, driver in enumerate(asked):
        path = driver.path.split(".", 2)[2]
        search = search_narrowing(trips, path, goal)
        results.append((yield from within(search, at / len(asked), (at + 1) / len(asked))))
    return tuple(sorted(results, key=lambda one: (one.low - one.high, -one.narrower_share)))


def search_narrowing(trips: StationTrips, path: str, goal: Goal) -> Search[Narrowing]:
    """Ask what it would be worth to measure one number.

    Parameters
    ----------
    path : from the station on; one that is drawn.
    """
    known = trips.drawn.numbers[trips.index][path]
    number, factor = known.number, known.factor
    shares = []
    for at, end in enumerate((LOW_SHARE, HIGH_SHARE)):
        held = np.full(trips.trips, np.quantile(factor, end))
        search = trips.with_number(path, held).search()
        ended = yield from within(search, at / 4, (at + 1) / 4)
        shares.append(float(ended.met(goal).mean()))
    measured = min(usual_spread(path, "measured"), number.spread)
    # Lognormal: the logarithm of the error shrinks as the spread does.
    closer = factor ** (log1p(measured) / log1p(number.spread))
    now = yield from within(trips.search(), 0.5, 0.75)
    then = yield from within(trips.with_number(path, closer).search(), 0.75, 1.0)
    ends = float(np.isfinite(now.first_end_h).mean()) >= ENDS_ENOUGH_SHARE
    run_h = 24.0 * trips.drawn.scenario.day.days
    widths = (
        (_width(np.minimum(now.first_end_h, run_h)), _width(np.minimum(then.first_end_h, run_h)))
        if ends
        else (_width(now.lowest_fraction), _width(then.lowest_fraction))
    )
    return Narrowing(
        f"stations.{trips.index}.{path}", number.origin, min(shares), max(shares),
        widths if ends else None, None if ends else widths,
    )  # fmt: skip


def more_years(trips: StationTrips, share: Share) -> MoreYears | None:
    """Return what more years would do to the bounds of some odds; None under planned skies.

    From years: one more of them, with shares that scatter from year to year as those do. From a
    climate: as many as it takes until the days themselves bound the odds more closely than the
    twelve months do, if the odds stay as they are.
    """
    skies, now = trips.drawn.skies, share.high - share.low
    days = skies.days.index.shape[1]
    if skies.basis == "climate":
        years = 1
        while independent_trips(years, days) <= TRIPS_OF_A_CLIMATE:
            years += 1
        return MoreYears(years, now, _wilson_width(share.value, years, days))
    if skies.years is None:
        return None
    years = np.unique(skies.years.year).size
    then = _wilson_width(share.value, years + 1, days)
    if years >= YEARS_FOR_T:
        # The wider of two, as with the years that there are; Student's always shrinks by more.
        then = max(then, now * _t_width(years + 1) / _t_width(years))
    return MoreYears(years + 1, now, min(then, now))


def _wilson_width(value: float, years: int, days: int) -> float:
    low, high = wilson_interval(value, independent_trips(years, days))
    return high - low


def _t_width(years: int) -> float:
    """Return the width of Student's interval by year, over twice the scatter of the years [1]."""
    return float(student_t(years - 1) / np.sqrt(years))


def _width(values: Floats) -> float:
    low, high = np.quantile(values, (LOW_SHARE, HIGH_SHARE))
    return float(high - low)
