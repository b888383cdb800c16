"""The clock of a run: days x 24 elapsed hours, cut into equal steps, against the wall clock.

Elapsed time runs evenly; the site's wall clock may skip or repeat an hour on the way.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, datetime, time, timedelta, tzinfo
from datetime import date as Date
from functools import cached_property, lru_cache
from zoneinfo import ZoneInfo

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from model.scenario.declare import MINUTES_A_DAY
from model.scenario.scenario import Site
from model.sky.trip import Stretch

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Timeline:
    """Equal steps from a start instant; a value belongs to the step that begins at its stamp.

    Attributes
    ----------
    start : first instant, in the site's zone.
    days : elapsed days of 24 h.
    step_min : length of a step [min].
    """

    start: datetime
    days: int
    step_min: float = 1.0

    @property
    def steps(self) -> int:
        """Number of steps."""
        return round(self.days * MINUTES_A_DAY / self.step_min)

    @property
    def step_h(self) -> float:
        """Length of a step [h]."""
        return self.step_min / 60.0

    def spans_as(self, other: Timeline) -> bool:
        """Return whether another clock has the same start and days, whatever its steps."""
        return (self.start, self.days) == (other.start, other.days)

    def at(self, step: float) -> datetime:
        """Return the local instant at which ``step`` begins (fractions allowed)."""
        begin = self.start.astimezone(UTC) + timedelta(minutes=step * self.step_min)
        return begin.astimezone(self.start.tzinfo)

    def minutes_to(self, at: datetime) -> float:
        """Return elapsed minutes from the start to an instant. [min]"""
        # Both are in one zone: a plain difference would follow the wall clock.
        return (at.timestamp() - self.start.timestamp()) / 60.0

    def middles_min(self) -> Floats:
        """Return minutes from the start to the middle of each step, shape (steps,). [min]"""
        return np.asarray((np.arange(self.steps) + 0.5) * self.step_min, dtype=np.float64)

    def middles_utc(self) -> pd.DatetimeIndex:
        """Return the UTC instants at the middle of each step, shape (steps,)."""
        first = self.start.astimezone(UTC) + timedelta(minutes=self.step_min / 2)
        offsets = pd.to_timedelta(np.arange(self.steps) * self.step_min, unit="min")
        return pd.DatetimeIndex(first + offsets)

    def starts_local(self) -> pd.DatetimeIndex:
        """Return the local instants at which each step begins, shape (steps,)."""
        offsets = pd.to_timedelta(np.arange(self.steps) * self.step_min, unit="min")
        starts = pd.DatetimeIndex(self.start.astimezone(UTC) + offsets)
        return starts.tz_convert(self.start.tzinfo)

    def date_of_step(self) -> NDArray[np.int64]:
        """Return which local date each step's middle lies on, 0 for that of the start."""
        return (self._wall_from_midnight() // MINUTES_A_DAY).astype(np.int64)

    @cached_property
    def dates(self) -> tuple[Date, ...]:
        """The local dates that the run touches; one that ends at midnight does not touch the next.

        A date that the place's calendar skipped, as at a date line that was moved, is among them.
        """
        count = int(self.date_of_step()[-1]) + 1
        return tuple(self.start.date() + timedelta(days=number) for number in range(count))

    def wall_minutes(self) -> Floats:
        """Return minutes since local midnight at the middle of each step, shape (steps,). [min]"""
        return np.mod(self._wall_from_midnight(), MINUTES_A_DAY)

    def _wall_from_midnight(self) -> Floats:
        """Return wall minutes from the local midnight before the start, not wrapped. [min]"""
        middle = self.middles_min()
        wall = np.empty(self.steps)
        for begin, end, wall_at_begin in self.wall_segments():
            inside = (middle >= begin) & (middle < end)
            wall[inside] = wall_at_begin + middle[inside] - begin
        return wall

    def wall_segments(self) -> tuple[tuple[float, float, float], ...]:
        """Return stretches of constant offset from UTC: begin, end and wall clock at begin.

        Begin and end are elapsed. Wall minutes count from the local midnight before the start of
        the run and are not wrapped. [min]
        """
        return _wall_segments(self.start, self.start.tzinfo, self.days)


@lru_cache(maxsize=64)
def _wall_segments(
    start: datetime, _zone: tzinfo | None, days: int
) -> tuple[tuple[float, float, float], ...]:
    # Instants of different zones compare equal: the zone is part of what is remembered.
    start_wall = start.hour * 60 + start.minute + start.second / 60
    first_offset = offset = _offset_min(start)
    begin, segments = 0.0, []
    for change in _offset_changes(start, days):
        segments.append((begin, change, start_wall + begin + (offset - first_offset)))
        begin, offset = change, _offset_min(_after(start, change))
    end = float(days * MINUTES_A_DAY)
    segments.append((begin, end, start_wall + begin + (offset - first_offset)))
    return tuple(segments)


def _offset_changes(start: datetime, days: int) -> Iterator[float]:
    # Zones change on whole minutes; no zone has changed twice within a quarter of an hour.
    previous = _offset_min(start)
    for quarter in range(15, days * MINUTES_A_DAY + 15, 15):
        offset = _offset_min(_after(start, quarter))
        if offset != previous:
            yield next(
                float(minute)
                for minute in range(quarter - 14, quarter + 1)
                if _offset_min(_after(start, minute)) == offset
            )
        previous = offset


def _after(start: datetime, elapsed_min: float) -> datetime:
    instant = start.astimezone(UTC) + timedelta(minutes=elapsed_min)
    return instant.astimezone(start.tzinfo)


def _offset_min(instant: datetime) -> float:
    offset = instant.utcoffset()
    assert offset is not None
    return offset.total_seconds() / 60


@lru_cache(maxsize=64)
def timeline(site: Site, trip: Stretch, step_min: float = 1.0) -> Timeline:
    """Return the clock of a run at this place, from the start hour on.

    A start hour that the wall clock skips begins at the first instant after the gap.

    Parameters
    ----------
    site : the place, with its time zone.
    trip : date, start hour and days.
    step_min : length of a step [min].

    Returns
    -------
    The clock of the run.
    """
    zone = ZoneInfo(site.timezone)
    wall = datetime.combine(trip.date, time()) + timedelta(minutes=round(trip.start_hour * 60))
    start = wall.replace(tzinfo=zone).astimezone(UTC).astimezone(zone)
    return Timeline(start, trip.days, step_min)


def date_name(date: Date) -> str:
    """Return a local date as it is named everywhere: ``Sat 17 Apr``."""
    return f"{date:%a} {date.day} {date:%b}"
