"""Whether a station holds: from full, through all days, at or above its reserve, no clock ended.

That is the one rule for every size, tried on the real run. To go on after the trip a panel has
more to do: each day must also end no lower than it began, and the trip must hold again after a day
like its first. Only that is looked at with such a day put before, so that the hour at which the
run happens to begin does not decide; a day in which the battery came full owes nothing.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import datetime
from typing import Literal

import numpy as np

from model.engine.batch import search_batch
from model.engine.batch_notes import NEVER, Booleans, Outcomes
from model.engine.comparison import COARSE_STEP_MIN
from model.engine.fleet import Each
from model.engine.inputs import Inputs, station_inputs
from model.engine.run import StationRun, run_station
from model.engine.scaling import scaled_fleet
from model.results.wording import CLOCK_WORDS, cause_words, moment
from model.scenario.scenario import Block, Scenario, Site
from model.scenario.station import Extra, Station
from model.sky.trip import Trip, planned
from model.station.carried_mass import shared_extras
from model.station.chemistry import Floats
from model.support.progress import Search, within

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
    at : when; for a day that ended too low, its end; for what fails only in going on, the end of
        the trip.
    why : which of the demands failed first.
    words : the same as a clause, with the time.
    """

    at: datetime
    why: Literal["clock", "reserve", "day"]
    words: str


@dataclass(frozen=True)
class Trial:
    """What a station is put through; ``balanced`` asks each day to make good what it takes."""

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

    def with_a_day_before(self) -> Trial:
        """Return the trial with a day like the first put before it."""
        return replace(self, trip=self.trip.with_a_day_before())


def trial(scenario: Scenario, index: int, *, balanced: bool) -> Trial:
    """Return the trial of one station of a scenario, beginning with a full battery."""
    station = scenario.stations[index].model_copy(update={"start_fraction": 1.0})
    return Trial(
        scenario.site,
        planned(scenario),
        scenario.plan,
        station,
        shared_extras(scenario, index),
        balanced,
    )


def came_full(station: Station, peak_fraction: Each, trough_fraction: Each) -> Booleans:
    """Return whether a battery came full in a day, from its greatest and its least charge.

    Parameters
    ----------
    station : whose battery.
    peak_fraction, trough_fraction : greatest and least charge of the day over tested capacity,
        number or shape (members,) [1].

    Returns
    -------
    Booleans, of that shape.
    """
    share = SLOW_MISSING_SHARE if station.battery.cell.acceptance_h else MISSING_SHARE
    return np.asarray(1.0 - peak_fraction <= share * (1.0 - trough_fraction))


def holding(outcomes: Outcomes) -> Booleans:
    """Return which members of a fleet get through the trip, shape (members,)."""
    held: Booleans = np.isinf(outcomes.first_end_h) & (outcomes.reserve == NEVER)
    return held


def search_holding(
    asked: Trial, *, battery_by: Floats | None = None, panel_by: Floats | None = None
) -> Search[tuple[Booleans, Outcomes]]:
    """Try sizes of a station's battery, its panel or both, over its own.

    Parameters
    ----------
    asked : what the station goes through.
    battery_by, panel_by : size over its own, shape (members,) [1].

    Returns
    -------
    Gives the share done, 0..1, and at its end which of them hold, shape (members,), and what became
    of each on the trip.
    """
    fleet = scaled_fleet(asked.inputs(asked.station), battery_by=battery_by, panel_by=panel_by)
    part = 0.5 if asked.balanced else 1.0
    outcomes = yield from within(search_batch(fleet), 0.0, part)
    held = holding(outcomes)
    if asked.balanced and held.any():
        settled = asked.with_a_day_before().inputs(asked.station)
        fleet = scaled_fleet(settled, battery_by=battery_by, panel_by=panel_by)
        course = yield from within(search_batch(fleet), part, 1.0)
        held &= _made_good(asked.station, course) & holding(course)
    return held, outcomes


def _made_good(station: Station, outcomes: Outcomes) -> Booleans:
    """Return for which members every day after the first makes good what it takes."""
    begins, ends = outcomes.day_fraction[1:-1], outcomes.day_fraction[2:]
    restored = came_full(station, outcomes.peak_fraction[1:], outcomes.trough_fraction[1:])
    return np.asarray(((ends >= begins - DAY_ROUNDING) | restored).all(axis=0))


def nearest(outcomes: Outcomes) -> int:
    """Return the member that comes nearest to holding: it lasts longest, then keeps most."""
    lasts_h = np.minimum(outcomes.first_end_h, outcomes.hours(outcomes.reserve))
    return int(np.lexsort((outcomes.lowest_fraction, -outcomes.off_steps, lasts_h))[-1])


def shortfall(asked: Trial, station: Station) -> Shortfall | None:
    """Return where a station first fails to hold, by runs of one-minute steps; None for nowhere.

    Of a station that gets through the trip, ``balanced`` also looks at what each day makes good.
    """
    run = asked.run(station)
    first: Shortfall | None = min(
        [*_ends(run), *_reserve(run)], key=lambda one: one.at, default=None
    )
    if first is not None or not asked.balanced:
        return first
    settled = asked.with_a_day_before().run(station)
    return _first_day_in_debt(settled) or _limit_in_going_on(settled)


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


def _first_day_in_debt(run: StationRun) -> Shortfall | None:
    """Return the first day after that put before whose end is lower than its begin.

    Only its end is named: the charge on the way is that of no trip.
    """
    day_steps = round(24 / run.clock.step_h)
    fraction = run.fraction
    for number in range(1, run.clock.days):
        begin, end = number * day_steps, (number + 1) * day_steps
        within_day = fraction[begin : end + 1]
        low = fraction[end] < fraction[begin] - DAY_ROUNDING
        if low and not came_full(run.station, float(within_day.max()), float(within_day.min())):
            at = run.clock.at(end)
            words = f"the sun of the 24 h to {moment(run, at)} does not make good what they take"
            return Shortfall(at, "day", words)
    return None


def _limit_in_going_on(run: StationRun) -> Shortfall | None:
    """Return that a trip does not hold after a day like its first; its moments are of no trip."""
    end = run.clock.at(run.clock.steps)
    before = "after a day like the first,"
    if _ends(run):
        return Shortfall(end, "clock", f"{before} a limit is reached")
    if _reserve(run):
        return Shortfall(end, "reserve", f"{before} the charge falls below the reserve")
    return None
