"""One station through the same trial trips, with other sizes, other gear or other numbers.

Skies, plan and numbers are those that were drawn once: whatever differs between two answers comes
from what was changed, never from another draw.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from model.engine.batch import search_batch
from model.engine.batch_notes import NEVER, Booleans, Outcomes
from model.engine.comparison import COARSE_STEP_MIN
from model.engine.fleet import Fleet
from model.engine.scaling import with_batteries_scaled
from model.odds.drawn_weather import drawn_weather
from model.odds.sampling import Draw
from model.odds.shares import Share, share_of
from model.odds.spread_fleet import COLD, PLAN_KEPT, drawn_fleet
from model.odds.trips import DrawnSkies, Trips
from model.scenario.scenario import Scenario
from model.sky.timeline import Floats, timeline
from model.sky.trip import planned
from model.station.carried_mass import shared_extras
from model.support.progress import Search, within

# Receives to the end; or meets the plan: no limit is reached and the reserve is kept.
Goal = Literal["receive", "plan"]
# Enough for sizes: the bounds of odds from any sky are wider than the scatter of so many trips.
ASKED_TRIPS = 400
# So many steps of members are held at once.
STEPS_AT_ONCE = 900_000
PANEL = "panel.rated_w"


@dataclass(frozen=True, eq=False)
class Ended:
    """What became of each member; arrays of shape (members,).

    Attributes
    ----------
    receives, meets_plan : whether each of the two goals is met.
    first_end_h : first of the clocks' ends, inf where none does [h].
    lowest_fraction : least charge [1].
    """

    receives: Booleans
    meets_plan: Booleans
    first_end_h: Floats
    lowest_fraction: Floats

    def met(self, goal: Goal) -> Booleans:
        """Return whether each member meets a goal."""
        return self.receives if goal == "receive" else self.meets_plan


@dataclass(frozen=True, eq=False)
class StationTrips:
    """The trips of one station of a scenario."""

    drawn: Trips
    index: int

    @property
    def trips(self) -> int:
        """How many there are."""
        return self.drawn.trips

    def share(self, met: Booleans) -> Share:
        """Return the share of all trips that meet a goal, with the bounds of their skies."""
        skies = self.drawn.skies
        return share_of(met, skies, skies.days.index.shape[1])

    def under(self, changed: Scenario) -> StationTrips:
        """Return the same trips with another scenario of the same place and dates."""
        return StationTrips(replace(self.drawn, scenario=changed), self.index)

    def with_number(self, path: str, factor: Floats) -> StationTrips:
        """Return the same trips with another error of one number of the station.

        Parameters
        ----------
        path : from the station on.
        factor : over the number itself, shape (trips,) [1].
        """
        numbers = list(self.drawn.numbers)
        known = numbers[self.index][path]
        numbers[self.index] = numbers[self.index] | {path: Draw(known.number, factor)}
        return StationTrips(replace(self.drawn, numbers=tuple(numbers)), self.index)

    def search(self) -> Search[Ended]:
        """Run every trip once."""
        return (yield from self.search_sizes(np.arange(self.trips)))

    def search_sizes(
        self,
        trip: NDArray[np.int64],
        battery_by: Floats | None = None,
        panel_by: Floats | None = None,
    ) -> Search[Ended]:
        """Run trips with battery and panel of other sizes.

        Parameters
        ----------
        trip : which trip each member goes on, shape (members,).
        battery_by, panel_by : sizes over the station's own, shape (members,); mass apart, all of
            the part grows with its size [1].
        """
        scenario = self.drawn.scenario
        at_once = max(
            STEPS_AT_ONCE // timeline(scenario.site, scenario.day, COARSE_STEP_MIN).steps, 1
        )
        found: list[Outcomes] = []
        for begin in range(0, trip.size, at_once):
            part = slice(begin, begin + at_once)
            fleet = self._fleet(trip[part], None if panel_by is None else panel_by[part])
            if battery_by is not None:
                fleet = with_batteries_scaled(fleet, battery_by[part])
            end = min(part.stop, trip.size)
            outcomes = search_batch(fleet)
            found.append((yield from within(outcomes, begin / trip.size, end / trip.size)))
        return _ended(found)

    def _fleet(self, trip: NDArray[np.int64], panel_by: Floats | None) -> Fleet:
        if panel_by is None and np.array_equal(trip, np.arange(self.trips)):
            return self._own_fleet
        return self._made_fleet(trip, panel_by)

    @cached_property
    def _own_fleet(self) -> Fleet:
        return self._made_fleet(np.arange(self.trips), None)

    def _made_fleet(self, trip: NDArray[np.int64], panel_by: Floats | None) -> Fleet:
        drawn, scenario = self.drawn, self.drawn.scenario
        days = drawn.skies.days.of(trip)
        weather = drawn_weather(scenario.site, planned(scenario), days, COARSE_STEP_MIN)
        factors = {path: one.factor[trip] for path, one in drawn.numbers[self.index].items()}
        if drawn.plan_kept_factor is not None:
            factors[PLAN_KEPT] = drawn.plan_kept_factor[trip]
        if drawn.cold_fraction is not None:
            factors[COLD] = drawn.cold_fraction[trip]
        if panel_by is not None:
            # A panel of so many times the watts at the same volts.
            factors[PANEL] = panel_by * factors.get(PANEL, 1.0)
        return drawn_fleet(
            scenario.site, planned(scenario), scenario.plan, scenario.stations[self.index],
            shared_extras(scenario, self.index), factors, weather,
        )  # fmt: skip


def first_trips(drawn: Trips, trips: int) -> Trips:
    """Return the first of some trips."""
    if trips >= drawn.trips:
        return drawn
    skies, few = drawn.skies, slice(0, trips)
    place, start = skies.place_deviation_ratio, skies.start
    return replace(
        drawn,
        trips=trips,
        skies=DrawnSkies(
            skies.basis,
            skies.days.of(few),
            start=None if start is None else start[few],
            years=skies.years,
            place_deviation_ratio=None if place is None else place[few],
            typical=skies.typical,
        ),
        plan_kept_factor=None if drawn.plan_kept_factor is None else drawn.plan_kept_factor[few],
        numbers=tuple(
            {path: Draw(one.number, one.factor[few]) for path, one in numbers.items()}
            for numbers in drawn.numbers
        ),
        cold_fraction=None if drawn.cold_fraction is None else drawn.cold_fraction[few],
    )


def _ended(found: list[Outcomes]) -> Ended:
    receives = np.concatenate([one.receive == NEVER for one in found])
    first_end_h = np.concatenate([one.first_end_h for one in found])
    kept = np.concatenate([one.reserve == NEVER for one in found])
    return Ended(
        receives=receives,
        meets_plan=kept & np.isinf(first_end_h),
        first_end_h=first_end_h,
        lowest_fraction=np.concatenate([one.lowest_fraction for one in found]),
    )
