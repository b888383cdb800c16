"""A logger's table as text: its columns, which of them is time, current and volts, and its rows.

Commas, semicolons or tabs part the columns, in any order; decimals may have a comma where commas
part nothing.
"""

from __future__ import annotations

import csv
import os
import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, datetime, time, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

import numpy as np
from numpy.typing import NDArray

from model.editing.faults import Fault, ScenarioError
from model.engine.run import StationRun
from model.files.atomic_write import reason_of, shown_name
from model.files.column_mapping import COLUMNS_LIMIT, Column, MappingError, mapped
from model.station.chemistry import Floats

ROWS_LIMIT = 1_000_000
FILE_LIMIT_BYTES = 64_000_000
# Heads as loggers have them, in words of several languages' spreadsheets; from memory.
DATE = Column("date", ("date", "day", "datum"), "Date", r"^(date|day|datum)\b", is_needed=False)
TIME = Column(
    "time", ("time", "timestamp", "clock"), "Time",
    r"time|stamp|clock|uhr|zeit|hour|elapsed|^t$|^s$|^min$|^h$", is_needed=False,
)  # fmt: skip
AMPS = Column(
    "amps", ("amps", "current", "current_a"), "Current",
    r"amp|current|curr|^i\b|\(a\)|\[a\]|\ba$|_a$", is_needed=False,
)  # fmt: skip
VOLTS = Column(
    "volts", ("volts", "voltage", "voltage_v"), "Voltage",
    r"volt|^u\b|\(v\)|\[v\]|\bv$|_v$", is_needed=False,
)  # fmt: skip
COLUMNS = (TIME, DATE, AMPS, VOLTS)
_UNIT_S = {"h": 3600.0, "hours": 3600.0, "hour": 3600.0, "min": 60.0, "minutes": 60.0}
# Beyond this a number of seconds is one of the clock that counts from 1970.
LEAST_EPOCH_S = 1e8
_DAY_FIRST = ("%d.%m.%Y %H:%M:%S", "%d.%m.%Y %H:%M", "%d/%m/%Y %H:%M:%S", "%d/%m/%Y %H:%M")
_MONTH_FIRST = ("%m/%d/%Y %H:%M:%S", "%m/%d/%Y %H:%M", "%m/%d/%Y %I:%M:%S %p", "%m/%d/%Y %I:%M %p")
# Rows this far outside a run may still be of it.
NEAR_H = 36.0
MINUTES_BACK = 720
# What no logger of a battery shows is no number of one: assumptions of this program.
MOST_A, MOST_V = 10_000.0, 1000.0
NO_ROWS = "has no two rows with a time and a current that can be read"
# What a column holds is seen in its first rows.
SEEN_ROWS = 2000
_CLOCKS = ("%H:%M:%S", "%H:%M")


@dataclass(frozen=True)
class LoggerTable:
    """Heads of the columns and rows of text, each as long as the heads."""

    heads: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]

    def column(self, head: str) -> tuple[str, ...]:
        """Return the texts of a column."""
        at = self.heads.index(head)
        return tuple(row[at] for row in self.rows)


@dataclass(frozen=True, eq=False)
class Logged:
    """What a logger saw, in order of time.

    Attributes
    ----------
    elapsed_h : since the start of the run, shape (rows,) [h].
    battery_a : out of the battery, shape (rows,) [A].
    battery_v : nan where it was not logged, shape (rows,) [V].
    refused : rows that could not be read.
    """

    elapsed_h: Floats
    battery_a: Floats
    battery_v: Floats
    refused: int


def read_table(text: str, *, keeps_short: bool = False) -> LoggerTable:
    """Read a logger's table: rows as long as most are, or with short ones filled up.

    Raises
    ------
    ScenarioError
        When it has no rows of two columns or more.
    """
    lines = [
        line
        for line in text.removeprefix("\N{ZERO WIDTH NO-BREAK SPACE}").splitlines()
        if line.strip()
    ]
    if len(lines) > ROWS_LIMIT:
        raise _refused(f"a table may have up to {ROWS_LIMIT} rows")
    # What parts most of the lines alike parts the columns; words above the table do not count.
    parted_by = max("\t;,", key=lambda mark: sum(line.count(mark) > 0 for line in lines[:50]))
    cells = [tuple(cell.strip() for cell in row) for row in csv.reader(lines, delimiter=parted_by)]
    widths = [len(row) for row in cells]
    width = max(set(widths), key=widths.count, default=0)
    if not 2 <= width <= COLUMNS_LIMIT:
        raise _refused("a logger's table has a column of times and one of currents at least")
    if keeps_short:
        width = max(widths, default=0)
        cells = [row + ("",) * (width - len(row)) for row in cells]
    rows = [row for row in cells if len(row) == width]
    has_heads = not any(number_of(cell) is not None for cell in rows[0])
    heads = rows[0] if has_heads else tuple(f"column {at + 1}" for at in range(width))
    return LoggerTable(_told_apart(heads), tuple(rows[1:] if has_heads else rows))


def _told_apart(heads: Sequence[str]) -> tuple[str, ...]:
    found: list[str] = []
    for at, head in enumerate(heads):
        name = head or f"column {at + 1}"
        found.append(name if name not in found else f"{name} ({at + 1})")
    return tuple(found)


def _refused(words: str) -> ScenarioError:
    return ScenarioError((Fault("", words),))


def table_text(path: str | os.PathLike[str]) -> str:
    """Return the text of a file.

    Raises
    ------
    ScenarioError
        When it cannot be read or is too large; one line that names the file.
    """
    name = shown_name(path)
    try:
        if not Path(path).is_file():
            raise _refused(f"{name}: is not a file")
        with Path(path).open("rb") as file:
            data = file.read(FILE_LIMIT_BYTES + 1)
    except (OSError, ValueError) as error:
        raise _refused(f"{name}: {reason_of(error)}") from None
    if len(data) > FILE_LIMIT_BYTES:
        raise _refused(f"{name}: is larger than {FILE_LIMIT_BYTES // 10**6} MB")
    return data.decode("utf-8-sig", errors="replace")


def guessed_columns(table: LoggerTable) -> dict[str, str]:
    """Return the head of each column by what it holds, by heads and numbers.

    Nothing where time or current cannot be told.
    """
    told = set(_number_columns(table))
    texts = tuple("" if head in told else head for head in table.heads)
    figures = tuple(head if head in told else "" for head in table.heads)
    try:
        found = _named(texts, DATE)
        found |= _named(_without(table.heads, found), TIME)
        if "time" not in found:
            # A date without a time of day beside it holds both.
            alone = found.pop("date", None) or next(filter(None, texts), None)
            found |= {"time": alone} if alone else {}
        figures = _without(figures, found)
        found |= _named(figures, AMPS, VOLTS)
    except MappingError:
        return {}
    left = [head for head in _without(figures, found) if head]
    if "amps" not in found and len(left) == 1:
        found["amps"] = left[0]
    return found if {"time", "amps"} <= found.keys() else {}


def _named(heads: tuple[str, ...], *wanted: Column) -> dict[str, str]:
    return {key: heads[place] for key, place in mapped(heads, wanted).items()}


def _without(heads: tuple[str, ...], taken: Mapping[str, str]) -> tuple[str, ...]:
    return tuple("" if head in taken.values() else head for head in heads)


def _number_columns(table: LoggerTable) -> dict[str, Floats]:
    """Return the columns most of whose first cells are numbers, by their heads."""
    numbers = {head: _numbers(table.column(head)[:SEEN_ROWS]) for head in table.heads}
    return {head: each for head, each in numbers.items() if np.isfinite(each).sum() > each.size / 2}


def is_out_positive(table: LoggerTable, columns: Mapping[str, str]) -> bool:
    """Return whether a positive current leaves the battery, so far as its volts tell.

    What leaves lowers the volts over the hours, what goes in raises them; the steps at a change of
    load go both ways.
    """
    if "volts" not in columns or "amps" not in columns:
        return True
    current_a, battery_v = (
        _numbers(table.column(columns[key])[:SEEN_ROWS]) for key in ("amps", "volts")
    )
    both = np.isfinite(current_a) & np.isfinite(battery_v)
    current_a, battery_v = current_a[both], battery_v[both]
    return float((current_a[1:] + current_a[:-1]) @ np.diff(battery_v)) <= 0


def logged(
    table: LoggerTable, columns: Mapping[str, str], run: StationRun, *, out_is_positive: bool
) -> Logged:
    """Return what was logged, on the clock of a run.

    Parameters
    ----------
    table : of the logger.
    columns : heads by what they hold (``COLUMNS``); time and current at least, and a date where the
        time of day stands apart from it.
    run : of the station.
    out_is_positive : whether a positive current leaves the battery.

    Raises
    ------
    ScenarioError
        When a column is not in the table, or no row of it can be read.
    """
    needed = [replace(each, is_needed=each in (TIME, AMPS)) for each in COLUMNS]
    asked = [each for each in needed if each.is_needed or each.key in columns]
    try:
        places = mapped(table.heads, asked, columns)
    except MappingError as error:
        raise _refused(str(error)) from None
    if not table.rows:
        raise _refused(NO_ROWS)
    held = {key: table.column(table.heads[place]) for key, place in places.items()}
    elapsed_h = _elapsed_h(held, table.heads[places["time"]], run)
    current_a = _within(_numbers(held["amps"]), MOST_A) * (1.0 if out_is_positive else -1.0)
    volts = np.full(elapsed_h.size, np.nan)
    if "volts" in held:
        volts = _within(_numbers(held["volts"]), MOST_V)
    good = np.isfinite(elapsed_h) & np.isfinite(current_a)
    near = good & _is_near(elapsed_h, run)
    if good.sum() >= 2 > near.sum():
        raise _refused(f"has no two rows within {NEAR_H:g} hours of the run: see its dates")
    order = np.flatnonzero(near)[np.argsort(elapsed_h[near], kind="stable")]
    # Of several rows of one moment the last counts.
    order = order[np.diff(elapsed_h[order], append=np.inf) > 0]
    if order.size < 2:
        raise _refused(NO_ROWS)
    return Logged(elapsed_h[order], current_a[order], volts[order], int((~good).sum()))


def _within(values: Floats, most: float) -> Floats:
    """Return values with none beyond what can be, shape as given."""
    return np.where(np.abs(values) <= most, values, np.nan)


def _is_near(elapsed_h: Floats, run: StationRun) -> NDArray[np.bool_]:
    """Return which rows may be of a run, shape (rows,)."""
    last_h = run.clock.steps * run.clock.step_h + NEAR_H
    near: NDArray[np.bool_] = (elapsed_h > -NEAR_H) & (elapsed_h < last_h)
    return near


def _numbers(texts: Sequence[str]) -> Floats:
    values = [number_of(text) for text in texts]
    return np.array([np.nan if value is None else value for value in values], dtype=float)


def number_of(text: str) -> float | None:
    """Return a number with a point or a comma before its decimals; None where it is none."""
    plain = text.replace("\N{MINUS SIGN}", "-").replace(" ", "").strip("'\"")
    if "," in plain and "." not in plain:
        plain = plain.replace(",", ".")
    try:
        value = float(plain)
    except ValueError:
        return None
    return value if np.isfinite(value) else None


def _elapsed_h(held: Mapping[str, tuple[str, ...]], head: str, run: StationRun) -> Floats:
    """Return hours since the start of the run, nan where a time cannot be read."""
    texts = held["time"]
    if "date" in held:
        texts = tuple(f"{day} {time}" for day, time in zip(held["date"], texts, strict=True))
    numbers = _numbers(texts)
    if np.isfinite(numbers).mean() > 0.5:
        start_s = run.clock.start.timestamp()
        if np.nanmedian(numbers) > LEAST_EPOCH_S:
            return (numbers - start_s) / 3600.0
        words = re.findall(r"[a-z]+", head.lower())
        unit_s = next((_UNIT_S[word] for word in words if word in _UNIT_S), 1.0)
        return numbers * unit_s / 3600.0
    families = (_iso_h, _patterns_h(_DAY_FIRST), _patterns_h(_MONTH_FIRST), _clocks_h)
    found = [family(texts, run) for family in families]
    # Of two ways to read a date, the one that puts more rows near the run.
    return max(found, key=lambda hours: int(_is_near(hours, run).sum()))


def _hours_of(moments: Sequence[datetime | None], run: StationRun) -> Floats:
    """Return hours since the start of a run, by its wall clock where a moment has no offset."""
    zone, start = ZoneInfo(run.site.timezone), run.clock.start.astimezone(UTC)
    return np.array([np.nan if at is None else _hours(at, zone, start) for at in moments])


def _hours(at: datetime, zone: ZoneInfo, start: datetime) -> float:
    try:
        there = (at if at.tzinfo else at.replace(tzinfo=zone)).astimezone(UTC)
    except OverflowError:
        # The first and last day of the calendar have no other zone.
        return np.nan
    return (there - start) / timedelta(hours=1)


def _iso_h(texts: Sequence[str], run: StationRun) -> Floats:
    return _hours_of([_iso(text) for text in texts], run)


def _iso(text: str) -> datetime | None:
    try:
        return datetime.fromisoformat(text)
    except ValueError:
        return None


def _patterns_h(patterns: Sequence[str]) -> Callable[[Sequence[str], StationRun], Floats]:
    def read(texts: Sequence[str], run: StationRun) -> Floats:
        return _hours_of([_by_pattern(text, patterns) for text in texts], run)

    return read


def _by_pattern(text: str, patterns: Sequence[str]) -> datetime | None:
    for pattern in patterns:
        try:
            return datetime.strptime(text, pattern)  # noqa: DTZ007 - the wall clock of the site
        except ValueError:
            continue
    return None


def _clocks_h(texts: Sequence[str], run: StationRun) -> Floats:
    """Return hours of times of day without a date: one that goes back is of the next day."""
    day, before = run.clock.start.date(), None
    moments: list[datetime | None] = []
    for text in texts:
        at = _by_pattern(text, _CLOCKS)
        if at is None:
            moments.append(None)
            continue
        if before is not None and at.time() < before and _falls_far(before, at.time()):
            day += timedelta(days=1)
        before = at.time()
        moments.append(datetime.combine(day, at.time()))
    return _hours_of(moments, run)


def _falls_far(before: time, now: time) -> bool:
    """Whether a clock went back by more than a correction of its own would."""
    return (before.hour - now.hour) * 60 + before.minute - now.minute > MINUTES_BACK
