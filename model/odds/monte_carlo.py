"""How sure a comparison is: every station run many times with its numbers drawn.

A number's spread is what its source states, else what is usual for its field, less where it is
measured; see ``model.odds.sampling``. The plan, the place and the sky are taken as given.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from math import isinf
from typing import Literal

import numpy as np
from numpy.random import Generator

from model.editing.field_facts import field_at, in_sentence
from model.engine.batch import Moment, search_batch
from model.engine.batch_notes import Outcomes
from model.engine.comparison import COARSE_STEP_MIN, shared_extras, why_withheld
from model.engine.fleet import Fleet
from model.odds.sampling import Draw, draw
from model.odds.spread_fleet import drawn_fleet
from model.results.tie_point import CLOCK_NAMES, ClockName
from model.results.wording import CLOCK_WORDS, called
from model.scenario.declare import Provenance
from model.scenario.scenario import Scenario
from model.sky.timeline import timeline
from model.sky.trip import planned
from model.station.chemistry import Floats
from model.support.figures import day_and_time, in_100_trips, told
from model.support.progress import Search, finish, within

USUAL_MEMBERS = 300
# The band and the intervals leave a tenth out on each side.
LOW_SHARE, MIDDLE_SHARE, HIGH_SHARE = 0.1, 0.5, 0.9
MEMBERS_AT_ONCE = 2000
# Beyond these odds one station is said to outlast the other.
CLOSE_CALL_SHARE = 0.8
# Where fewer draws end, numbers are ranked by what they do to the lowest charge.
ENDS_ENOUGH_SHARE = 0.1
# Rank correlations of independent numbers scatter with deviation 1/sqrt(members).
CHANCE_DEVIATIONS = 3.0


@dataclass(frozen=True)
class Interval:
    """Where eight in ten draws end; inf where the clock does not end within the run [h]."""

    low_h: float
    middle_h: float
    high_h: float
    never_share: float


@dataclass(frozen=True)
class Effect:
    """How much one number moves the first end, or the lowest charge where hardly any draw ends.

    Attributes
    ----------
    path : from the scenario on, such as ``stations.1.radio.receive_a``.
    origin : where the number comes from.
    rank_share : Spearman's rank correlation of the number with that, -1 to 1 [1].
    on : what is moved.
    """

    path: str
    origin: Provenance
    rank_share: float
    on: Literal["first_end", "lowest_charge"]


@dataclass(frozen=True, eq=False)
class StationSpread:
    """One station's draws.

    Attributes
    ----------
    low_fraction, middle_fraction, high_fraction : of charge at the step boundaries: tenth, half
        and nine tenths of all draws lie below; shape (steps + 1,). [1]
    clocks : interval of each clock's end, by its name.
    first_end_h : first of the three clocks' ends of each draw, inf where none; shape (members,).
    effects : what moves the first end beyond chance, the greatest first.
    """

    low_fraction: Floats
    middle_fraction: Floats
    high_fraction: Floats
    clocks: dict[ClockName, Interval]
    first_end_h: Floats
    effects: tuple[Effect, ...]


@dataclass(frozen=True)
class Odds:
    """How often one station outlasts another in the draws; the three sum to one [1]."""

    first_share: float
    second_share: float
    tie_share: float

    @property
    def too_close_to_call(self) -> bool:
        """Whether neither outlasts the other clearly; ties speak for neither."""
        return max(self.first_share, self.second_share, self.tie_share) < CLOSE_CALL_SHARE

    def words(self, first_name: str, second_name: str) -> str:
        """Return the odds as a sentence."""
        if self.too_close_to_call:
            return (
                f"Too close to call: {first_name} lasts longer in"
                f" {in_100_trips(self.first_share)}, {second_name} in"
                f" {in_100_trips(self.second_share).removesuffix(' trial trips')}."
            )
        if self.tie_share >= CLOSE_CALL_SHARE:
            return (
                f"Neither {first_name} nor {second_name} outlasts the other in"
                f" {in_100_trips(self.tie_share)}."
            )
        if self.first_share > self.second_share:
            return f"{first_name} outlasts {second_name} in {in_100_trips(self.first_share)}."
        return f"{second_name} outlasts {first_name} in {in_100_trips(self.second_share)}."


@dataclass(frozen=True, eq=False)
class Spread:
    """All stations' draws; None where a station cannot be run.

    ``time_h`` are the step boundaries of the bands, shape (steps + 1,). [h]
    """

    scenario: Scenario
    time_h: Floats
    stations: tuple[StationSpread | None, ...]

    def until_words(self, index: int, clock: ClockName) -> str:
        """Return where eight in ten ends of a clock lie: ``receive ends Tue 03:10 to 05:40 ...``.

        Empty where the station cannot be run.
        """
        station = self.stations[index]
        if station is None:
            return ""
        ends, name = station.clocks[clock], CLOCK_WORDS[clock]
        if isinf(ends.low_h):
            return f"{name} lasts to the end in {in_100_trips(ends.never_share)}"
        days = self.scenario.day.days
        begin = self._local(ends.low_h)
        first = day_and_time(begin, days)
        if isinf(ends.high_h):
            lasts = in_100_trips(ends.never_share)
            return f"{name} until {first} or later; lasts to the end in {lasts}"
        end = self._local(ends.high_h)
        last = f"{end:%H:%M}" if begin.date() == end.date() else day_and_time(end, days)
        return f"{name} ends {first} to {last} in about 80 of 100 trial trips"

    def _local(self, hours: float) -> datetime:
        clock = timeline(self.scenario.site, self.scenario.day)
        return told(clock.at(hours / clock.step_h), about=True)

    def odds(self, first: int, second: int) -> Odds | None:
        """Return how often one station outlasts another; None where one cannot be run.

        Two that both last out the run tie, as do two that end in the same step.
        """
        one, other = self.stations[first], self.stations[second]
        if one is None or other is None:
            return None
        longer = float(np.mean(one.first_end_h > other.first_end_h))
        shorter = float(np.mean(one.first_end_h < other.first_end_h))
        return Odds(longer, shorter, 1.0 - longer - shorter)

    def within(self, index: int, hours: float) -> tuple[float, float] | None:
        """Return where eight in ten draws of a station's charge lie at a moment of the run [1].

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

    def measure_next(self) -> Effect | None:
        """Return the number not yet measured that moves a first end most; None where none does.

        Where no station ends, what moves a lowest charge.
        """
        effects = [effect for one in self.stations if one for effect in one.effects]
        unmeasured = [effect for effect in effects if effect.origin != "measured"]
        return max(
            unmeasured,
            key=lambda effect: (effect.on == "first_end", abs(effect.rank_share)),
            default=None,
        )

    def advice(self) -> str:
        """Return what to measure next as a sentence; empty where nothing would help."""
        effect = self.measure_next()
        if effect is None:
            return ""
        index = int(effect.path.split(".")[1])
        label = in_sentence(field_at(effect.path).label)
        part = effect.path.split(".")[2]
        of_part = "" if part in ("radio", "start_fraction") else f" of its {part}"
        return f"Measure next: {label}{of_part}, {called(self.scenario, index)}."


def spread(
    scenario: Scenario,
    chance: Generator,
    *,
    members: int = USUAL_MEMBERS,
    step_min: float = COARSE_STEP_MIN,
) -> Spread:
    """Run every station many times with its numbers drawn; see ``search_spread``."""
    return finish(search_spread(scenario, chance, members=members, step_min=step_min))


def search_spread(
    scenario: Scenario,
    chance: Generator,
    *,
    members: int = USUAL_MEMBERS,
    step_min: float = COARSE_STEP_MIN,
) -> Search[Spread]:
    """Run every station many times with its numbers drawn.

    Parameters
    ----------
    chance : seeded by the caller, so that the same seed gives the same bands.
    members : draws of each station.
    """
    clock, count = timeline(scenario.site, scenario.day, step_min), len(scenario.stations)
    found: list[StationSpread | None] = []
    for index in range(count):
        one = None
        if why_withheld(scenario, index) is None:
            search = search_station_spread(
                scenario, index, chance, members=members, step_min=step_min
            )
            one = yield from within(search, index / count, (index + 1) / count)
        found.append(one)
    time_h = np.arange(clock.steps + 1, dtype=np.float64) * clock.step_h
    return Spread(scenario, time_h, tuple(found))


def station_spread(
    scenario: Scenario,
    index: int,
    chance: Generator,
    *,
    members: int = USUAL_MEMBERS,
    step_min: float = COARSE_STEP_MIN,
) -> StationSpread:
    """Run one station many times with its numbers drawn."""
    return finish(
        search_station_spread(scenario, index, chance, members=members, step_min=step_min)
    )


def search_station_spread(
    scenario: Scenario, index: int, chance: Generator, *, members: int, step_min: float
) -> Search[StationSpread]:
    """Run one station many times with its numbers drawn."""
    station, shared = scenario.stations[index], shared_extras(scenario, index)
    draws = draw(station, shared, members, chance)
    tracks, outcomes = [], []
    begins = range(0, members, MEMBERS_AT_ONCE)
    for number, begin in enumerate(begins):
        part = slice(begin, min(begin + MEMBERS_AT_ONCE, members))
        factors = {path: one.factor[part] for path, one in draws.items()}
        if not factors:
            factors = {"none": np.ones(part.stop - part.start)}
        fleet = drawn_fleet(
            scenario.site, planned(scenario), scenario.plan, station, shared, factors, step_min
        )
        track = _Track(fleet)
        begin_share, end_share = number / len(begins), (number + 1) / len(begins)
        found = yield from within(search_batch(fleet, track), begin_share, end_share)
        tracks.append(np.vstack([*track.fractions, found.end_fraction]))
        outcomes.append(found)
    return _summed_up(index, draws, np.concatenate(tracks, axis=1), outcomes)


class _Track:
    """Keeps the charge of every member at the start of every step."""

    def __init__(self, fleet: Fleet) -> None:
        self._full_ah = fleet.limits["full_ah"]
        self.fractions: list[Floats] = []

    def __call__(self, moment: Moment) -> None:
        self.fractions.append(moment.stored_ah / self._full_ah)


def _summed_up(
    index: int, draws: dict[str, Draw], track: Floats, outcomes: Sequence[Outcomes]
) -> StationSpread:
    ordered = np.sort(track, axis=1)
    low, middle, high = (
        ordered[:, _place(share, track.shape[1])] for share in (LOW_SHARE, MIDDLE_SHARE, HIGH_SHARE)
    )
    ends_h = {
        name: np.concatenate([one.hours(getattr(one, name)) for one in outcomes])
        for name in CLOCK_NAMES
    }
    first_end_h = np.concatenate([one.first_end_h for one in outcomes])
    lowest = np.concatenate([one.lowest_fraction for one in outcomes])
    return StationSpread(
        low,
        middle,
        high,
        {name: interval(hours) for name, hours in ends_h.items()},
        first_end_h,
        _effects(index, draws, first_end_h, lowest),
    )


def _place(share: float, members: int) -> int:
    """Return which of the ordered draws a further one lies below with this probability."""
    # Of n draws and one more, each order is as likely: the k-th has k of n + 1 below it.
    return min(max(round(share * (members + 1)) - 1, 0), members - 1)


def interval(ends_h: Floats) -> Interval:
    """Return where eight in ten of the ends lie; inf stands for never. [h]"""
    ordered, members = np.sort(ends_h), ends_h.size
    low, middle, high = (
        float(ordered[_place(share, members)]) for share in (LOW_SHARE, MIDDLE_SHARE, HIGH_SHARE)
    )
    return Interval(low, middle, high, float(np.mean(np.isinf(ends_h))))


def _effects(
    index: int, draws: dict[str, Draw], first_end_h: Floats, lowest_fraction: Floats
) -> tuple[Effect, ...]:
    """Rank the numbers; a correlation that chance gives as easily is no effect."""
    ends = float(np.mean(np.isfinite(first_end_h))) >= ENDS_ENOUGH_SHARE
    moved = ranks(first_end_h if ends else lowest_fraction)
    by_chance = CHANCE_DEVIATIONS / np.sqrt(first_end_h.size)
    found = [
        Effect(
            f"stations.{index}.{path}",
            one.number.origin,
            correlation(ranks(one.factor), moved),
            "first_end" if ends else "lowest_charge",
        )
        for path, one in draws.items()
        # An extra that another station brings is measured there.
        if not path.startswith("shared.")
    ]
    telling = [effect for effect in found if abs(effect.rank_share) > by_chance]
    return tuple(sorted(telling, key=lambda effect: -abs(effect.rank_share)))


def ranks(values: Floats) -> Floats:
    """Return the rank of each value; equal values share the mean of their ranks."""
    _, group, count = np.unique(values, return_inverse=True, return_counts=True)
    last = np.cumsum(count)
    mean: Floats = (last - (count - 1) / 2.0)[group]
    return mean


def correlation(one: Floats, other: Floats) -> float:
    """Return the linear correlation of two series, 0 where one does not vary [1]."""
    a, b = one - one.mean(), other - other.mean()
    size = float(np.sqrt((a @ a) * (b @ b)))
    return float(a @ b) / size if size > 0 else 0.0
