"""The year in half-months: the odds of the same plan from the 1st and the 16th of each month."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date as Date

from numpy.random import default_rng

from model.odds.shares import Share, share_of
from model.odds.trip_runs import search_trip_runs
from model.odds.trips import Basis, draw_trips
from model.scenario.scenario import Scenario
from model.support.progress import Search, within

# Enough to tell eight in ten from nine: each share is within .06 of that of many more trips.
TRIPS_EACH = 200


@dataclass(frozen=True)
class HalfMonth:
    """Odds of trips that begin about one date; by station, None for one that cannot run.

    Attributes
    ----------
    start : the 1st or the 16th.
    basis : where its skies come from: years, or the climate where they hold no days about it.
    holds, receive : as in ``StationOdds``.
    """

    start: Date
    basis: Basis
    holds: tuple[Share | None, ...]
    receive: tuple[Share | None, ...]


def search_half_months(scenario: Scenario, seed: int) -> Search[tuple[HalfMonth, ...]]:
    """Run the plan from each half-month of the scenario's year, under its years or climate."""
    year = scenario.day.date.year
    starts = [Date(year, month, day) for month in range(1, 13) for day in (1, 16)]
    found = []
    for at, start in enumerate(starts):
        day = scenario.day.model_copy(update={"date": start})
        dated = scenario.model_copy(update={"day": day})
        drawn = draw_trips(dated, TRIPS_EACH, default_rng(seed))
        search = search_trip_runs(drawn, with_charge=False)
        runs = yield from within(search, at / len(starts), (at + 1) / len(starts))
        skies, dates = drawn.skies, drawn.skies.days.index.shape[1]
        holds = (None if one is None else share_of(one.holds, skies, dates) for one in runs)
        receive = (None if one is None else share_of(one.receives, skies, dates) for one in runs)
        found.append(HalfMonth(start, skies.basis, tuple(holds), tuple(receive)))
    return tuple(found)
