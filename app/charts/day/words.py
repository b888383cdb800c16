"""What a day says in words: for the labels, for the read-out and for those who hear it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from app.charts.time_marks import full_text
from app.widgets.number_text import fixed
from model.engine.comparison import Comparison
from model.engine.outcome import Clock, Clocks
from model.engine.run import StationRun
from model.files.csv_table import csv_text
from model.results.minute import Moment
from model.results.wording import USE_LABELS, cause_label, name_at
from model.support.cache import kept_while_it_lives
from model.support.figures import day_and_time, percent, told
from model.verdict.order import is_guessed


@dataclass(frozen=True)
class Failure:
    """The moment at which one ability of a station ends, or several at once.

    ``mark`` is what stands beside it on the curve: "off 04:09".
    """

    at: datetime
    words: str
    mark: str


TABLE_STEP_MIN = 15
# What a station is once an ability is gone.
_LEFT = {"full power": "reduced", "reduced power": "receive only", "receive": "off"}


def station_name(comparison: Comparison, index: int) -> str:
    """Return what a station is called; one without a name goes by its letter."""
    return name_at(comparison.scenario, index)


@kept_while_it_lives
def failures(run: StationRun) -> tuple[Failure, ...]:
    """Return when abilities first end, in order; those that end in one minute are told together."""
    return _failures(run.clocks, run.trip.days, about=is_guessed(run))


def _failures(clocks: Clocks, days: int, *, about: bool) -> tuple[Failure, ...]:
    ends: dict[datetime, list[tuple[str, Clock]]] = {}
    for what, clock in (
        ("full power", clocks.full_power),
        ("reduced power", clocks.reduced_power),
        ("receive", clocks.receive),
    ):
        if clock.until is not None:
            ends.setdefault(clock.until, []).append((what, clock))
    return tuple(
        _failure(at, [what for what, _ in found], found[-1][1], days, about=about)
        for at, found in sorted(ends.items(), key=lambda item: item[0].timestamp())
    )


def _failure(at: datetime, what: list[str], clock: Clock, days: int, *, about: bool) -> Failure:
    subject = {
        ("full power", "reduced power"): "transmit",
        ("reduced power", "receive"): "reduced power and receive",
        ("full power", "reduced power", "receive"): "transmit and receive",
    }.get(tuple(what), " and ".join(what))
    verb = "end" if " and " in subject else "ends"
    when = f"{'about ' if about else ''}{day_and_time(told(at, about=about), days)}"
    cause = cause_label(clock)
    return Failure(
        at,
        f"{subject} {verb} {when}" + (f", {cause}" if cause else ""),
        f"{_LEFT[what[-1]]} {_clock_words(at, about=about)}",
    )


def _clock_words(at: datetime, *, about: bool) -> str:
    """Return the time of day of an event as the verdict says it."""
    return f"{'about ' if about else ''}{told(at, about=about):%H:%M}"


def clock_words(run: StationRun, at: datetime) -> str:
    """Return the time of day of an event as the verdict says it."""
    return _clock_words(at, about=is_guessed(run))


def day_words(comparison: Comparison) -> str:
    """Return the whole plot in a few sentences."""
    return " ".join(
        f"{station_name(comparison, index)}: {_course_words(run)}."
        for index, run in enumerate(comparison.runs)
    )


def _course_words(run: StationRun | None) -> str:
    if run is None:
        return "not run, because of an error in its numbers"
    lowest = f"lowest {percent(run.lowest.value)} at {_time_of(run, run.lowest.at)}"
    crossed = run.reserve_crossed_at
    parts = [lowest, f"{percent(run.end_fraction)} at the end"]
    if crossed is not None:
        reserve = percent(run.station.reserve_fraction)
        parts.append(f"below its reserve of {reserve} from {_time_of(run, crossed)}")
    parts += [failure.words for failure in failures(run)] or ["no limit is reached"]
    return ", ".join(parts)


def _time_of(run: StationRun, at: datetime) -> str:
    """Return a time as the verdict says it."""
    about = is_guessed(run)
    return f"{'about ' if about else ''}{day_and_time(told(at, about=about), run.trip.days)}"


def uses_words(moment: Moment) -> str:
    """Return what draws how much, largest first: ``computer 1.31, receive 0.16``."""
    drawn = [f"{USE_LABELS[use]} {fixed(ampere, 2)}" for use, ampere in moment.use_a]
    return ", ".join(words for words in drawn if not words.endswith(" 0.00")) or "nothing"


def moment_words(comparison: Comparison, moments: list[Moment | None]) -> str:
    """Return every station at one minute, as read aloud."""
    at = next((moment.at for moment in moments if moment is not None), None)
    if at is None:
        return ""
    parts = [full_text(at)]
    for index, moment in enumerate(moments):
        if moment is not None:
            parts.append(
                f"{station_name(comparison, index)}: {percent(moment.fraction)},"
                f" {fixed(moment.usable_ah, 1, 'Ah')} usable,"
                f" battery {fixed(moment.battery_v, 2, 'V')}, radio"
                f" {fixed(moment.radio_v, 2, 'V')}, load {fixed(moment.load_a, 2, 'A')}"
                f" ({uses_words(moment)}), sun {fixed(moment.irradiance_w_m2, 0, 'W/m²')},"
                f" panel {fixed(moment.panel_w, 0, 'W')}"
            )
    return ". ".join(parts) + "."


def table_text(comparison: Comparison) -> str:
    """Return the curves as lines of tab-separated text, one for every quarter of an hour."""
    names = [station_name(comparison, index) for index in range(len(comparison.runs))]
    heads = [
        f"{name}, {what}"
        for name in names
        for what in ("charge %", "panel W", "panel available W", "load A")
    ]
    rows = []
    for step in range(0, comparison.clock.steps, round(TABLE_STEP_MIN / comparison.step_min)):
        cells: list[object] = [f"{comparison.clock.at(step):%Y-%m-%d %H:%M}"]
        for run in comparison.runs:
            if run is None:
                cells += [None] * 4
                continue
            bus_v = float(run.flow.bus_v[step])
            cells += [
                round(float(run.fraction[step]) * 100.0, 1),
                round(float(run.flow.panel_a[step]) * bus_v, 1),
                round(float(run.flow.panel_able_a[step]) * bus_v, 1),
                round(float(run.flow.load_a[step]), 2),
            ]
        rows.append(cells)
    return csv_text(["time", *heads], rows, parted_by="\t")
