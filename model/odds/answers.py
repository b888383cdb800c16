"""What follows from the odds of one station: what would raise and narrow them, and sizes.

All of it goes on the first of the very trips that the odds are counted over. Sizes take longest and
are asked for apart.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from numpy.random import default_rng

from model.engine.comparison import why_withheld
from model.odds.drivers import drivers
from model.odds.narrowed_odds import MoreYears, Narrowing, more_years, search_narrowings
from model.odds.odds import USUAL_TRIPS
from model.odds.odds_sizes import OddsFrontier, OddsSize, search_odds_frontier, search_odds_size
from model.odds.raised_odds import Raise, search_raises
from model.odds.shares import Share
from model.odds.station_trips import ASKED_TRIPS, Goal, StationTrips, first_trips
from model.odds.trip_runs import search_trip_runs
from model.odds.trips import Basis, draw_trips
from model.scenario.scenario import Scenario
from model.support.progress import Search, finish, within

# Sizes are asked for so many of ten trips.
USUAL_ODDS = 0.9


@dataclass(frozen=True)
class Sizes:
    """Sizes that meet the plan in so many trips; the latter two None without a panel.

    ``wanted_share`` is the share of trips that was asked for [1].
    """

    wanted_share: float
    battery: OddsSize
    panel: OddsSize | None
    frontier: OddsFrontier | None


@dataclass(frozen=True, eq=False)
class Answers:
    """Answers about one station.

    Attributes
    ----------
    asked : the trips that they are counted over, and whose.
    goal : what raises and narrows is judged by; sizes are for the plan to be met.
    now : odds of the goal as the station is.
    raises, narrowings : the best first.
    years : what more weather would do; None under planned skies.
    sizes : None where they were not asked for.
    """

    asked: StationTrips
    goal: Goal
    now: Share
    raises: tuple[Raise, ...]
    narrowings: tuple[Narrowing, ...]
    years: MoreYears | None
    sizes: Sizes | None = None

    @property
    def scenario(self) -> Scenario:
        """The scenario as it was asked about."""
        return self.asked.drawn.scenario

    @property
    def index(self) -> int:
        """Which of its stations."""
        return self.asked.index

    @property
    def trips(self) -> int:
        """How many trips all is counted over."""
        return self.asked.trips

    @property
    def basis(self) -> Basis:
        """Where the skies come from."""
        return self.asked.drawn.skies.basis


def answers(
    scenario: Scenario,
    index: int,
    *,
    goal: Goal = "receive",
    odds: float = USUAL_ODDS,
    trips: int = USUAL_TRIPS,
    seed: int = 0,
) -> Answers | None:
    """Return all that follows from the odds of one station; None for one that cannot be run.

    Parameters
    ----------
    scenario : the question.
    index : place of the station in it.
    goal : what the odds are of.
    odds : share of the trips that sizes are to meet the plan in [1].
    trips, seed : of the odds themselves: the first of the same trips are gone on.

    Returns
    -------
    What would raise and narrow the odds; None for a station that cannot be run.
    """
    found = finish(search_answers(scenario, index, goal=goal, trips=trips, seed=seed))
    return None if found is None else finish(search_with_sizes(found, odds))


def search_answers(
    scenario: Scenario,
    index: int,
    *,
    goal: Goal = "receive",
    trips: int = USUAL_TRIPS,
    seed: int = 0,
) -> Search[Answers | None]:
    """Ask what would raise and what would narrow the odds of a station.

    Parameters
    ----------
    trips, seed : of the odds themselves: the first of the same trips are gone on.

    Returns
    -------
    None for a station that cannot be run.

    Raises
    ------
    ValueError
        For fewer than one trip.
    """
    if trips < 1:
        raise ValueError(f"must be at least 1 trial trip, got {trips}")
    if why_withheld(scenario, index) is not None:
        return None
    drawn = first_trips(draw_trips(scenario, trips, default_rng(seed)), ASKED_TRIPS)
    asked = StationTrips(drawn, index)
    runs = yield from within(search_trip_runs(drawn, with_charge=False), 0.0, 0.1)
    own = runs[index]
    assert own is not None
    now = asked.share(own.receives if goal == "receive" else own.holds)
    raised = yield from within(search_raises(asked, goal), 0.1, 0.5)
    found = drivers(drawn, index, own)
    narrowed = yield from within(search_narrowings(asked, found, goal), 0.5, 1.0)
    return Answers(asked, goal, now, raised, narrowed, more_years(asked, now))


def search_with_sizes(found: Answers, odds: float = USUAL_ODDS) -> Search[Answers]:
    """Add the smallest sizes that meet the plan in so many of the same trips.

    Parameters
    ----------
    found : the answers so far.
    odds : share of the trips [1].

    Returns
    -------
    Gives the share done, 0..1, and at its end the answers with sizes.

    Raises
    ------
    ValueError
        For odds of none or all of the trips.
    """
    if not 0.0 < odds < 1.0:
        raise ValueError(f"must be odds above 0 and below 1, got {odds:g}")
    asked = found.asked
    battery = yield from within(search_odds_size(asked, "battery", odds), 0.0, 0.2)
    panel = frontier = None
    if found.scenario.stations[found.index].panel is not None:
        panel = yield from within(search_odds_size(asked, "panel", odds), 0.2, 0.4)
        frontier = yield from within(search_odds_frontier(asked, odds), 0.4, 1.0)
    return replace(found, sizes=Sizes(odds, battery, panel, frontier))
