"""Whether a station holds: from full, through all days, at or above its reserve, no clock ended.

A panel has more to do: each day must end no lower than it began. So that the hour at which the
run happens to begin does not decide, a day like the first goes before; and a day in which the
battery came full owes nothing.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Literal

import numpy as np

from model.engine.batch_notes import NEVER, Flags, Outcomes
from model.engine.comparison import COARSE_STEP_MIN
from model.engine.fleet import Each
from model.engine.inputs import Inputs, station_inputs
from model.engine.run import StationRun, run_station
from model.results.wording import CLOCK_WORDS, cause_words, moment
from model.scenario.scenario import Block, Scenario, Site
from model.scenario.station import Extra, Station
from model.sky.trip import Trip, planned
from model.station.carried_mass import shared_extras
from model.support.figures import apart

# A day's end counts as no lower within this share of the capacity: rounding, not physics.
DAY_ROUNDING = 1e-6
# A battery came full in a day when no more is missing at its peak than this share of what was
# missing at its lowest. Lead takes the last of its charge too slowly for a day.
MISSING_SHARE, SLOW_MISSING_SHARE = 0.01, 0.1


@dataclass(frozen=True)
class Shortfall:
    """Where a station first fails to hold.

    Attributes
    ----------
    at : when; for a day that ended too low, its end.
    why : which of the demands failed first.
    words : the same as a clause, with the time.
    """

    at: datetime
    why: Literal["clock", "reserve", "day"]
    words: str


@dataclass(frozen=True)
class Trial:
    """What a station is put through; ``balanced`` asks each day to end no lower than it began."""

    site: Site
    trip: Trip
    plan: tuple[Block, ...]
    station: Station
    shared: tuple[Extra, ...]
    balanced: bool

    def inputs(self, station: Station, step_min: float = COARSE_STEP_MIN) -> Inputs:
        """Return the step rule's inputs for a station in place of the one on trial."""
        return station_inputs(self.site, self.trip, self.plan, station, self.shared, step_min)

    def run(self, station: Station) -> StationRun:
        """Run a station in steps of one minute; trials do not crowd out remembered runs."""
        return run_station.__wrapped__(self.site, self.trip, self.plan, station, self.shared)


def trial(scenario: Scenario, index: int, *, balanced: bool) -> Trial:
    """Return the trial of one station of a scenario, beginning with a full battery."""
    station = scenario.stations[index].model_copy(update={"start_fraction": 1.0})
    trip = planned(scenario)
    if balanced:
        trip = trip.with_a_day_before()
    return Trial(
        scenario.site, trip, scenario.plan, station, shared_extras(scenario, index), balanced
    )


def came_full(station: Station, peak_fraction: Each, trough_fraction: Each) -> Flags:
    """Return whether a battery came full in a day, from its greatest and its least charge."""
    share = SLOW_MISSING_SHARE if station.battery.cell.acceptance_h else MISSING_SHARE
    return np.asarray(1.0 - peak_fraction <= share * (1.0 - trough_fraction))


def holding(asked: Trial, outcomes: Outcomes) -> Flags:
    """Return which members of a fleet hold, shape (members,)."""
    held: Flags = np.isinf(outcomes.first_end_h) & (outcomes.reserve == NEVER)
    if asked.balanced:
        begins, ends = outcomes.day_fraction[1:-1], outcomes.day_fraction[2:]
        restored = came_full(
            asked.station, outcomes.peak_fraction[1:], outcomes.trough_fraction[1:]
        )
        held &= ((ends >= begins - DAY_ROUNDING) | restored).all(axis=0)
    return held


def nearest(outcomes: Outcomes) -> int:
    """Return the member that comes nearest to holding: it lasts longest, then keeps most."""
    lasts_h = np.minimum(outcomes.first_end_h, outcomes.hours(outcomes.reserve))
    return int(np.lexsort((outcomes.lowest_fraction, -outcomes.off_steps, lasts_h))[-1])


def shortfall(asked: Trial, run: StationRun) -> Shortfall | None:
    """Return where a run of one-minute steps first fails to hold; None where it holds."""
    found = [*_ends(run), *_reserve(run), *(_days(asked, run) if asked.balanced else ())]
    first: Shortfall | None = min(found, key=lambda one: one.at, default=None)
    if first is None or not asked.balanced:
        return first
    start = run.clock.at(round(24 / run.clock.step_h))
    if first.at >= start:
        return first
    # The day that goes before is no part of the trip: none of its moments is named.
    unmet = "a limit is reached" if first.why == "clock" else "the reserve is crossed"
    return Shortfall(start, first.why, f"{unmet} before a day like the first is over")


def _ends(run: StationRun) -> list[Shortfall]:
    found = []
    for name, words in CLOCK_WORDS.items():
        if getattr(run.clock_ends, name).until is not None:
            clock = getattr(run.clocks, name)
            sentence = f"{words} ends at {moment(run, clock.until)}: {cause_words(run, clock)}"
            found.append(Shortfall(clock.until, "clock", sentence))
    # Of clocks that end together the last named is the gravest.
    return found[::-1]


def _reserve(run: StationRun) -> list[Shortfall]:
    at = run.reserve_crossed_at
    if at is None:
        return []
    return [Shortfall(at, "reserve", f"the charge falls below the reserve at {moment(run, at)}")]


def _days(asked: Trial, run: StationRun) -> list[Shortfall]:
    day_steps = round(24 / run.clock.step_h)
    fraction, found = run.fraction, []
    for number in range(1, run.clock.days):
        begin, end = number * day_steps, (number + 1) * day_steps
        within = fraction[begin : end + 1]
        low = fraction[end] < fraction[begin] - DAY_ROUNDING
        if low and not came_full(asked.station, float(within.max()), float(within.min())):
            first, last = apart((100 * fraction[begin], 100 * fraction[end]), "%")
            until = moment(run, run.clock.at(end))
            words = f"the 24 h to {until} end at {last} charge and began at {first}"
            found.append(Shortfall(run.clock.at(end), "day", words))
    return found
