"""The odds of every station over trial trips: what holds, how surely, and who outlasts whom."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.random import default_rng

from model.engine.comparison import COARSE_STEP_MIN
from model.engine.first_end import CLOCK_NAMES, ClockName
from model.odds.drivers import Driver, drivers
from model.odds.half_months import HalfMonth, search_half_months
from model.odds.shares import Share, share_of
from model.odds.trip_runs import TripRuns, search_trip_runs
from model.odds.trips import Basis, Trips, Varied, draw_trips
from model.scenario.scenario import Scenario
from model.sky.timeline import Floats, timeline
from model.support.progress import Search, finish, within

USUAL_TRIPS = 2000
# Enough for a first answer while somebody edits.
FIRST_TRIPS = 200
# The band and the spread of ends leave a tenth out on each side.
LOW_SHARE, MIDDLE_SHARE, HIGH_SHARE = 0.1, 0.5, 0.9
# Beyond these odds one station is said to outlast the other.
CLOSE_CALL_SHARE = 0.8


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
    low_fraction, middle_fraction, high_fraction : of charge at the step boundaries: tenth, half and
        nine tenths of all trips lie below; shape (steps + 1,) [1].
    first_end_h : first of the three clocks' ends of each trip, inf where none; shape (trips,) [h].
    receive_end_h : when it goes off the air in each trip, inf where it does not; likewise [h].
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
    receive_end_h: Floats
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
        """Return how often one station receives longer; None where one cannot be run.

        Two that both receive to the end tie, as do two that go off the air in the same step.
        """
        one, other = self.stations[first], self.stations[second]
        if one is None or other is None:
            return None
        longer = float(np.mean(one.receive_end_h > other.receive_end_h))
        shorter = float(np.mean(one.receive_end_h < other.receive_end_h))
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
    """Return the odds of every station; see ``search_odds``.

    Parameters
    ----------
    scenario : the question.
    trips : how many.
    seed : the same one gives the same trips.
    basis : where skies come from; without it, the best there is.
    by_half_month : the year in half-months as well, where there is a climate.

    Returns
    -------
    Shares of trips [1] and hours of ends [h] of every station.
    """
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
    scenario : the question.
    trips : how many.
    seed : the same one gives the same trips, so that odds move only when the scenario does.
    basis : where skies come from; without it, years before the climate before planned words.
    by_half_month : the year in half-months as well, where there is a climate.
    step_min : length of a step [min].
    varied : what differs from trip to trip; without it everything.

    Returns
    -------
    Gives the share done, 0..1, and at its end the odds.

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
        receive_end_h=runs.ends_h["receive"],
        drivers=drivers(drawn, index, runs),
    )


def ends_of(ends_h: Floats) -> Ends:
    """Return where eight in ten of the ends lie.

    Parameters
    ----------
    ends_h : ends from the start of the run, inf for never, shape (trips,) [h].

    Returns
    -------
    Quantiles of those that end [h].
    """
    ordered, trips = np.sort(ends_h), ends_h.size
    low, middle, high = (
        float(ordered[_place(share, trips)]) for share in (LOW_SHARE, MIDDLE_SHARE, HIGH_SHARE)
    )
    return Ends(low, middle, high, float(np.mean(np.isinf(ends_h))))


def _place(share: float, trips: int) -> int:
    """Return which of the ordered trips a further one lies below with this probability."""
    # Of n trips and one more, each order is as likely: the k-th has k of n + 1 below it.
    return min(max(round(share * (trips + 1)) - 1, 0), trips - 1)
