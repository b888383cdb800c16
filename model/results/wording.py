"""Moments, causes, uses and amounts in plain words, for verdict, page, plots and screen readers."""

from __future__ import annotations

from datetime import datetime, timedelta

from model.engine.outcome import Cause, Use
from model.engine.run import StationRun
from model.scenario.kinds import USES
from model.sky.irradiance import night_spans

CAUSE_WORDS: dict[Cause, str] = {
    "empty": "the battery is empty",
    "cutoff": "the battery falls below its cut-off",
    "sag": "volts at the set fall too low",
    "board": "the current is more than the battery's protection lets through",
    "over-volts": "the battery stands above the set's highest volts",
}
USE_WORDS: dict[Use, str] = {use.key: use.words for use in USES}
CLOCK_WORDS = {
    "full_power": "full power",
    "reduced_power": "reduced power",
    "receive": "receive",
}


def moment(run: StationRun, at: datetime, *, about: bool = False) -> str:
    """Return a moment as local time with its night or day number, such as "02:40 on night 1".

    ``about`` rounds to ten minutes and says so.
    """
    if about:
        rounded = at + timedelta(minutes=5)
        at = rounded - timedelta(minutes=rounded.minute % 10, seconds=rounded.second)
    prefix = "about " if about else ""
    return f"{prefix}{at:%H:%M} on {night_or_day(run, at)} ({date_words(run, at)})"


def date_words(run: StationRun, at: datetime) -> str:
    """Return the weekday, with the date where a run is so long that weekdays repeat."""
    return f"{at:%a}" if run.clock.days < 7 else f"{at:%a} {at.day} {at:%b}"


def night_or_day(run: StationRun, at: datetime) -> str:
    """Return "night 2" or "day 2": nights that begin in the run, and its calendar days.

    A night that is already on when the run starts is "the first night" and has no number.
    """
    number = 0
    for begin, end in night_spans(run.site, run.day):
        number += begin > run.clock.start
        if begin <= at < end:
            return f"night {number}" if number else "the first night"
    return f"day {(at.date() - run.clock.start.date()).days + 1}"


def why(cause: Cause, drain: Use | None) -> str:
    """Return why a clock ended, with the use that took most since the battery was last full."""
    words = CAUSE_WORDS[cause]
    if drain is None or cause in ("over-volts", "board"):
        return words
    return f"{words}; {USE_WORDS[drain]} took most of the charge"


def hours_words(hours: float) -> str:
    """Return hours as "11 h 40 min", or minutes alone below one hour."""
    minutes = round(hours * 60)
    if minutes < 60:
        return f"{minutes} min"
    return f"{minutes // 60} h {minutes % 60:02d} min" if minutes % 60 else f"{minutes // 60} h"


def percent(fraction: float) -> str:
    """Return a fraction as whole per cent, such as "48 %"."""
    return f"{round(fraction * 100)} %"
