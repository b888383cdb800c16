"""What would raise a station's odds: each of the advice's measures, over the same trial trips."""

from __future__ import annotations

from dataclasses import dataclass

from model.advice.actions import all_actions
from model.advice.offers import fix_words, is_safe, price_words
from model.engine.comparison import why_withheld
from model.odds.shares import Share
from model.odds.station_trips import Goal, StationTrips
from model.scenario.scenario import Scenario
from model.station.carried_mass import CarriedMass, carried_total, shared_extras
from model.support.progress import Search, within

# What helps fewer of the trips than this does not count: one in a hundred.
LEAST_GAIN_SHARE = 0.01


@dataclass(frozen=True, eq=False)
class Raise:
    """One measure that raises the odds.

    Attributes
    ----------
    key : a short fixed name.
    words : what is changed, with the letter of the station, or "All" where the plan is.
    price : what is given up, as the day's offers state it; empty where nothing is.
    more_kg : how much more is carried [kg].
    more_cost : how much more it costs [own currency].
    odds : with the change, over the same trips.
    changed : the scenario with the change made.
    """

    key: str
    words: str
    price: str
    more_kg: float
    more_cost: float
    odds: Share
    changed: Scenario


def search_raises(trips: StationTrips, goal: Goal) -> Search[tuple[Raise, ...]]:
    """Run every safe measure over the trips, and return those that help, the best first.

    None that weakens a protection, lowers the reserve or brings a new warning is tried; of equals
    the one that adds less to carry comes first.
    """
    scenario, index = trips.drawn.scenario, trips.index
    safe = [one for one in all_actions(scenario, index) if is_safe(scenario, one.changed)]
    able = [one for one in safe if why_withheld(one.changed, index) is None]
    runs, part = 1, 1.0 / (len(able) + 1)
    now = trips.share((yield from within(trips.search(), 0.0, part)).met(goal))
    found, carried = [], _load(scenario, index)
    for measure in able:
        search = trips.under(measure.changed).search()
        ended = yield from within(search, runs * part, (runs + 1) * part)
        runs += 1
        odds, then = trips.share(ended.met(goal)), _load(measure.changed, index)
        if odds.value < now.value + LEAST_GAIN_SHARE:
            continue
        words = fix_words(scenario, index, measure)
        more_kg, more_cost = then.mass_kg - carried.mass_kg, then.cost - carried.cost
        price = price_words(measure)
        found.append(Raise(measure.key, words, price, more_kg, more_cost, odds, measure.changed))
    return tuple(sorted(found, key=lambda one: (-one.odds.value, one.more_kg)))


def _load(scenario: Scenario, index: int) -> CarriedMass:
    return carried_total(scenario.stations[index], shared_extras(scenario, index))
