"""The verdict that needs no rerun: who ends first, when, why, and the table beside it."""

from __future__ import annotations

from dataclasses import dataclass
from math import hypot, inf

import numpy as np

from model.engine.clocks import FULL_FRACTION
from model.engine.comparison import Comparison, shared_extras
from model.engine.outcome import Clock, Use
from model.engine.run import StationRun
from model.results.provenance import guess_share
from model.results.provenance_spread import load_spread_fraction
from model.results.tie_point import first_end_h
from model.results.voltage_drop import chain_at
from model.results.wording import (
    CAUSE_WORDS,
    CLOCK_WORDS,
    date_words,
    moment,
    night_or_day,
    percent,
    why,
)
from model.scenario.kinds import USES
from model.station.carried_mass import load
from model.station.decibels import S_UNIT_DB, decibels
from model.station.transmit_path import highest_planned_w
from model.support.progress import Search, finish

# Where more of the day's Ah than this rests on guesses, moments are "about".
GUESSED_SHARE = 0.5
# Less than this of the charge locked up by cold is not worth a word.
NOTABLE_COLD = 0.03


@dataclass(frozen=True)
class StationLine:
    """One station in a few words, and the same in a sentence."""

    name: str
    short: str
    sentence: str


@dataclass(frozen=True)
class Row:
    """One row of the comparison table.

    ``values`` hold one number for each station, None where there is none; ``unit`` is theirs, and
    "time" rows hold hours since the start. ``texts`` are ready words, which a view may show as
    they are; ``key`` names the figure for views that open its sum.
    """

    key: str
    label: str
    unit: str
    values: tuple[float | None, ...]
    texts: tuple[str, ...]
    decimals: int = 1

    @property
    def differences(self) -> tuple[float | None, ...]:
        """How far each other station stands from the first."""
        first = self.values[0]
        return tuple(
            None if first is None or value is None else value - first for value in self.values[1:]
        )


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
    lines = tuple(_line(comparison, index) for index in range(len(comparison.runs)))
    return Verdict(lines, tuple(_sentences(comparison)), tuple(_rows(comparison)))


def is_guessed(run: StationRun) -> bool:
    """Return whether most of a run's Ah rests on guesses."""
    return guess_share(run) > GUESSED_SHARE


def ranking(comparison: Comparison) -> list[tuple[float, int]]:
    """Return the first end of each station that was run, earliest first [h], with its index."""
    return sorted(
        (first_end_h(run), index) for index, run in enumerate(comparison.runs) if run is not None
    )


def first_clock(run: StationRun) -> tuple[str, Clock] | None:
    """Return the clock that ends first, receive before the powers where they end together."""
    ended = [
        (clock.hours, order, name, clock)
        for order, (name, clock) in enumerate(
            (name, getattr(run.clocks, name)) for name in reversed(CLOCK_WORDS)
        )
        if clock.hours is not None
    ]
    if not ended:
        return None
    _, _, name, clock = min(ended)
    return name, clock


# A day's sun is known to a fifth at best (README, "What the model takes as given").
SUN_SPREAD = 0.2


def too_close(first: StationRun, second: StationRun) -> bool:
    """Return whether the first ends no sooner than the numbers behind both allow to be told.

    Where the second lasts, it ends when what it still holds at that moment would be used up.
    """
    ends = first_end_h(first), first_end_h(second)
    if ends[0] == inf:
        return False
    gap_h = ends[1] - ends[0] if ends[1] < inf else _left_h(second, ends[0])
    if gap_h == inf:
        return False
    return gap_h < hypot(
        _unsure_h(first, ends[0]), _unsure_h(second, min(ends[1], ends[0] + gap_h))
    )


def _left_h(run: StationRun, at_h: float) -> float:
    """Return how long the usable charge at a moment carries the loads of the hours before [h]."""
    # What ends at once leaves no hours before: then the first minute tells the loads.
    step = max(round(at_h / run.clock.step_h) - 1, 0)
    since = _last_full(run, step)
    mean_a = float(run.flow.load_a[since : step + 1].mean())
    return float(run.usable_ah[step]) / mean_a if mean_a > 0 else inf


def _unsure_h(run: StationRun, end_h: float) -> float:
    """Return the half-width of the band of an end: loads and sun since the battery was full [h]."""
    step = min(round(end_h / run.clock.step_h), run.inputs.steps) - 1
    since = _last_full(run, step)
    part = slice(since, step + 1)
    drawn_ah = float(run.flow.load_a[part].sum())
    if drawn_ah <= 0:
        return 0.0
    sun_share = SUN_SPREAD * float(run.flow.panel_a[part].sum()) / drawn_ah
    return (step + 1 - since) * run.clock.step_h * hypot(load_spread_fraction(run), sun_share)


def _last_full(run: StationRun, step: int) -> int:
    full = np.flatnonzero(run.fraction[: step + 1] >= FULL_FRACTION)
    return int(full[-1]) if full.size else 0


def name_of(comparison: Comparison, index: int) -> str:
    """Return the name of a station, or its number where it has none."""
    return comparison.scenario.stations[index].name or f"Station {index + 1}"


def end_words(run: StationRun) -> str:
    """Return the first end of a run in a clause, or that there is none."""
    about = is_guessed(run)
    found = first_clock(run)
    days = run.clock.days
    whole = "the whole day" if days == 1 else f"all {days} days"
    if found is None:
        at = moment(run, run.lowest.at, about=about)
        return f"lasts {whole}; lowest charge {percent(run.lowest.value)} at {at}"
    name, clock = found
    assert clock.until is not None
    assert clock.cause is not None
    ends = f"{CLOCK_WORDS[name]} until {moment(run, clock.until, about=about)}"
    if name == "receive":
        return f"{ends}: {why(clock.cause, clock.drain)}{_cold_words(run, clock)}"
    lost = f", {volts_lost(run, clock)}" if clock.cause == "sag" else ""
    return f"{ends}: {CAUSE_WORDS[clock.cause]}{lost}; {_goes_on(run, about=about)}"


def _cold_words(run: StationRun, clock: Clock) -> str:
    """Return how much of the battery the cold locks up when a clock ends, in a clause."""
    assert clock.hours is not None
    step = min(round(clock.hours / run.clock.step_h), run.inputs.steps - 1)
    locked = float(run.inputs.climate.cold_floor_fraction[step])
    if clock.cause != "empty" or locked < NOTABLE_COLD:
        return ""
    return f"; cold locks up {percent(locked)} of it"


def volts_lost(run: StationRun, clock: Clock) -> str:
    """Return what leads and battery lose with the key down when a clock ends, in a clause."""
    assert clock.hours is not None
    chain = chain_at(run, round(clock.hours / run.clock.step_h))
    cells_v = sum(link.lost_v for link in chain.links if link.kind == "cells")
    leads_v = sum(
        link.lost_v for link in chain.links if link.kind != "cells" and link.branch != "amplifier"
    )
    return f"with the key down the leads lose {leads_v:.1f} V and the battery {cells_v:.1f} V"


def _goes_on(run: StationRun, *, about: bool) -> str:
    """Return how long receive goes on after the power has ended."""
    receive = run.clocks.receive
    if receive.until is None:
        return "receive goes on to the end"
    return f"receive goes on until {moment(run, receive.until, about=about)}"


def _line(comparison: Comparison, index: int) -> StationLine:
    name, run = name_of(comparison, index), comparison.runs[index]
    if run is None:
        faults = [f for f in comparison.findings if f.level == "error" and f.withholds]
        text = faults[0].sentence if faults else "an error"
        return StationLine(name, "not run", f"{name} is not run: {text}")
    found = first_clock(run)
    if found is None:
        short = f"lasts; lowest {percent(run.lowest.value)}"
    else:
        key, clock = found
        assert clock.until is not None
        about = "about " if is_guessed(run) else ""
        where = night_or_day(run, clock.until)
        short = f"{CLOCK_WORDS[key]} until {about}{clock.until:%H:%M}, {where}"
    return StationLine(name, short, f"{name}: {end_words(run)}.")


def _sentences(comparison: Comparison) -> list[str]:
    order = ranking(comparison)
    if not order:
        return ["No station can be run: see the findings."]
    runs = {index: run for index, run in enumerate(comparison.runs) if run is not None}
    sentences = []
    _, worst = order[0]
    clause = _power_clause(comparison)
    if len(order) == 1:
        lead = f"{name_of(comparison, worst)}: {end_words(runs[worst])}."
    elif order[0][0] == inf:
        lead = _nobody_ends(comparison, runs)
    else:
        second = order[1][1]
        if too_close(runs[worst], runs[second]):
            lead = (
                f"Too close to call between {name_of(comparison, worst)} and"
                f" {name_of(comparison, second)}: their ends lie nearer each other than the"
                f" numbers behind them are known. {name_of(comparison, worst)}:"
                f" {end_words(runs[worst])}."
            )
        else:
            lead = f"{name_of(comparison, worst)} ends first: {end_words(runs[worst])}."
    sentences.append(clause + lead)
    for _, index in order if len(order) > 1 and order[0][0] == inf else order[1:]:
        sentences.append(f"{name_of(comparison, index)}: {end_words(runs[index])}.")
    sentences += [
        f"{name_of(comparison, index)} {said}"
        for index, run in runs.items()
        for said in (*_less_power(run), *_reserve(run))
    ]
    sentences += [
        f"{line.sentence}"
        for line, run in zip(
            (_line(comparison, i) for i in range(len(comparison.runs))),
            comparison.runs,
            strict=True,
        )
        if run is None
    ]
    return sentences


def _reserve(run: StationRun) -> list[str]:
    at = run.reserve_crossed_at
    if at is None:
        return []
    if at <= run.clock.start:
        return ["starts below its reserve."]
    return [f"falls below its reserve at {moment(run, at, about=is_guessed(run))}."]


def _less_power(run: StationRun) -> list[str]:
    """Return the sentence that tells of blocks sent at less than planned."""
    if not run.trace.reduced:
        return []
    sent_w = [lowered.sqrt_w**2 for lowered in run.trace.reduced]
    first = moment(run, run.clock.at(run.trace.reduced[0].step), about=is_guessed(run))
    if max(sent_w) <= 0:
        return [f"only listens in its blocks from {first} on: no power holds."]
    least = min(watts for watts in sent_w if watts > 0)
    most = max(sent_w)
    span = f"{least:.2g}" if most / least < 1.05 else f"{least:.2g} to {most:.2g}"
    return [f"sends less than planned from {first} on, {span} W while volts are low."]


def _nobody_ends(comparison: Comparison, runs: dict[int, StationRun]) -> str:
    days = comparison.clock.days
    whole = "the day" if days == 1 else f"the {days} days"
    lowest = min(runs, key=lambda index: runs[index].lowest.value)
    return (
        f"No station ends within {whole}; {name_of(comparison, lowest)} comes lowest,"
        f" {percent(runs[lowest].lowest.value)}."
    )


def _power_clause(comparison: Comparison) -> str:
    """Return the clause that says unequal power first; empty where power is equal."""
    plan = comparison.scenario.plan
    powers = [highest_planned_w(station, plan) for station in comparison.scenario.stations]
    if max(powers) <= min(powers) * 1.0001:
        return ""
    low, high = powers.index(min(powers)), powers.index(max(powers))
    if powers[low] <= 0:
        return f"{name_of(comparison, low)} cannot send what the plan asks for. "
    gap_db = decibels(powers[high], powers[low])
    return (
        f"At {powers[low]:g} W ({name_of(comparison, low)}) against {powers[high]:g} W"
        f" ({name_of(comparison, high)}), {gap_db:.1f} dB or {gap_db / S_UNIT_DB:.1f} S-units: "
    )


def _rows(comparison: Comparison) -> list[Row]:
    scenario, runs = comparison.scenario, comparison.runs
    stations = range(len(runs))
    powers = [highest_planned_w(s, scenario.plan) or None for s in scenario.stations]
    loads = [load(s, shared_extras(scenario, i)) for i, s in enumerate(scenario.stations)]
    rows = [
        _power(powers),
        _relative_power(powers),
        *(_clock_row(comparison, name) for name in CLOCK_WORDS),
        _number(
            "hours_on_battery",
            "Hours on battery alone",
            "h",
            [run.hours_on_battery if run else None for run in runs],
            1,
        ),
        _percent(
            "lowest_fraction", "Lowest charge", [run.lowest.value if run else None for run in runs]
        ),
        _percent(
            "end_fraction", "Charge at the end", [run.end_fraction if run else None for run in runs]
        ),
        _number(
            "load_ah", "Drawn in all", "Ah", [run.sums.load_ah if run else None for run in runs], 1
        ),
        *(
            _number(
                f"by_use_ah.{use}",
                label,
                "Ah",
                [run.sums.by_use_ah[use] if run else None for run in runs],
                1,
            )
            for use, label in USE_ROWS
            if any(run is not None and run.sums.by_use_ah[use] >= 0.05 for run in runs)
        ),
        _number(
            "panel_wh.used",
            "Sun used",
            "Wh",
            [run.sums.panel_wh.used if run else None for run in runs],
            0,
        ),
        _number(
            "panel_wh.spilled",
            "Unused sun",
            "Wh",
            [run.sums.panel_wh.spilled if run else None for run in runs],
            0,
        ),
        _number(
            "transmit_volts.lowest",
            "Lowest volts, key down",
            "V",
            [run.transmit_volts.lowest if run else None for run in runs],
            2,
        ),
        _number("mass_kg", "Carried", "kg", [loads[i].mass_kg for i in stations], 2),
        _number("boxes", "Boxes", "", [float(loads[i].boxes) for i in stations], 0),
        _number("cables", "Cables", "", [float(loads[i].cables) for i in stations], 0),
    ]
    if any(one.cost for one in loads):
        rows.append(_number("cost", "Cost", "", [one.cost for one in loads], 2))
    rows.append(
        _percent(
            "guess_share", "Rests on guesses", [guess_share(run) if run else None for run in runs]
        )
    )
    return [row for row in rows if row is not None]


USE_ROWS: tuple[tuple[Use, str], ...] = tuple((use.key, use.label) for use in USES)


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
    return _number("power_db", "against the first", "dB", values, 1)


def _clock_row(comparison: Comparison, name: str) -> Row:
    values: list[float | None] = []
    texts = []
    for run in comparison.runs:
        clock = getattr(run.clocks, name) if run else None
        values.append(clock.hours if clock else None)
        if run is None:
            texts.append("–")
        elif clock is not None and clock.until is not None:
            texts.append(f"{date_words(run, clock.until)} {clock.until:%H:%M}")
        elif name != "receive" and not highest_planned_w(run.station, run.plan):
            planned = any(block.sends for block in run.plan)
            texts.append("cannot send" if planned else "not planned")
        else:
            texts.append("lasts")
    label = f"{CLOCK_WORDS[name]} until".capitalize()
    return Row(name, label, "time", tuple(values), tuple(texts))
