"""The 24 hours of the strip: local time across, UTC below it, night and twilight behind."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime, time, timedelta
from functools import lru_cache
from zoneinfo import ZoneInfo

from model.scenario.declare import MINUTES_A_DAY, clock_of
from model.scenario.scenario import Day, Site
from model.sky.sun_times import Span, night_spans, twilight_spans

Minutes = tuple[float, float]
# Fine enough for what is only painted: the crossings lie on straight lines between the steps.
SKY_STEP_MIN = 5.0


@dataclass(frozen=True)
class DaySky:
    """The dark and the half-dark parts of one calendar day, in minutes since local midnight."""

    nights: tuple[Minutes, ...]
    twilights: tuple[Minutes, ...]


@lru_cache(maxsize=8)
def day_sky(site: Site, day: Day) -> DaySky:
    """Return night and twilight of the first day of a run, from midnight to midnight."""
    # Two elapsed days from midnight hold all of a calendar day, also one of 25 hours.
    whole = Day(date=day.date, start_hour=0.0, days=2)
    return DaySky(
        _of_first_day(night_spans(site, whole, SKY_STEP_MIN), day),
        _of_first_day(twilight_spans(site, whole, SKY_STEP_MIN), day),
    )


def utc_text(site: Site, day: Day, minute: int) -> str:
    """Return the time in UTC at a minute of the first day's local clock."""
    wall = datetime.combine(day.date, time()) + timedelta(minutes=minute)
    return f"{wall.replace(tzinfo=ZoneInfo(site.timezone)).astimezone(UTC):%H:%M}"


def local_text(minute: int) -> str:
    """Return a minute of the day as a clock shows it; the end of the day is 24:00."""
    return clock_of(minute if minute == MINUTES_A_DAY else minute % MINUTES_A_DAY)


def _of_first_day(spans: tuple[Span, ...], day: Day) -> tuple[Minutes, ...]:
    found = []
    for begin, end in spans:
        low, high = _wall_minute(begin, day), _wall_minute(end, day)
        low, high = max(low, 0.0), min(high, float(MINUTES_A_DAY))
        if high > low:
            found.append((low, high))
    return tuple(found)


def _wall_minute(at: datetime, day: Day) -> float:
    wall = at.replace(tzinfo=None) - datetime.combine(day.date, time())
    return wall / timedelta(minutes=1)
