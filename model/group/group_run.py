"""Run every post of a group under the planned and under the bad sky: one row a post."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from functools import cached_property
from typing import Literal

from model.engine.first_end import CLOCK_NAMES, ClockName
from model.engine.outcome import Because, Cause, Clock, Lowest
from model.engine.run import StationRun, run_station
from model.group.kits import LoadedGroup, PostKit, kits_of, standing
from model.odds.shares import Share
from model.results.provenance import guess_share
from model.scenario.station import Part
from model.sky.irradiance import search_sun
from model.sky.trip import Trip
from model.station.carried_mass import carried_total
from model.support.progress import Search, finish, within

SkyName = Literal["planned", "bad"]


@dataclass(frozen=True)
class FirstEnd:
    """The first thing that a post can no longer do, and when.

    Attributes
    ----------
    clock : full power, reduced power or receive.
    at : local time.
    hours_h : from the start of the run [h].
    cause, because : why, as of the clock.
    off_air_at : when it is first off the air; None where it never is.
    """

    clock: ClockName
    at: datetime
    hours_h: float
    cause: Cause
    because: Because | None
    off_air_at: datetime | None


@dataclass(frozen=True, eq=False)
class PostRun:
    """One row: a post with its runs, and with its odds once they are worked out.

    Attributes
    ----------
    kit : whose row it is.
    planned, bad : the runs; None where the kit is not run.
    odds : share of shared skies under which it receives to the end; None until worked out.
    night_odds : the same for being on the air in all dark hours.
    """

    kit: PostKit
    planned: StationRun | None
    bad: StationRun | None
    odds: Share | None = None
    night_odds: Share | None = None

    @cached_property
    def first_end(self) -> FirstEnd | None:
        """First end under the planned sky; None where there is none, or no run."""
        return first_end(self.planned) if self.planned is not None else None

    @cached_property
    def bad_first_end(self) -> FirstEnd | None:
        """First end under the bad sky; None where there is none, or no run."""
        return first_end(self.bad) if self.bad is not None else None

    @property
    def lasts(self) -> bool:
        """Whether it is run and nothing ends under the planned sky."""
        return self.planned is not None and self.first_end is None

    @property
    def lowest(self) -> Lowest | None:
        """Least charge under the planned sky."""
        return self.planned.lowest if self.planned is not None else None

    @property
    def ah_a_day(self) -> float | None:
        """What its loads draw in a day of the planned run, in the mean [Ah]."""
        if self.planned is None:
            return None
        return self.planned.sums.load_ah / self.planned.trip.days

    @cached_property
    def guess_share(self) -> float | None:
        """Share of that which rests on guesses [1]."""
        return guess_share(self.planned) if self.planned is not None else None

    @property
    def mass_kg(self) -> float:
        """What is carried to the post, without what it lacks [kg]."""
        station = self.kit.station
        gone: dict[str, Part] = {}
        for slot in ("radio", "battery"):
            if slot in self.kit.lacks:
                gone[slot] = getattr(station, slot).model_copy(update={"mass_kg": 0.0})
        return carried_total(station.model_copy(update=gone), self.kit.shared).mass_kg


@dataclass(frozen=True, eq=False)
class GroupResult:
    """All posts of a group, in the order of its file.

    Attributes
    ----------
    whole : the group with its scenarios.
    posts : a row for each.
    without : what was taken away in a drill, as it was named.
    """

    whole: LoadedGroup
    posts: tuple[PostRun, ...]
    without: tuple[str, ...] = ()

    def post(self, kit: str) -> PostRun:
        """Return the row of a kit number.

        Raises
        ------
        KeyError
            When no post has it.
        """
        for row in self.posts:
            if row.kit.post.kit == kit:
                return row
        raise KeyError(kit)


def run_group(whole: LoadedGroup) -> GroupResult:
    """Run every post; see ``search_group``."""
    return finish(search_group(whole))


def search_group(whole: LoadedGroup) -> Search[GroupResult]:
    """Run every post under the planned and under the bad sky.

    Returns
    -------
    Gives the share done, 0..1, and at its end a row for each post.
    """
    yield from search_suns(whole)
    return (yield from search_kits(whole, kits_of(whole)))


def search_suns(whole: LoadedGroup) -> Search[None]:
    """Work out the sun of every place, the longest of all, in pieces: ``kits_of`` then is quick."""
    files = dict(whole.scenarios)
    for post in whole.group.posts:
        site = standing(whole.group, post, files[post.scenario])
        yield from within(search_sun(site, whole.group.day), 0.0, 0.0)


def search_kits(whole: LoadedGroup, kits: tuple[PostKit, ...]) -> Search[GroupResult]:
    """Run kits as they are given, such as those of a drill."""
    rows: list[PostRun] = []
    for index, kit in enumerate(kits):
        begin, end = index / len(kits), (index + 1) / len(kits)
        yield begin
        if not kit.runs:
            rows.append(PostRun(kit, None, None))
            continue
        planned = run_kit(kit, kit.trip)
        yield (begin + end) / 2
        rows.append(PostRun(kit, planned, run_kit(kit, kit.bad_trip)))
    return GroupResult(whole, tuple(rows))


def run_kit(kit: PostKit, trip: Trip) -> StationRun:
    """Run one kit through some weather of its dates."""
    return run_station(kit.site, trip, kit.plan, kit.station, kit.shared)


def first_end(run: StationRun) -> FirstEnd | None:
    """Return what ends first in a run; None where nothing does. Of two at once the graver."""
    ended: list[tuple[float, int, ClockName, Clock]] = []
    for rank, name in enumerate(CLOCK_NAMES):
        clock: Clock = getattr(run.clocks, name)
        if clock.until is not None and clock.hours is not None:
            ended.append((clock.hours, -rank, name, clock))
    if not ended:
        return None
    hours_h, _, name, clock = min(ended, key=lambda each: each[:2])
    assert clock.until is not None
    assert clock.cause is not None
    off_air_at = run.clocks.receive.until
    return FirstEnd(name, clock.until, hours_h, clock.cause, clock.because, off_air_at)
