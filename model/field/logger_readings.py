"""A logger's rows reduced to what a log holds: Ah, steady loads, rested volts and ends."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime

import numpy as np

from model.engine.run import StationRun
from model.field.likelihood import counter_start_ah
from model.field.logger_table import Logged
from model.results.wording import moment
from model.scenario.station import READINGS_LIMIT, FieldReading
from model.support.figures import duration

NOTE = "from the logger"
# Between two rows this far apart nothing is known: longer than so many usual distances, and than
# these minutes. Common practice, no source.
GAP_ROWS, GAP_H = 5.0, 0.25
# A counter that begins later than this after the run knows nothing of what went before.
LATE_H = 0.25
EVERY_H = 2.0
# A load is steady where it stays within this share of its middle for so long.
STEADY_H, STEADY_SHARE, LEAST_STEADY_A = 0.5, 0.05, 0.03
DARK_A = 0.05
REST_H, REST_A = 0.5, 0.02
# Off the air: next to nothing is drawn for so long, after a load that was more.
END_H, END_SHARE, END_A = 0.25, 0.1, 0.03


@dataclass(frozen=True)
class Gap:
    """A stretch without rows; hours since the start of the run [h]."""

    begin_h: float
    end_h: float


@dataclass(frozen=True)
class Reduced:
    """Readings of a logger in order of time, and what is to be known of them, in sentences."""

    readings: tuple[FieldReading, ...]
    gaps: tuple[Gap, ...]
    notes: tuple[str, ...]


def reduced(log: Logged, run: StationRun) -> Reduced:
    """Return what a logger saw, as the readings that a log takes."""
    gaps = tuple(_gaps(log))
    counted, why_not = _counted(log, run, gaps)
    found = [*counted, *_steady(log, run, gaps), *_rested(log, run, gaps), *_ends(log, run, gaps)]
    inside = [
        (at_h, seen) for at_h, seen in found if 0.0 <= at_h < run.clock.steps * run.clock.step_h
    ]
    inside.sort(key=lambda pair: pair[0])
    readings = tuple(_reading(run, at_h, seen) for at_h, seen in _thinned(inside))
    notes = [
        f"Without rows from {_at(run, gap.begin_h)} to {_at(run, gap.end_h)},"
        f" {duration(gap.end_h - gap.begin_h)}: nothing is counted there."
        for gap in gaps[:3]
    ]
    if len(gaps) > 3:
        notes.append(f"{len(gaps) - 3} more gaps.")
    if log.refused:
        rows = "row" if log.refused == 1 else "rows"
        notes.append(f"{log.refused} {rows} could not be read and were left out.")
    return Reduced(readings, gaps, (*notes, *why_not))


def _at(run: StationRun, at_h: float) -> str:
    return moment(run, _moment(run, at_h))


def _moment(run: StationRun, at_h: float) -> datetime:
    return run.clock.at(round(at_h / run.clock.step_h))


def _reading(run: StationRun, at_h: float, seen: dict[str, object]) -> FieldReading:
    at = _moment(run, at_h)
    day = (at.date() - run.clock.start.date()).days + 1
    return FieldReading.model_validate({"day": day, "at": f"{at:%H:%M}", "note": NOTE, **seen})


Seen = tuple[float, dict[str, object]]


def _thinned(found: list[Seen]) -> list[Seen]:
    """Return as many readings as a log takes: ends stay, of the others every so many."""
    if len(found) <= READINGS_LIMIT:
        return found
    ends = [pair for pair in found if "event" in pair[1]][: READINGS_LIMIT // 2]
    others = [pair for pair in found if "event" not in pair[1]]
    room = READINGS_LIMIT - len(ends)
    chosen = [others[at] for at in np.linspace(0, len(others) - 1, room).astype(int)]
    return sorted([*ends, *chosen], key=lambda pair: pair[0])


def _gaps(log: Logged) -> Iterator[Gap]:
    apart_h = np.diff(log.elapsed_h)
    longest_h = max(GAP_ROWS * float(np.median(apart_h)), GAP_H)
    for at in np.flatnonzero(apart_h > longest_h):
        yield Gap(float(log.elapsed_h[at]), float(log.elapsed_h[at + 1]))


def _counted(log: Logged, run: StationRun, gaps: tuple[Gap, ...]) -> tuple[list[Seen], list[str]]:
    """Return what a counter would have shown every two hours, up to the first gap.

    What goes into the battery counts with its charge efficiency, as in a counter set to it.
    """
    begin_h = float(log.elapsed_h[0])
    if begin_h > LATE_H:
        words = (
            f"The log begins {duration(begin_h)} after the run: what went before is not known, so"
            " that no ampere-hours are counted; loads and ends are."
        )
        return [], [words]
    efficiency = run.station.battery.charge_efficiency
    stored_a = np.where(log.battery_a > 0, log.battery_a, log.battery_a * efficiency)
    steps_ah = (stored_a[1:] + stored_a[:-1]) / 2 * np.diff(log.elapsed_h)
    out_ah = np.concatenate([[0.0], np.cumsum(steps_ah)])
    last_h = gaps[0].begin_h if gaps else float(log.elapsed_h[-1])
    at_start_ah = float(np.interp(0.0, log.elapsed_h, out_ah))
    hours = np.arange(EVERY_H, last_h + 1e-9, EVERY_H)
    shown = counter_start_ah(run) + np.interp(hours, log.elapsed_h, out_ah) - at_start_ah
    found: list[Seen] = [
        (float(at_h), {"used_ah": round(float(used_ah), 2)})
        for at_h, used_ah in zip(hours, shown, strict=True)
    ]
    if not gaps:
        return found, []
    until = f"Ah are counted up to {_at(run, last_h)}: what flowed in the gap is not known."
    return found, [until]


def _stretches(
    flags: np.ndarray, log: Logged, least_h: float, gaps: tuple[Gap, ...]
) -> Iterator[slice]:
    """Yield rows in which something stays so for long enough; a gap ends a stretch."""
    begins = {gap.end_h for gap in gaps}
    first: int | None = None
    for at in range(flags.size + 1):
        broken = at == flags.size or not flags[at] or log.elapsed_h[at] in begins
        if first is not None and broken:
            if log.elapsed_h[at - 1] - log.elapsed_h[first] >= least_h:
                yield slice(first, at)
            first = None
        if first is None and at < flags.size and flags[at]:
            first = at


def _is_dark(log: Logged, run: StationRun) -> np.ndarray:
    steps = np.clip((log.elapsed_h / run.clock.step_h).astype(int), 0, run.clock.steps - 1)
    dark: np.ndarray = run.flow.panel_able_a[steps] < DARK_A
    return dark


def _steady(log: Logged, run: StationRun, gaps: tuple[Gap, ...]) -> Iterator[Seen]:
    """Yield the load in the dark wherever it is steady: with sun the battery sees a difference."""
    dark = _is_dark(log, run) & (log.battery_a > LEAST_STEADY_A)
    for rows in _stretches(dark, log, STEADY_H, gaps):
        current_a, hours = log.battery_a[rows], log.elapsed_h[rows]
        begin = 0
        while begin < current_a.size:
            end = begin + 1
            middle = current_a[begin]
            while end < current_a.size and abs(current_a[end] - middle) <= STEADY_SHARE * middle:
                end += 1
                middle = float(np.median(current_a[begin:end])) if end - begin < 50 else middle
            if hours[end - 1] - hours[begin] >= STEADY_H:
                at_h = float((hours[begin] + hours[end - 1]) / 2)
                yield at_h, {"load_a": round(float(np.median(current_a[begin:end])), 3)}
            begin = end


def _rested(log: Logged, run: StationRun, gaps: tuple[Gap, ...]) -> Iterator[Seen]:
    """Yield the volts at the end of each stretch in which nothing flowed."""
    resting = (np.abs(log.battery_a) <= REST_A) & np.isfinite(log.battery_v)
    for rows in _stretches(resting, log, REST_H, gaps):
        last = rows.stop - 1
        yield (
            float(log.elapsed_h[last]),
            {"battery_v": round(float(log.battery_v[last]), 2), "at_rest": True},
        )


def _ends(log: Logged, run: StationRun, gaps: tuple[Gap, ...]) -> Iterator[Seen]:
    """Yield when the load fell away in the dark, and when the battery carried one again."""
    usual_a = _usual_load_a(log, run)
    off_a = max(END_A, END_SHARE * usual_a)
    idle = np.abs(log.battery_a) <= off_a
    dark = _is_dark(log, run)
    for rows in _stretches(idle, log, END_H, gaps):
        before = rows.start - 1
        if before < 0 or not dark[rows.start] or log.battery_a[before] <= off_a:
            continue
        yield float(log.elapsed_h[rows.start]), {"event": "off"}
        again = np.flatnonzero(log.battery_a[rows.stop :] > 0.5 * usual_a)
        if again.size:
            yield float(log.elapsed_h[rows.stop + int(again[0])]), {"event": "back"}


def _usual_load_a(log: Logged, run: StationRun) -> float:
    drawn = log.battery_a[_is_dark(log, run) & (log.battery_a > LEAST_STEADY_A)]
    return float(np.median(drawn)) if drawn.size else 0.0
