"""The verdict that needs no rerun: who ends first, when, why, and the table beside it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta
from math import hypot, inf

import numpy as np

from model.engine.clocks import FULL_FRACTION, board_limits
from model.engine.comparison import Comparison, shared_extras
from model.engine.outcome import USES, Clock
from model.engine.run import StationRun
from model.engine.step_values import Reduced
from model.results.provenance import guess_share
from model.results.shared_errors import SUN, ErrorKey, load_errors
from model.results.tie_point import first_end_h
from model.results.voltage_drop import chain_at
from model.results.wording import (
    CLOCK_WORDS,
    FROM_GUESSES,
    USE_LABELS,
    called,
    capital,
    cause_words,
    end_moment,
    listed,
    moment,
    name_at,
    whole_run,
    why,
)
from model.station.carried_mass import load
from model.station.decibels import S_UNIT_DB, decibels
from model.station.transmit_path import highest_planned_w
from model.support.figures import (
    amount,
    day_and_time,
    duration,
    entered,
    number,
    percent,
    span,
    told,
)
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
    one = _errors_h(first, ends[0])
    other = _errors_h(second, min(ends[1], ends[0] + gap_h))
    # What both share moves both ends alike: only the difference of its effects tells.
    return gap_h < hypot(*(one.get(key, 0.0) - other.get(key, 0.0) for key in one | other))


def _left_h(run: StationRun, at_h: float) -> float:
    """Return how long the usable charge at a moment carries the loads of the hours before [h]."""
    # What ends at once leaves no hours before: then the first minute tells the loads.
    step = max(round(at_h / run.clock.step_h) - 1, 0)
    since = _last_full(run, step)
    mean_a = float(run.flow.load_a[since : step + 1].mean())
    return float(run.usable_ah[step]) / mean_a if mean_a > 0 else inf


def _errors_h(run: StationRun, end_h: float) -> dict[ErrorKey, float]:
    """Return how far each error moves an end: loads and sun since the battery was full [h]."""
    step = min(round(end_h / run.clock.step_h), run.inputs.steps) - 1
    since = _last_full(run, step)
    part = slice(since, step + 1)
    drawn_ah = float(run.flow.load_a[part].sum())
    if drawn_ah <= 0:
        return {}
    long_h = (step + 1 - since) * run.clock.step_h
    sun_share = SUN_SPREAD * float(run.flow.panel_a[part].sum()) / drawn_ah
    errors = {key: long_h * share for key, share in load_errors(run).items()}
    return errors | {SUN: long_h * sun_share}


def _last_full(run: StationRun, step: int) -> int:
    full = np.flatnonzero(run.fraction[: step + 1] >= FULL_FRACTION)
    return int(full[-1]) if full.size else 0


def name_of(comparison: Comparison, index: int) -> str:
    """Return the name of a station, or its letter where it has none."""
    return name_at(comparison.scenario, index)


def said_moment(run: StationRun, at: datetime) -> str:
    """Return a moment of a run as every surface says it: about, where most of it is guessed."""
    return moment(run, at, about=is_guessed(run))


def end_words(run: StationRun) -> str:
    """Return the first end of a run in a clause, or that there is none."""
    found = first_clock(run)
    if found is None:
        lowest = f"lowest charge {percent(run.lowest.value)}, {said_moment(run, run.lowest.at)}"
        return f"lasts {whole_run(run.clock.days)}, to {end_moment(run)}; {lowest}"
    name, clock = found
    assert clock.until is not None
    assert clock.cause is not None
    if name == "receive":
        because = f"{why(run, clock)}{_cold_words(run, clock)}"
        return f"off the air from {said_moment(run, clock.until)}{_back(run, clock)}: {because}"
    ends = f"{CLOCK_WORDS[name]} until {said_moment(run, clock.until)}"
    lost = f", {volts_lost(run, clock)}" if clock.cause == "sag" else ""
    return f"{ends}: {cause_words(run, clock)}{lost}; {_goes_on(run)}"


def _back(run: StationRun, clock: Clock) -> str:
    """Return when a station that went off the air first returns, in a clause."""
    if clock.back_at is None:
        return ""
    back = told(clock.back_at, about=is_guessed(run))
    return f", back at {day_and_time(back, run.clock.days)}"


def _cold_words(run: StationRun, clock: Clock) -> str:
    """Return how much of the battery the cold locks up when a clock ends, in a clause."""
    assert clock.hours is not None
    step = min(round(clock.hours / run.clock.step_h), run.inputs.steps - 1)
    locked = float(run.inputs.climate.cold_floor_fraction[step])
    if clock.cause != "empty" or locked < NOTABLE_COLD:
        return ""
    return f"; {percent(locked)} of its capacity is unavailable in the cold"


def volts_lost(run: StationRun, clock: Clock) -> str:
    """Return what leads and battery lose with the key down when a clock ends, in a clause."""
    assert clock.hours is not None
    chain = chain_at(run, round(clock.hours / run.clock.step_h))
    cells_v = sum(link.lost_v for link in chain.links if link.kind == "cells")
    leads_v = sum(
        link.lost_v for link in chain.links if link.kind != "cells" and link.branch != "amplifier"
    )
    leads, cells = amount(leads_v, "V", 2), amount(cells_v, "V", 2)
    return f"with the key down {leads} is lost in the leads and {cells} in the battery"


def _goes_on(run: StationRun) -> str:
    """Return how long receive goes on after the power has ended."""
    receive = run.clocks.receive
    if receive.until is None:
        return f"receives to {end_moment(run)}"
    return f"receives until {said_moment(run, receive.until)}"


def _line(comparison: Comparison, index: int) -> StationLine:
    name, run = name_of(comparison, index), comparison.runs[index]
    who = capital(called(comparison.scenario, index))
    if run is None:
        faults = [f for f in comparison.findings if f.level == "error" and f.withholds]
        text = faults[0].sentence if faults else "an error"
        return StationLine(name, "not calculated", f"{who} is not calculated: {text}")
    found = first_clock(run)
    if found is None:
        short = f"lasts; lowest {percent(run.lowest.value)}"
    else:
        key, clock = found
        assert clock.until is not None
        about = is_guessed(run)
        at = day_and_time(told(clock.until, about=about), run.clock.days)
        at = f"about {at}" if about else at
        short = f"off the air from {at}" if key == "receive" else f"{CLOCK_WORDS[key]} until {at}"
    return StationLine(name, short, f"{who}: {end_words(run)}.")


def _sentences(comparison: Comparison) -> list[str]:
    order = ranking(comparison)
    if not order:
        return ["No station can be calculated: see the findings."]
    runs = {index: run for index, run in enumerate(comparison.runs) if run is not None}
    lines = [_line(comparison, index) for index in range(len(comparison.runs))]
    _, worst = order[0]
    if len(order) == 1:
        lead = lines[worst].sentence
    elif order[0][0] == inf:
        lead = _nobody_ends(comparison, runs)
    elif too_close(runs[worst], runs[order[1][1]]):
        pair = listed([called(comparison.scenario, i) for i in sorted((worst, order[1][1]))])
        lead = (
            f"Too close to call: the ends of {pair} differ by less than their uncertainty."
            f" {lines[worst].sentence}"
        )
    else:
        lead = f"{called(comparison.scenario, worst)} ends first: {end_words(runs[worst])}."
    sentences = [_power_clause(comparison) + lead]
    rest = order if len(order) > 1 and order[0][0] == inf else order[1:]
    sentences += [lines[index].sentence for _, index in rest]
    sentences += [
        f"{capital(called(comparison.scenario, index))} {said}"
        for index, run in runs.items()
        for said in (*_less_power(run), *_reserve(run))
    ]
    withheld = (line for line, run in zip(lines, comparison.runs, strict=True) if run is None)
    return [*sentences, *(line.sentence for line in withheld)]


def _reserve(run: StationRun) -> list[str]:
    at = run.reserve_crossed_at
    if at is None:
        return []
    reserve = percent(run.station.reserve_fraction)
    if at <= run.clock.start:
        return [f"starts below its reserve of {reserve}."]
    return [f"falls below its reserve of {reserve} at {said_moment(run, at)}."]


def _less_power(run: StationRun) -> list[str]:
    """Return the sentences that tell of blocks sent at less than planned, one a limit."""
    trips = board_limits(run.inputs, run.flow)
    said = []
    for is_board in (True, False):
        lowered = [each for each in run.trace.reduced if bool(trips[each.step]) == is_board]
        if lowered:
            said.append((lowered[0].step, _lowered_words(run, lowered, is_board=is_board)))
    return [words for _, words in sorted(said)]


def _lowered_words(run: StationRun, lowered: list[Reduced], *, is_board: bool) -> str:
    sent_w = [each.sqrt_w**2 for each in lowered]
    first = said_moment(run, run.clock.at(lowered[0].step))
    limit = f"the battery's protection opens at {amount(run.inputs.bounds.discharge_limit_a, 'A')}"
    if max(sent_w) <= 0:
        why_not = limit if is_board else "the voltage is too low"
        return f"only receives in its transmit blocks from {first} on: {why_not}."
    watts = span(min(watts for watts in sent_w if watts > 0), max(sent_w), "W", 2)
    reason = (
        f"{watts}, as the operator turns it down; {limit}"
        if is_board
        else f"{watts} while the voltage is low"
    )
    return f"transmits less than planned from {first} on: {reason}."


def _nobody_ends(comparison: Comparison, runs: dict[int, StationRun]) -> str:
    lowest = min(runs, key=lambda index: runs[index].lowest.value)
    if len(runs) < len(comparison.runs):
        who = listed([called(comparison.scenario, index) for index in runs])
    else:
        who = "Both" if len(runs) == 2 else "All"
    run = runs[lowest]
    return (
        f"{who} last {whole_run(run.clock.days)}, to {end_moment(run)};"
        f" {called(comparison.scenario, lowest)} comes lowest, {percent(run.lowest.value)}."
    )


def _power_clause(comparison: Comparison) -> str:
    """Return the sentence that says unequal power first; empty where power is equal."""
    plan = comparison.scenario.plan
    powers = [highest_planned_w(station, plan) for station in comparison.scenario.stations]
    if max(powers) <= min(powers) * 1.0001:
        return ""
    low, high = powers.index(min(powers)), powers.index(max(powers))
    weaker, stronger = (called(comparison.scenario, index) for index in (low, high))
    if powers[low] <= 0:
        return f"{weaker} cannot transmit as planned. "
    gap_db = decibels(powers[high], powers[low])
    return (
        f"{weaker} transmits {entered(powers[low], 'W')}, {stronger} {entered(powers[high], 'W')}:"
        f" {amount(gap_db, 'dB', 2)} or {number(gap_db / S_UNIT_DB, 2)} S-units more. "
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
        _alone_row(runs),
        _percent(
            "lowest_fraction", "Lowest charge", [run.lowest.value if run else None for run in runs]
        ),
        _percent(
            "end_fraction", "Charge at the end", [run.end_fraction if run else None for run in runs]
        ),
        _number(
            "load_ah",
            "Drawn in total",
            "Ah",
            [run.sums.load_ah if run else None for run in runs],
            1,
        ),
        *(
            _number(
                f"by_use_ah.{use}",
                capital(USE_LABELS[use]),
                "Ah",
                [run.sums.by_use_ah[use] if run else None for run in runs],
                1,
            )
            for use in USES
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
            "Lowest voltage, key down",
            "V",
            [run.transmit_volts.lowest if run else None for run in runs],
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
