"""The smallest battery, the smallest panel and the line between them for chosen odds.

Every size goes on the same trial trips. For each trip its smallest size is narrowed in on; the odds
of a size are the share of trips that need no more, so that they never fall as sizes grow. The size
found is then run through all trips once more, and its odds are those of that run.

What is asked is that the plan be met: no limit reached, the reserve kept. To receive alone would
not do, as a battery too small to transmit on saves its charge. The trip alone counts, from the
charge that the station starts with: no day need end as it began.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from model.editing.resize import scaled_station
from model.engine.batch_notes import Booleans
from model.odds.shares import Share
from model.odds.station_trips import StationTrips
from model.scenario.station import Extra, Station
from model.sky.timeline import Floats
from model.station.carried_mass import carried_total, shared_extras
from model.support.progress import Search, within

# Sizes that are tried, over the station's own.
LEAST_BY, MOST_BY = 1 / 20, 20.0
# Halvings of the logarithm of that range: the size is right to .3 %, on the frontier to 2 %.
PASSES, FRONTIER_PASSES = 11, 8
# Batteries of the frontier, over the station's own; its own is one of them.
BATTERIES_BY = np.geomspace(0.25, 4.0, 7)
# Where the run of a size falls short of the odds, one so much larger is tried, so often.
NEXT_BY, TRIES = 1.01, 6
Part = Literal["battery", "panel"]


@dataclass(frozen=True)
class OddsSize:
    """The smallest size with which so many trips meet the plan.

    Attributes
    ----------
    part : what is sized.
    unit : of the sizes, rated, of all batteries or panels together: Ah or W.
    now : the size carried [unit].
    value : the size; 0 for a panel that is not needed, None where none is enough [unit].
    low, high : the same if the odds are at their upper and at their lower bound [unit]; None
        likewise.
    odds : of that size, by a run of all trips; of the size carried where there is none.
    odds_now : of the size carried.
    part_kg, station_kg : mass of that part and of the station with it; None without a size [kg].
    """

    part: Part
    unit: str
    now: float
    value: float | None
    low: float | None
    high: float | None
    odds: Share
    odds_now: Share
    part_kg: float | None
    station_kg: float | None


@dataclass(frozen=True, eq=False)
class OddsFrontier:
    """The smallest panel for each battery; arrays of shape (batteries,), nan where none is enough.

    Attributes
    ----------
    capacity_ah, rated_w : of all batteries and of all panels; 0 W where none is needed [Ah], [W].
    station_kg : mass of the station with both [kg].
    met_share : share of trips that meet the plan with both, by a run of all of them [1].
    """

    capacity_ah: Floats
    rated_w: Floats
    station_kg: Floats
    met_share: Floats


def search_odds_size(trips: StationTrips, part: Part, odds: float) -> Search[OddsSize]:
    """Find the smallest battery with the station's own panel, or the panel with its battery.

    Parameters
    ----------
    trips : what the station goes through.
    part : what is sized.
    odds : share of trips that are to meet the plan, above 0 and below 1 [1].

    Returns
    -------
    Gives the share done, 0..1, and at its end the size.

    Raises
    ------
    ValueError
        For a panel where the station has none.
    """
    sized = _Sized(trips, part)
    needed_by = yield from within(sized.search_needed(PASSES), 0.0, 0.8)
    now = trips.share((yield from within(trips.search(), 0.8, 0.85)).meets_plan)
    value_by = smallest_for(needed_by, odds)
    share, tried = now, 0
    while value_by is not None:
        met = yield from within(sized.search_met(np.full(trips.trips, value_by)), 0.85, 0.95)
        share, tried = trips.share(met), tried + 1
        if share.value >= odds:
            break
        # Hardly ever: where more is not always better the run decides, not the narrowing in.
        value_by = min(value_by * NEXT_BY, MOST_BY) if value_by and tried < TRIES else None
    low, high = _bounds(trips, needed_by, odds)
    kg = sized.masses_kg(value_by) if value_by is not None else (None, None)
    return OddsSize(
        part, sized.unit, sized.now, _times(value_by, sized.now), _times(low, sized.now),
        _times(high, sized.now), share if value_by is not None else now, now, *kg,
    )  # fmt: skip


def search_odds_frontier(trips: StationTrips, odds: float) -> Search[OddsFrontier]:
    """Find the smallest panel for each of some batteries, over the same trips; see above.

    Parameters
    ----------
    trips : what the station goes through.
    odds : share of trips that are to meet the plan, above 0 and below 1 [1].

    Returns
    -------
    Gives the share done, 0..1, and at its end a panel for each battery.

    Raises
    ------
    ValueError
        Where the station has no panel.
    """
    batteries = _Sized(trips, "battery")
    panels = _Sized(trips, "panel", battery_factor=BATTERIES_BY)
    needed_by = yield from within(panels.search_needed(FRONTIER_PASSES), 0.0, 0.9)
    rows = needed_by.reshape(BATTERIES_BY.size, trips.trips)
    found = [smallest_for(row, odds) for row in rows]
    by = np.array([np.nan if one is None else one for one in found])
    tried_by = np.repeat(np.where(np.isnan(by), 0.0, by), trips.trips)
    met = yield from within(panels.search_met(tried_by), 0.9, 1.0)
    share = met.reshape(rows.shape).mean(axis=1)
    station, shared = trips.drawn.scenario.stations[trips.index], _shared(trips)
    kg = [
        np.nan
        if np.isnan(panel_by)
        else carried_total(
            scaled_station(station, battery_by=battery_by, panel_by=panel_by), shared
        ).mass_kg
        for battery_by, panel_by in zip(BATTERIES_BY.tolist(), by.tolist(), strict=True)
    ]
    return OddsFrontier(
        capacity_ah=batteries.now * BATTERIES_BY,
        rated_w=panels.now * by,
        station_kg=np.array(kg),
        met_share=np.where(np.isnan(by), np.nan, share),
    )


def smallest_for(needed_by: Floats, odds: float) -> float | None:
    """Return the size with which so many trips meet the plan.

    Parameters
    ----------
    needed_by : smallest size for each trip over the one carried, inf where none is enough, shape
        (trips,) [1].
    odds : share of trips that are to meet the plan [1].

    Returns
    -------
    Size over the one carried, None where none is enough [1].
    """
    # A share that floating point puts a hair above a whole number of trips is that number.
    place = max(ceil(odds * needed_by.size - 1e-9), 1) - 1
    value = float(np.sort(needed_by)[place])
    return None if np.isinf(value) else value


@dataclass(frozen=True, eq=False)
class _Sized:
    """One part that is resized; the panel with each of some batteries, a row of trips for each."""

    trips: StationTrips
    part: Part
    battery_factor: Floats | None = None

    @property
    def station(self) -> Station:
        """The station with its own sizes."""
        return self.trips.drawn.scenario.stations[self.trips.index]

    @property
    def unit(self) -> str:
        """The unit of the sizes."""
        return "Ah" if self.part == "battery" else "W"

    @property
    def now(self) -> float:
        """The size carried, of all together."""
        battery, panel = self.station.battery, self.station.panel
        if self.part == "battery":
            return battery.capacity_ah * battery.count
        if panel is None:
            raise ValueError("this station has no panel to resize")
        return panel.rated_w * panel.count

    def search_met(self, by: Floats, member: NDArray[np.int64] | None = None) -> Search[Booleans]:
        """Find which members meet the plan, each with its size; all of them, or only some."""
        trips = self.trips.trips
        rows = np.ones(1) if self.battery_factor is None else self.battery_factor
        which = np.arange(rows.size * trips) if member is None else member
        if self.part == "battery":
            search = self.trips.search_sizes(which, battery_by=by)
        else:
            own = None if self.battery_factor is None else rows[which // trips]
            search = self.trips.search_sizes(which % trips, battery_by=own, panel_by=by)
        return (yield from search).meets_plan

    def search_needed(self, passes: int) -> Search[Floats]:
        """Find for each member the smallest size that meets the plan, inf for none [1].

        It is the end of the last interval at which it was met: a run has shown each.
        """
        members = self.trips.trips * (
            1 if self.battery_factor is None else self.battery_factor.size
        )
        part = 1.0 / (passes + 2)
        spared: Booleans = np.zeros(members, dtype=bool)
        if self.part == "panel":
            spared = yield from within(self.search_met(np.zeros(members)), 0.0, part)
        enough = yield from within(self.search_met(np.full(members, MOST_BY)), part, 2 * part)
        found = np.where(spared, 0.0, np.where(enough, MOST_BY, np.inf))
        open_ = np.flatnonzero(enough & ~spared)
        low, high = np.full(open_.size, LEAST_BY), np.full(open_.size, MOST_BY)
        for turn in range(passes if open_.size else 0):
            middle = np.sqrt(low * high)
            search = self.search_met(middle, open_)
            met = yield from within(search, (turn + 2) * part, (turn + 3) * part)
            low, high = np.where(met, low, middle), np.where(met, middle, high)
        found[open_] = high
        return found

    def masses_kg(self, by: float) -> tuple[float, float]:
        """Return the mass of the part at a size, and of the station with it [kg]."""
        sizes = {"battery_by": by} if self.part == "battery" else {"panel_by": by}
        station = scaled_station(self.station, **sizes)
        held = station.battery if self.part == "battery" else station.panel
        assert held is not None
        return held.mass_kg * held.count, carried_total(station, _shared(self.trips)).mass_kg


def _shared(trips: StationTrips) -> tuple[Extra, ...]:
    return shared_extras(trips.drawn.scenario, trips.index)


def _bounds(
    trips: StationTrips, needed_by: Floats, odds: float
) -> tuple[float | None, float | None]:
    """Return the sizes at which the upper and the lower bound of the odds reach them [1]."""
    found: list[float | None] = [None, None]
    sizes = np.unique(needed_by[np.isfinite(needed_by)])
    for by in sizes.tolist():
        share = trips.share(needed_by <= by)
        for place, bound in enumerate((share.high, share.low)):
            if found[place] is None and bound >= odds:
                found[place] = by
        if found[1] is not None:
            break
    return found[0], found[1]


def _times(by: float | None, now: float) -> float | None:
    return None if by is None else by * now
