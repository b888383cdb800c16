"""What follows from the odds of one station: what would raise and narrow them, and sizes.

All of it goes on the first of the very trips that the odds are counted over.
"""

from __future__ import annotations

from dataclasses import dataclass

from numpy.random import default_rng

from model.engine.comparison import why_withheld
from model.odds.drivers import drivers
from model.odds.narrowed_odds import MoreYears, Narrowing, more_years, search_narrowings
from model.odds.odds import USUAL_TRIPS, Share
from model.odds.odds_sizes import OddsFrontier, OddsSize, search_odds_frontier, search_odds_size
from model.odds.raised_odds import Raise, search_raises
from model.odds.station_trips import ASKED_TRIPS, Goal, StationTrips, first_trips
from model.odds.trip_runs import search_trip_runs
from model.odds.trips import Basis, draw_trips
from model.scenario.scenario import Scenario
from model.support.progress import Search, finish, within

# Sizes are asked for so many of ten trips.
USUAL_ODDS = 0.9


@dataclass(frozen=True, eq=False)
class Answers:
    """Answers about one station.

    Attributes
    ----------
    index : of the station.
    goal : what raises and narrows is judged by; sizes are for the plan to be met.
    wanted_share : the chosen odds that sizes are for [1].
    trips : how many they are counted over.
    basis : where the skies come from.
    now : odds of the goal as the station is.
    raises, narrowings : the best first.
    years : what more weather would do; None under planned skies.
    battery, panel, frontier : sizes; the latter two None without a panel.
    """

    scenario: Scenario
    index: int
    goal: Goal
    wanted_share: float
    trips: int
    basis: Basis
    now: Share
    raises: tuple[Raise, ...]
    narrowings: tuple[Narrowing, ...]
    years: MoreYears | None
    battery: OddsSize
    panel: OddsSize | None
    frontier: OddsFrontier | None


def answers(
    scenario: Scenario,
    index: int,
    *,
    goal: Goal = "receive",
    odds: float = USUAL_ODDS,
    trips: int = USUAL_TRIPS,
    seed: int = 0,
) -> Answers | None:
    """Return what follows from the odds of one station; see ``search_answers``."""
    return finish(search_answers(scenario, index, goal=goal, odds=odds, trips=trips, seed=seed))


def search_answers(
    scenario: Scenario,
    index: int,
    *,
    goal: Goal = "receive",
    odds: float = USUAL_ODDS,
    trips: int = USUAL_TRIPS,
    seed: int = 0,
) -> Search[Answers | None]:
    """Ask what would raise and narrow the odds of a station, and which sizes reach chosen ones.

    Parameters
    ----------
    odds : share of the trips that sizes are to meet the plan in [1].
    trips, seed : of the odds themselves: the first of the same trips are gone on.

    Returns
    -------
    None for a station that cannot be run.

    Raises
    ------
    ValueError
        For odds of none or all of the trips, or fewer than one trip.
    """
    if not 0.0 < odds < 1.0:
        raise ValueError(f"must be odds above 0 and below 1, got {odds:g}")
    if trips < 1:
        raise ValueError(f"must be at least 1 trial trip, got {trips}")
    if why_withheld(scenario, index) is not None:
        return None
    drawn = first_trips(draw_trips(scenario, trips, default_rng(seed)), ASKED_TRIPS)
    asked = StationTrips(drawn, index)
    runs = yield from within(search_trip_runs(drawn, with_charge=False), 0.0, 0.05)
    own = runs[index]
    assert own is not None
    now = asked.share(own.receives if goal == "receive" else own.holds)
    raised = yield from within(search_raises(asked, goal), 0.05, 0.2)
    found = drivers(drawn, index, own)
    narrowed = yield from within(search_narrowings(asked, found, goal), 0.2, 0.35)
    battery = yield from within(search_odds_size(asked, "battery", odds), 0.35, 0.45)
    panel = frontier = None
    if scenario.stations[index].panel is not None:
        panel = yield from within(search_odds_size(asked, "panel", odds), 0.45, 0.6)
        frontier = yield from within(search_odds_frontier(asked, odds), 0.6, 1.0)
    return Answers(
        scenario, index, goal, odds, drawn.trips, drawn.skies.basis, now, raised, narrowed,
        more_years(asked, now), battery, panel, frontier,
    )  # fmt: skip
