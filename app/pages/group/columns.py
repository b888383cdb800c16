"""The columns of a post: what is typed, and what its runs say."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from app.widgets.number_text import fixed, quantity
from model.editing.field_facts import FieldFacts, field_at
from model.engine.outcome import Clock
from model.engine.run import StationRun
from model.group.group import Post
from model.group.group_run import FirstEnd, PostRun
from model.group.group_words import moment_words
from model.results.wording import CLOCK_WORDS, capital, why
from model.scenario.declare import Value
from model.support.figures import (
    percent,
    short_in_10,
    short_span_in_10,
)

NONE = "–"
LASTS = "lasts"


@dataclass(frozen=True)
class Column:
    """One column.

    Attributes
    ----------
    key : the field of a post that is typed in it; empty where it shows a result.
    head : what stands over it, without its unit.
    text : what a result shows; not asked where a field is typed.
    tip : what the column is.
    is_figure : whether its texts lean right.
    characters : how wide it is.
    facts : of the number with a unit that is typed in it.
    """

    key: str
    head: str
    tip: str
    text: Callable[[Any, bool], str] | None = None
    is_figure: bool = False
    characters: int = 9
    facts: FieldFacts | None = None


def typed(key: str, characters: int, *, of: type[Value] = Post, is_figure: bool = False) -> Column:
    """Return the column of a field of a post, or of another record."""
    info = of.model_fields[key]
    facts = field_at(key, of)
    return Column(
        key, str(info.title), info.description or "", None, is_figure, characters,
        facts if facts.unit else None,
    )  # fmt: skip


def end_text(row: PostRun, *, is_bad: bool = False) -> str:
    """Return when a post's first end comes, or that it lasts."""
    run, end = _of(row, is_bad=is_bad)
    if run is None:
        return "not run"
    return LASTS if end is None else moment_words(row, end.at)


def end_words(row: PostRun, *, is_bad: bool = False) -> str:
    """Return the same as a sentence: what ends, when, why."""
    run, end = _of(row, is_bad=is_bad)
    name, sky = capital(row.kit.name), "in the bad sky" if is_bad else "as planned"
    if run is None:
        return f"{name} is not run: {why_not(row)}."
    if end is None:
        crossed = run.reserve_crossed_at
        low = f", below its reserve from {moment_words(row, crossed)}" if crossed else ""
        return f"{name} lasts {sky}{low}."
    clock: Clock = getattr(run.clocks, end.clock)
    until = f"{CLOCK_WORDS[end.clock]} until {moment_words(row, end.at)}"
    words = f"{name} {sky}: {until}, {why(run, clock)}"
    if end.off_air_at is not None and end.clock != "receive":
        words = f"{words}; off the air {moment_words(row, end.off_air_at)}"
    return f"{words}."


def _of(row: PostRun, *, is_bad: bool) -> tuple[StationRun | None, FirstEnd | None]:
    return (row.bad, row.bad_first_end) if is_bad else (row.planned, row.first_end)


def why_not(row: PostRun) -> str:
    """Return why a post is not run."""
    if row.kit.lacks:
        return f"it has no {', no '.join(row.kit.lacks)}"
    return row.kit.withheld or "it is withheld"


def _first_end(row: PostRun, _us: bool) -> str:
    return end_text(row)


def _bad_end(row: PostRun, _us: bool) -> str:
    return end_text(row, is_bad=True)


def _odds(row: PostRun, _us: bool) -> str:
    if row.odds is None:
        return NONE
    span = short_span_in_10(row.odds.low, row.odds.high)
    return f"{short_in_10(row.odds.value)} ({span})"


def _lowest(row: PostRun, _us: bool) -> str:
    lowest = row.lowest
    return percent(lowest.value) if lowest is not None else NONE


def _ah(row: PostRun, _us: bool) -> str:
    return NONE if row.ah_a_day is None else fixed(row.ah_a_day, 1)


def _guesses(row: PostRun, _us: bool) -> str:
    return NONE if row.guess_share is None else percent(row.guess_share)


def _mass(row: PostRun, us: bool) -> str:
    return quantity(row.mass_kg, "kg", 1, us=us)


def _strip(row: PostRun, _us: bool) -> str:
    """Return the strip of a post in words."""
    run = row.planned
    if run is None:
        return f"{row.kit.name}: not run"
    lowest = f"lowest {percent(run.lowest.value)} at {moment_words(row, run.lowest.at)}"
    return f"{row.kit.name}: {lowest}, at the end {percent(run.end_fraction)}"


FIRST_END = Column(
    "", "First end", "What ends first as planned, and when", _first_end, characters=10
)
BAD_END = Column("", "In bad sky", "What ends first under the bad sky", _bad_end, characters=10)
STRIP = Column(
    "", "Charge", "Charge as planned (line) and in bad sky (dashes); hatched: off the air", _strip
)
POSTS = (
    typed("kit", 5),
    typed("role", 12),
    typed("place", 12),
    FIRST_END,
    BAD_END,
    Column("", "Odds", "Of trial trips, how many it receives in to the end", _odds, characters=18),
    Column("", "Lowest", "Least charge as planned", _lowest, True, 7),
    Column("", "Ah a day", "What its loads draw in a day", _ah, True, 8),
    Column("", "Guesses", "Share of that from guesses", _guesses, True, 8),
    Column("", "Carried", "What is carried to the post", _mass, True, 8),
    STRIP,
)
ROSTER = (
    typed("kit", 5),
    typed("role", 12),
    typed("place", 12),
    typed("call_sign", 10),
    typed("licence", 20),
    typed("shift", 15),
    typed("relief", 24),
    typed("frequency_mhz", 9, is_figure=True),
    typed("backup", 22),
    typed("relay", 6),
    typed("battery_test_due", 12),
    typed("battery_batch", 10),
    typed("scenario", 18),
    typed("station", 7, is_figure=True),
)
