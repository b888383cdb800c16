"""Where the marks of a time axis stand and what they say, by the wall clock of the site.

Positions are elapsed minutes since the start of a run; the labels follow the wall clock, over a
skipped or repeated hour too, whatever the zone and the language of the computer.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from functools import lru_cache

from model.scenario.declare import MINUTES_A_DAY, clock_of
from model.sky.timeline import Timeline
from model.support.figures import day_text, offset_text

SPACINGS_MIN = (1, 5, 10, 15, 30, 60, 120, 180, 360, 720)


@dataclass(frozen=True)
class Mark:
    """One label of the axis."""

    minute: float
    text: str


@dataclass(frozen=True)
class DaySpan:
    """The part of a run that lies in one day of the site's calendar."""

    begin: float
    end: float
    day: date


def spacing_min(span_min: float, width_px: float, label_px: float) -> int:
    """Return the least spacing of marks that leaves room between labels; 0 means days alone."""
    if span_min <= 0 or width_px <= 0:
        return 0
    least = span_min / width_px * label_px
    return next((spacing for spacing in SPACINGS_MIN if spacing >= least), 0)


def hour_marks(clock: Timeline, low: float, high: float, spacing: int) -> tuple[Mark, ...]:
    """Return the marks between two elapsed minutes at round times of the wall clock."""
    if not spacing:
        return ()
    marks = []
    for begin, end, wall in _segments(clock):
        first, last = max(low, begin), min(high, end)
        count = math.ceil((wall + first - begin) / spacing - 1e-9)
        at = begin + count * spacing - wall
        while at <= last and (at < end or end >= clock.days * MINUTES_A_DAY):
            wall_minute = round(count * spacing) % MINUTES_A_DAY
            marks.append(Mark(at, clock_of(wall_minute)))
            count += 1
            at += spacing
    return tuple(marks)


def marks_across(clock: Timeline, width_px: float, label_px: float) -> tuple[Mark, ...]:
    """Return the marks of a whole run: hours as there is room, midnights by the day they begin."""
    total = clock.days * MINUTES_A_DAY
    spacing = spacing_min(total, width_px, label_px)
    days = [Mark(span.begin, day_text(span.day)[:3]) for span in day_spans(clock)]
    names = {mark.minute: mark for mark in days[1:]}
    hours = hour_marks(clock, 0.0, total, spacing)
    return tuple(names.get(mark.minute, mark) for mark in hours) if spacing else tuple(days)


@lru_cache(maxsize=8)
def day_spans(clock: Timeline) -> tuple[DaySpan, ...]:
    """Return the days of the calendar that a run touches, in order."""
    spans: list[DaySpan] = []
    for begin, end, wall in _segments(clock):
        at = begin
        while at < end:
            index = int((wall + at - begin + 1e-9) // MINUTES_A_DAY)
            stop = min(end, begin + (index + 1) * MINUTES_A_DAY - wall)
            day = clock.start.date() + timedelta(days=index)
            if spans and spans[-1].day == day:
                spans[-1] = DaySpan(spans[-1].begin, stop, day)
            else:
                spans.append(DaySpan(at, stop, day))
            at = stop
    return tuple(spans)


@lru_cache(maxsize=8)
def _segments(clock: Timeline) -> tuple[tuple[float, float, float], ...]:
    return tuple(clock.wall_segments())


def full_text(at: datetime) -> str:
    """Return an instant as ``Sun 14 Jun 06:54, UTC+2``."""
    return f"{day_text(at.date())} {at:%H:%M}, {offset_text(at)}"
