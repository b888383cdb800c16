"""The odds of every station over trial trips: what holds, how surely, and who outlasts whom."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.random import default_rng
from numpy.typing import NDArray

from model.engine.comparison import COARSE_STEP_MIN
from model.odds.drivers import Driver, drivers
from model.odds.half_months import HalfMonth, search_half_months
from model.odds.intervals import odds_interval, wilson_interval
from model.odds.trip_runs import TripRuns, search_trip_runs
from model.odds.trips import Basis, DrawnSkies, Trips, Varied, draw_trips
from model.results.tie_point import CLOCK_NAMES, ClockName
from model.scenario.scenario import Scenario
from model.sky.timeline import Floats, timeline
from model.support.progress import Search, finish, within

USUAL_TRIPS = 2000
# Enough for a first answer while somebody edits.
FIRST_TRIPS = 200
# The band and the spread of ends leave a tenth out on each side.
LOW_SHARE, MIDDLE_SHARE, HIGH_SHARE = 0.1, 0.5, 0.9
# Odds from days made of twelve months miss those from the days themselves by about a tenth: as
# surely as the share found in so many trips apart from each other.
TRIPS_OF_A_CLIMATE = 25.0
# Beyond these odds one station is said to outlast the other.
CLOSE_CALL_SHARE = 0.8
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


@dataclass(frozen=True)
class Ends:
    """Where eight in ten trips end; inf where a clock does not end within the run [h]."""

    low_h: float
    middle_h: float
    high_h: float
    never_share: float


@dataclass(frozen=True, eq=False)
class StationOdds:
    """One station's odds.

    Attributes
    ----------
    holds : keeps its reserve, and no clock ends.
    reserve : keeps its reserve.
    receive : receives to the end.
    full_power : has full power to the end; None where the plan sends nothing.
    loss_of_load_share : share of the hours of all trips with the loads off [1].
    ends : of each clock.
    low_fraction, middle_fraction, high_fraction : of charge at the step boundaries: tenth, half
        and nine tenths of all trips lie below; shape (steps + 1,). [1]
    first_end_h : first of the three clocks' ends of each trip, inf where none; shape (trips,).
    drivers : what moves it beyond chance, the greatest first.
    """

    holds: Share
    reserve: Share
    receive: Share
    full_power: Share | None
    loss_of_load_share: float
    ends: dict[ClockName, Ends]
    low_fraction: Floats
    middle_fraction: Floats
    high_fraction: Floats
    first_end_h: Floats
    drivers: tuple[Driver, ...]


@dataclass(frozen=True)
class Outlasts:
    """How often one station outlasts another on the same skies; the three sum to one [1]."""

    first_share: float
    second_share: float
    tie_share: float


@dataclass(frozen=True, eq=False)
class Odds:
    """All stations' odds; None where a station cannot be run.

    Attributes
    ----------
    time_h : step boundaries of the bands, shape (steps + 1,) [h].
    basis : where the skies come from.
    typical : some of the years are spliced from ordinary months.
    wrapped_share : share of the trips that go from the end of a year to its own beginning [1].
    years : of how many years the trips are; 0 without any.
    half_months : the year in 24 pieces; none where only planned skies are known.
    """

    scenario: Scenario
    trips: int
    basis: Basis
    typical: bool
    wrapped_share: float
    years: int
    time_h: Floats
    stations: tuple[StationOdds | None, ...]
    half_months: tuple[HalfMonth, ...]

    def outlasts(self, first: int, second: int) -> Outlasts | None:
        """Return how often one station outlasts another; None where one cannot be run.

        Two that both last out the run tie, as do two that end in the same step.
        """
        one, other = self.stations[first], self.stations[second]
        if one is None or other is None:
            return None
        longer = float(np.mean(one.first_end_h > other.first_end_h))
        shorter = float(np.mean(one.first_end_h < other.first_end_h))
        return Outlasts(longer, shorter, 1.0 - longer - shorter)

    def within(self, index: int, hours: float) -> tuple[float, float] | None:
        """Return where eight in ten trips' charge lies at a moment of the run [1].

        None where the station cannot be run.
        """
        station = self.stations[index]
        if station is None:
            return None
        low, high = (
            float(np.interp(hours, self.time_h, ends))
            for ends in (station.low_fraction, station.high_fraction)
        )
        return low, high


def odds(
    scenario: Scenario,
    trips: int = USUAL_TRIPS,
    seed: int = 0,
    *,
    basis: Basis | None = None,
    by_half_month: bool = False,
) -> Odds:
    """Return the odds of every station; see ``search_odds``."""
    return finish(search_odds(scenario, trips, seed, basis=basis, by_half_month=by_half_month))


def search_odds(
    scenario: Scenario,
    trips: int = USUAL_TRIPS,
    seed: int = 0,
    *,
    basis: Basis | None = None,
    by_half_month: bool = False,
    step_min: float = COARSE_STEP_MIN,
    varied: Varied | None = None,
) -> Search[Odds]:
    """Run every station through trial trips.

    Parameters
    ----------
    trips : how many.
    seed : the same one gives the same trips, so that odds move only when the scenario does.
    basis : where skies come from; without it, years before the climate before planned words.
    by_half_month : the year in half-months as well, where there is a climate.
    varied : what differs from trip to trip; without it everything.

    Raises
    ------
    ValueError
        For fewer than one trip, or a basis that the scenario does not offer.
    """
    if trips < 1:
        raise ValueError(f"must be at least 1 trial trip, got {trips}")
    chance = default_rng(seed)
    drawn = draw_trips(scenario, trips, chance, basis=basis, varied=varied)
    share = 0.4 if by_half_month else 1.0
    runs = yield from within(search_trip_runs(drawn, step_min=step_min), 0.0, share)
    months: tuple[HalfMonth, ...] = ()
    if by_half_month and drawn.skies.basis != "forecast":
        months = yield from within(search_half_months(scenario, seed), share, 1.0)
    clock, years = timeline(scenario.site, scenario.day, step_min), drawn.skies.years
    return Odds(
        scenario=scenario,
        trips=trips,
        basis=drawn.skies.basis,
        typical=drawn.skies.typical,
        wrapped_share=float(years.wrapped.mean()) if years is not None else 0.0,
        years=np.unique(years.year).size if years is not None else 0,
        time_h=np.arange(clock.steps + 1, dtype=np.float64) * clock.step_h,
        stations=tuple(
            None if one is None else _station(drawn, index, one) for index, one in enumerate(runs)
        ),
        half_months=months,
    )


def _station(drawn: Trips, index: int, runs: TripRuns) -> StationOdds:
    days, skies = len(drawn.skies.days.index[0]), drawn.skies
    assert runs.charge_fraction is not None
    places = [_place(share, drawn.trips) for share in (LOW_SHARE, MIDDLE_SHARE, HIGH_SHARE)]
    low, middle, high = np.partition(runs.charge_fraction, places, axis=1)[:, places].T
    return StationOdds(
        holds=share_of(runs.holds, skies, days),
        reserve=share_of(runs.reserve_kept, skies, days),
        receive=share_of(runs.receives, skies, days),
        full_power=share_of(runs.full_power, skies, days) if runs.sends else None,
        loss_of_load_share=float(runs.off_share.mean()),
        ends={name: ends_of(runs.ends_h[name]) for name in CLOCK_NAMES},
        low_fraction=low,
        middle_fraction=middle,
        high_fraction=high,
        first_end_h=runs.first_end_h,
        drivers=drivers(drawn, index, runs),
    )


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
    dullest places and at the brightest are the bounds, for one place is one of them; where the
    place is known by its climate, those of a climate again.
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


def ends_of(ends_h: Floats) -> Ends:
    """Return where eight in ten of the ends lie; inf stands for never. [h]"""
    ordered, trips = np.sort(ends_h), ends_h.size
    low, middle, high = (
        float(ordered[_place(share, trips)]) for share in (LOW_SHARE, MIDDLE_SHARE, HIGH_SHARE)
    )
    return Ends(low, middle, high, float(np.mean(np.isinf(ends_h))))


def _place(share: float, trips: int) -> int:
    """Return which of the ordered trips a further one lies below with this probability."""
    # Of n trips and one more, each order is as likely: the k-th has k of n + 1 below it.
    return min(max(round(share * (trips + 1)) - 1, 0), trips - 1)
