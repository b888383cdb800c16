"""The sentences of the verdict: who ends first, when and why, in the order of weight."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from math import inf

from model.engine.clocks import board_limits
from model.engine.comparison import Comparison
from model.engine.outcome import Clock
from model.engine.run import StationRun
from model.engine.step_values import Reduced
from model.results.voltage_drop import chain_at
from model.results.wording import (
    CLOCK_WORDS,
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
from model.station.decibels import S_UNIT_DB, decibels
from model.station.transmit_path import highest_planned_w
from model.support.figures import (
    amount,
    day_and_time,
    entered,
    number,
    percent,
    span,
    told,
)
from model.verdict.order import first_clock, is_guessed, ranking, too_close
from model.verdict.stretches import lasting_return

# Less than this of the charge locked up by cold is not worth a word.
NOTABLE_COLD = 0.03


@dataclass(frozen=True)
class StationLine:
    """One station in a few words, and the same in a sentence."""

    name: str
    short: str
    sentence: str


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
        return f"off the air from {said_moment(run, clock.until)}{_back(run)}: {because}"
    ends = f"{CLOCK_WORDS[name]} until {said_moment(run, clock.until)}"
    lost = f" ({volts_lost(run, clock)})" if clock.cause == "sag" else ""
    return f"{ends}: {cause_words(run, clock)}{lost}; {_goes_on(run)}"


def _back(run: StationRun) -> str:
    """Return when a station that went off the air is back, in a clause."""
    at = lasting_return(run)
    if at is None:
        return ""
    back = told(at, about=is_guessed(run))
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
    until = said_moment(run, receive.until)
    first = first_clock(run)
    # Rounded to the same ten minutes, a second time would seem to take back the first.
    if first and first[1].until and said_moment(run, first[1].until) == until:
        return "off the air soon after"
    return f"receives until {until}"


def station_line(comparison: Comparison, index: int) -> StationLine:
    """Return one station in a few words and in a sentence."""
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


def sentences(comparison: Comparison) -> list[str]:
    """Return the verdict in sentences, in the order of weight."""
    order = ranking(comparison)
    if not order:
        return ["No station can be calculated: see the findings."]
    runs = {index: run for index, run in enumerate(comparison.runs) if run is not None}
    lines = [station_line(comparison, index) for index in range(len(comparison.runs))]
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
