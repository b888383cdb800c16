"""The verdict that needs no rerun: who ends first, when, why, and the table beside it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import timedelta

from model.engine.comparison import Comparison
from model.engine.outcome import USES
from model.engine.run import StationRun
from model.results.provenance import guess_share
from model.results.wording import (
    CLOCK_WORDS,
    FROM_GUESSES,
    USE_LABELS,
    capital,
)
from model.station.carried_mass import carried_total, shared_extras
from model.station.decibels import decibels
from model.station.transmit_path import highest_planned_w
from model.support.figures import (
    day_and_time,
    duration,
    told,
)
from model.support.progress import Search, finish
from model.verdict.order import is_guessed
from model.verdict.sentences import StationLine, sentences, station_line


@dataclass(frozen=True)
class Row:
    """One row of the comparison table.

    ``values`` hold one number for each station, None where there is none; ``unit`` is theirs, and
    "time" rows hold hours: a length, or from the start of the run. ``texts`` are ready words,
    which a view may show as they are; ``key`` names the figure for views that open its sum.
    """

    key: str
    label: str
    unit: str
    values: tuple[float | None, ...]
    texts: tuple[str, ...]
    decimals: int = 1

    @property
    def differences(self) -> tuple[float | None, ...]:
        """How far each other station stands from the first, both as they are shown.

        Whoever takes one number on the page from the other gets the third.
        """
        first, *others = (self._shown(value) for value in self.values)
        return tuple(None if first is None or value is None else value - first for value in others)

    def _shown(self, value: float | None) -> float | None:
        if value is None:
            return None
        return round(value * 60) / 60 if self.unit == "time" else round(value, self.decimals)


@dataclass(frozen=True)
class Verdict:
    """What a comparison says before anything is rerun.

    Attributes
    ----------
    lines : one for each station.
    sentences : in the order of weight; the first names who ends first.
    rows : the comparison table; power comes first.
    """

    lines: tuple[StationLine, ...]
    sentences: tuple[str, ...]
    rows: tuple[Row, ...]


def verdict(comparison: Comparison) -> Verdict:
    """Return the verdict on a comparison; see ``search_verdict``."""
    return finish(search_verdict(comparison))


def search_verdict(comparison: Comparison) -> Search[Verdict]:
    """Look at one station after the other, then say the verdict on all."""
    for index, run in enumerate(comparison.runs):
        yield index / len(comparison.runs)
        if run is not None:
            # What takes longest: the battery alone, over days; the run remembers it.
            _ = run.hours_on_battery
    lines = tuple(station_line(comparison, index) for index in range(len(comparison.runs)))
    return Verdict(lines, tuple(sentences(comparison)), tuple(_rows(comparison)))


def _rows(comparison: Comparison) -> list[Row]:
    scenario, runs = comparison.scenario, comparison.runs
    stations = range(len(runs))
    powers = [highest_planned_w(s, scenario.plan) or None for s in scenario.stations]
    loads = [carried_total(s, shared_extras(scenario, i)) for i, s in enumerate(scenario.stations)]

    def each(read: Callable[[StationRun], float | None]) -> list[float | None]:
        return [None if run is None else read(run) for run in runs]

    rows = [
        _power(powers),
        _relative_power(powers),
        *(_clock_row(comparison, name) for name in CLOCK_WORDS),
        _alone_row(runs),
        _percent("lowest_fraction", "Lowest charge", each(lambda run: run.lowest.value)),
        _percent("end_fraction", "Charge at the end", each(lambda run: run.end_fraction)),
        _number("load_ah", "Drawn in total", "Ah", each(lambda run: run.sums.load_ah), 1),
        *_use_rows(runs),
        _number("panel_wh.used", "Sun used", "Wh", each(lambda run: run.sums.panel_wh.used), 0),
        _number(
            "panel_wh.spilled", "Unused sun", "Wh", each(lambda run: run.sums.panel_wh.spilled), 0
        ),
        _number(
            "transmit_volts.lowest",
            "Lowest voltage, key down",
            "V",
            each(lambda run: run.transmit_volts.lowest),
            2,
        ),
        _number("mass_kg", "Carried", "kg", [loads[i].mass_kg for i in stations], 2),
        _number("boxes", "Items", "", [float(loads[i].boxes) for i in stations], 0),
        _number("cables", "Leads", "", [float(loads[i].cables) for i in stations], 0),
    ]
    if any(one.cost for one in loads):
        rows.append(_number("cost", "Cost", "", [one.cost for one in loads], 2))
    rows.append(
        _percent("guess_share", FROM_GUESSES, [guess_share(run) if run else None for run in runs])
    )
    return [row for row in rows if row is not None]


def _use_rows(runs: tuple[StationRun | None, ...]) -> list[Row]:
    """Return a row for each use that draws anything worth a word."""
    drawn = {
        use: [None if run is None else run.sums.by_use_ah[use] for run in runs] for use in USES
    }
    return [
        _number(f"by_use_ah.{use}", capital(USE_LABELS[use]), "Ah", values, 1)
        for use, values in drawn.items()
        if any(value is not None and value >= 0.05 for value in values)
    ]


def _number(key: str, label: str, unit: str, values: list[float | None], decimals: int) -> Row:
    texts = tuple("–" if value is None else f"{value:.{decimals}f}" for value in values)
    return Row(key, label, unit, tuple(values), texts, decimals)


def _power(powers: list[float | None]) -> Row:
    texts = tuple("–" if power is None else f"{power:g}" for power in powers)
    whole = all(power is None or power == round(power) for power in powers)
    return Row("rf_w", "RF power", "W", tuple(powers), texts, 0 if whole else 1)


def _percent(key: str, label: str, fractions: list[float | None]) -> Row:
    values = [None if value is None else value * 100 for value in fractions]
    return _number(key, label, "%", values, 0)


def _relative_power(powers: list[float | None]) -> Row | None:
    """Return each station's power against the first, in dB; None where all are equal."""
    first = powers[0]
    if first is None or all(power is None or power == first for power in powers):
        return None
    values = [decibels(power, first) if power else None for power in powers]
    return _number("power_db", "Power against A", "dB", values, 1)


def _alone_row(runs: tuple[StationRun | None, ...]) -> Row:
    values = tuple(run.hours_on_battery if run else None for run in runs)
    texts = tuple(
        "–" if run is None else "over 30 days" if hours is None else duration(hours)
        for run, hours in zip(runs, values, strict=True)
    )
    return Row("hours_on_battery", "On battery alone", "time", values, texts)


def _clock_row(comparison: Comparison, name: str) -> Row:
    values: list[float | None] = []
    texts = []
    for run in comparison.runs:
        clock = getattr(run.clocks, name) if run else None
        if run is None:
            values.append(None)
            texts.append("–")
        elif clock is not None and clock.until is not None:
            about = is_guessed(run)
            at = told(clock.until, about=about)
            values.append(clock.hours + (at - clock.until) / timedelta(hours=1))
            texts.append(f"{'≈ ' if about else ''}{day_and_time(at, run.clock.days)}")
        else:
            values.append(None)
            if name != "receive" and not highest_planned_w(run.station, run.plan):
                planned = any(block.sends for block in run.plan)
                texts.append("receives only" if planned else "not planned")
            else:
                texts.append("lasts")
    label = f"{CLOCK_WORDS[name]} until".capitalize()
    return Row(name, label, "time", tuple(values), tuple(texts))
