"""Spans of a run that figures count: off the air, and the nights."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

import numpy as np

from model.engine.outcome import USES, Use
from model.engine.run import StationRun
from model.sky.sun_times import night_spans
from model.support.figures import told

# Shorter than this a return is not said [h].
LEAST_RETURN_H = 1.0


@dataclass(frozen=True)
class Span:
    """From one local time to another, as they are said; ``hours`` between them [h]."""

    begin: datetime
    end: datetime

    @property
    def hours(self) -> float:
        """Elapsed time, whatever the wall clock does meanwhile [h]."""
        return (self.end.astimezone(UTC) - self.begin.astimezone(UTC)) / timedelta(hours=1)


@dataclass(frozen=True)
class NightUse:
    """What is drawn in one night: from when to when, how much of each use [Ah], the most first."""

    night: Span
    first_step: int
    end_step: int
    by_use_ah: tuple[tuple[Use, float], ...]

    @property
    def ah(self) -> float:
        """What is drawn in all [Ah]."""
        return sum(ah for _, ah in self.by_use_ah)


def off_air(run: StationRun, *, about: bool) -> tuple[Span, ...]:
    """Return when a station is off the air, each end as the headline says it.

    ``about`` says both ends to ten minutes: where most of the run is guessed.
    """
    off = np.concatenate([[False], ~run.abilities.receive, [False]])
    turns = np.flatnonzero(off[1:] != off[:-1])
    times = [told(run.clock.at(int(turn)), about=about) for turn in turns]
    return tuple(Span(*pair) for pair in zip(times[::2], times[1::2], strict=True))


def lasting_return(run: StationRun) -> datetime | None:
    """Return when a station that went off the air is back for good: an hour or more, or to the end.

    A return of minutes, on the first light of a morning, is none to rely on.
    """
    until = run.clocks.receive.until
    if until is None:
        return None
    on = np.concatenate([[False], run.abilities.receive[step_at(run, until) :], [False]])
    turns = np.flatnonzero(on[1:] != on[:-1]) + step_at(run, until)
    for begin, end in zip(turns[::2], turns[1::2], strict=True):
        if is_lasting(run, int(begin), int(end)):
            return run.clock.at(int(begin))
    return None


def is_lasting(run: StationRun, begin: int, end: int) -> bool:
    """Return whether a station on the air from one step to another is back for good."""
    lasts_h = (end - begin) * run.clock.step_h
    return begin < run.clock.steps and (lasts_h >= LEAST_RETURN_H or end == run.clock.steps)


def longest_draw(run: StationRun) -> NightUse | None:
    """Return the night in which most is drawn, sun 6 degrees down or more; None without one.

    A night that the run begins or ends in counts as far as the run goes, and from a reading on.
    """
    judged_from = run.clock.at(run.judged_from)
    nights = [
        _use_in(run, max(begin, judged_from), end)
        for begin, end in night_spans(run.site, run.trip)
        if end > judged_from
    ]
    return max(nights, key=lambda night: night.ah, default=None)


def _use_in(run: StationRun, begin: datetime, end: datetime) -> NightUse:
    first, last = (step_at(run, at) for at in (begin, end))
    drawn = {use: float(run.flow.use_a[use][first:last].sum()) * run.clock.step_h for use in USES}
    ordered = sorted(drawn.items(), key=lambda item: -item[1])
    return NightUse(
        Span(begin, end), first, last, tuple((use, ah) for use, ah in ordered if ah > 0)
    )


def step_at(run: StationRun, at: datetime) -> int:
    """Return the step that begins at a moment, counted in elapsed time."""
    return round(Span(run.clock.start, at).hours / run.clock.step_h)
