"""What a field check says, in sentences for window, page and screen reader."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import timedelta
from math import isinf

import numpy as np

from model.engine.run import StationRun
from model.field.bench_sheet import part_at
from model.field.causes import Cause, Explanation
from model.field.field_outlook import EndOutlook
from model.field.log_check import UNITS, Check, FieldCheck, Findings
from model.field.unknowns import paths_of_use
from model.results.wording import capital, end_moment, listed, moment
from model.scenario.kinds import kind_of
from model.scenario.station import FieldReading
from model.station.chemistry import rest_v
from model.support.figures import amount, day_text, duration, entered, in_10, percent, span

QUANTITY_WORDS = {
    "used_ah": "used since full",
    "battery_v": "battery voltage",
    "panel_a": "panel current",
    "load_a": "load current, receiving",
}
EVENT_WORDS = {
    "none": "readings only", "off": "off the air from", "back": "back at", "no change": "no change",
}  # fmt: skip
# What to measure at home to be sure of a cause.
BENCH_WORDS = {
    "battery": "a discharge test, from full to cut-off",
    "start": "its voltage after a full charge and 30\N{NO-BREAK SPACE}min at rest, before leaving",
    "sun": "its current near noon under a clear sky, aimed at the sun, with the battery low",
    "transmit": "key-down current into a dummy load, at two or more powers",
    "receive": "receive current, with the meter in its own lead",
}
OTHER_BENCH_WORDS = "its current alone, with the meter in its own lead"
# Odds that readings move by less than this share of themselves stand as before.
UNMOVED = 0.25


def check_sentence(run: StationRun, check: Check) -> str:
    """Return one reading against the prediction: ``Mon 12:00, used since full: ...``."""
    unit = UNITS[check.quantity]
    return (
        f"{moment(run, check.at)}, {QUANTITY_WORDS[check.quantity]}: measured"
        f" {entered(check.measured, unit)}, predicted {amount(check.expected, unit)}"
        f" ({span(check.low, check.high, unit)}). {verdict(check)}"
    )


def event_sentence(reading: FieldReading) -> str:
    """Return what was seen beside the numbers of a reading; empty where nothing was."""
    words = {
        "off": f"Off the air from {reading.at}.",
        "back": f"Back at {reading.at}.",
        "no change": f"On the air as before at {reading.at}.",
    }
    return words.get(reading.event, "")


def reading_day(run: StationRun, reading: FieldReading) -> str:
    """Return the day of a reading by its date: ``Mon 1 Mar``."""
    return day_text(run.trip.date + timedelta(days=reading.day - 1))


def outside_sentence(run: StationRun, reading: FieldReading) -> str:
    """Return that a reading was taken before the run or after it, and when that is."""
    begin, end = run.clock.start, run.clock.at(run.clock.steps)
    return (
        f"{reading_day(run, reading)} {reading.at} is outside the run, which goes from"
        f" {day_text(begin)} {begin:%H:%M} to {day_text(end)} {end:%H:%M}."
    )


def verdict(check: Check) -> str:
    """Return whether a reading agrees, and where it does not, what it hints at."""
    if not check.credit.believable:
        return "It says nothing about this question."
    if check.agrees:
        return "As predicted, within the uncertainty of the prediction and the meter."
    more = check.measured > check.expected
    if check.quantity == "load_a":
        return "More is drawn than predicted." if more else "Less is drawn than predicted."
    if check.quantity == "panel_a":
        return (
            "More sun than predicted."
            if more
            else "Less sun than predicted, or the panel is badly aimed."
        )
    if (check.quantity == "used_ah") == more:
        return "More charge has been used than predicted: more is drawn, or there was less sun."
    return "Less charge has been used than predicted: less is drawn, or there was more sun."


def cause_words(run: StationRun, cause: Cause) -> str:
    """Return one thing that is off, and how far, inside a sentence."""
    unknown, ends = cause.unknown, (cause.low_factor, cause.high_factor)
    if unknown.group == "battery":
        of = _percents(ends)
        return f"the battery gives about {percent(cause.factor)} of what is entered ({of})"
    if unknown.group == "start":
        held = run.station.start_fraction
        of = _percents([held * end for end in ends])
        return f"it started at about {percent(held * cause.factor)} ({of}), not at {percent(held)}"
    if unknown.group == "sun":
        of = _percents(ends)
        return f"the panel gives about {percent(cause.factor)} of what is entered ({of})"
    more = "more" if cause.factor > 1 else "less"
    by = sorted(abs(end - 1) for end in ends)
    return (
        f"{unknown.words} takes about {percent(abs(cause.factor - 1))} {more} than entered"
        f" ({_percents(by)})"
    )


def _percents(ends: Sequence[float]) -> str:
    low, high = ends
    return span(round(100 * low), round(100 * high), "%")


def explanation_sentence(run: StationRun, explanation: Explanation) -> str:
    """Return one of the rival explanations with its odds."""
    odds = in_10(explanation.share)
    if not explanation.causes:
        return f"All is about as entered: {odds}."
    return f"{capital(listed([cause_words(run, each) for each in explanation.causes]))}: {odds}."


def explanation_sentences(check: FieldCheck) -> tuple[str, ...]:
    """Return the rival explanations of a log, the likeliest first, and what it cannot tell."""
    found, run = check.found, check.predicted
    if found is None:
        return ()
    lines = [explanation_sentence(run, each) for each in found.explanations]
    lines += untold_sentences(run, found)
    named = {each.unknown.key for one in found.explanations[:2] for each in one.causes}
    lines += [
        f"To be sure of it, measure on the bench: {bench_words(run, key)}." for key in sorted(named)
    ]
    return tuple(lines)


def untold_sentences(run: StationRun, found: Findings) -> tuple[str, ...]:
    """Return what these readings cannot tell, the odds it keeps, and the reading that would."""
    lines = []
    if not found.can_tell.capacity:
        cause = found.cause("battery")
        lines.append(
            "These readings cannot tell the battery's capacity: a counter shows what went out, not"
            f" what is left. That it gives less than entered stays at {in_10(cause.prior_share)}."
            f" What would tell: {capacity_reading(run)}."
        )
    if not found.can_tell.start:
        cause = found.cause("start")
        lines.append(
            "These readings cannot tell the charge at the start: that it was lower stays at"
            f" {in_10(cause.prior_share)}. What would tell: the counter once the battery is full"
            " again, or when the station goes off the air."
        )
    sun = next((each for each in found.causes if each.unknown.group == "sun"), None)
    if sun is not None and abs(sun.share - sun.prior_share) < UNMOVED * sun.prior_share:
        lines.append(
            "These readings leave the panel's odds as they were: that it gives other than entered"
            f" stays at {in_10(sun.share)}. What would tell: its current in sun, or the counter"
            " over sunny hours, while the battery is not full."
        )
    return tuple(lines)


def capacity_reading(run: StationRun) -> str:
    """Return the reading that would tell a battery's capacity."""
    battery = run.station.battery
    cell = battery.cell
    at = cell.flat_from_fraction if cell.flat_from_fraction < cell.flat_to_fraction else 0.5
    [volts] = rest_v(battery.chemistry, battery.cells_in_series, np.array([at]))
    return (
        "the time it goes off the air, the Ah it takes from there to full, or its voltage after"
        f" 30\N{NO-BREAK SPACE}min at rest once that is below {amount(float(volts), 'V', 3)}"
    )


def bench_words(run: StationRun, key: str) -> str:
    """Return what to measure at home to be sure of a cause, with the name of the part."""
    station = run.station
    if key in ("battery", "start"):
        path = "battery.name"
    elif key == "sun":
        path = "panel.name"
    else:
        path = next(iter(paths_of_use(key, station)), "radio.name")
    part, _ = part_at(station, path)
    name = " ".join(part.name.split()) or kind_of(part).label.lower()
    return f"{name}, {BENCH_WORDS.get(key, OTHER_BENCH_WORDS)}"


def outlook_sentences(check: FieldCheck) -> tuple[str, ...]:
    """Return what the readings change in the rest of the trip, most important first."""
    run, found = check.predicted, check.found
    if found is None:
        return ("No reading so far tells what is left; the prediction stands.",)
    outlook = found.outlook
    rows = []
    if outlook.back_h is not None:
        rows.append(_back_sentence(run, outlook.back_h))
    rows.append(_end_sentence(run, outlook.receive, again=outlook.is_off))
    planned = run.clocks.receive.until
    if planned is not None and not outlook.is_off:
        rows.append(f"Predicted was {moment(run, planned, about=True)}.")
    if not outlook.is_off and outlook.full_power.cautious_h < outlook.receive.cautious_h:
        at = _moment(run, outlook.full_power.cautious_h)
        rows.append(f"Full power: plan on it until {at}.")
    end, low, high = (
        float(values[-1])
        for values in (outlook.fraction, outlook.low_fraction, outlook.high_fraction)
    )
    rows.append(
        f"Charge at the end: about {percent(end)} ({_percents((low, high))});"
        f" predicted was {percent(run.end_fraction)}."
    )
    return tuple(rows)


def _back_sentence(run: StationRun, back_h: tuple[float, float, float]) -> str:
    _, middle, high = back_h
    if isinf(middle):
        return f"It may not be back before the run ends, {end_moment(run)}."
    latest = "" if isinf(high) else f", at the latest {_moment(run, high)}"
    return f"Back on the air from {_moment(run, middle)}{latest}, in most trips like this."


def _end_sentence(run: StationRun, ends: EndOutlook, *, again: bool) -> str:
    """Return when to plan on being off the air, and what that caution costs."""
    what = "Then on the air again" if again else "On the air"
    if isinf(ends.cautious_h):
        return f"{what} to the end, {end_moment(run)}, in more than 9 in 10 trips like this."
    plan = f"{what}: plan on it until {_moment(run, ends.cautious_h)}, no longer."
    if isinf(ends.middle_h):
        run_h = run.clock.steps * run.clock.step_h
        cost = duration(round((run_h - ends.cautious_h) * 6) / 6)
        lasts = in_10(ends.lasts_share)
        return f"{plan} In {lasts} such trips it lasts to the end; there that gives up {cost}."
    cost = duration(round((ends.middle_h - ends.cautious_h) * 6) / 6)
    return (
        f"{plan} Most likely it lasts until {_moment(run, ends.middle_h)}: of 100 trips like this,"
        f" 2 end before the first; planning by it gives up {cost}."
    )


def _moment(run: StationRun, hours: float) -> str:
    return moment(run, run.clock.at(round(hours / run.clock.step_h)), about=True)
