"""What a field check says, in sentences for window and screen reader."""

from __future__ import annotations

from datetime import timedelta

from model.engine.outcome import Clock
from model.engine.run import StationRun
from model.field.field_check import UNITS, Check, FieldCheck
from model.results.wording import CLOCK_WORDS, capital, moment
from model.scenario.station import FieldReading
from model.support.figures import amount, day_text, entered, percent, span

QUANTITY_WORDS = {
    "used_ah": "used since full",
    "battery_v": "battery voltage",
    "panel_a": "panel current",
}
_TOLD_SHARE = 0.005


def check_sentence(run: StationRun, check: Check) -> str:
    """Return one reading against the prediction: ``Mon 12:00, used since full: ...``."""
    unit = UNITS[check.quantity]
    return (
        f"{moment(run, check.at)}, {QUANTITY_WORDS[check.quantity]}: measured"
        f" {entered(check.measured, unit)}, predicted {amount(check.expected, unit)}"
        f" ({span(check.low, check.high, unit)}). {verdict(check)}"
    )


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
    if check.quantity == "panel_a":
        return (
            "More sun than predicted."
            if more
            else "Less sun than predicted, or the panel is badly aimed."
        )
    if (check.quantity == "used_ah") == more:
        return "More charge has been used than predicted: more is drawn, or there was less sun."
    return "Less charge has been used than predicted: less is drawn, or there was more sun."


def outlook_sentences(check: FieldCheck) -> tuple[str, ...]:
    """Return what the readings change in the rest of the trip, most important first."""
    before, after = check.predicted, check.outlook
    if not any(each.credit.believable for each in check.checks):
        return ("No reading so far tells what is left; the prediction stands.",)
    rows = [
        line
        for name in ("full_power", "receive")
        if (line := _clock_sentence(before, after, name)) is not None
    ]
    rows.append(
        f"Charge at the end: {percent(after.end_fraction)} instead of"
        f" {percent(before.end_fraction)}."
        if abs(after.end_fraction - before.end_fraction) >= _TOLD_SHARE
        else f"Charge at the end: {percent(after.end_fraction)}, as predicted."
    )
    crossed, planned = after.reserve_crossed_at, before.reserve_crossed_at
    if crossed is not None:
        instead = f", not {moment(before, planned, about=True)}" if planned else ""
        rows.append(
            f"The charge falls below the reserve at {moment(after, crossed, about=True)}{instead}."
        )
    elif planned is not None:
        rows.append("The charge no longer falls to the reserve.")
    return tuple(rows)


def _clock_sentence(before: StationRun, after: StationRun, name: str) -> str | None:
    planned: Clock = getattr(before.clocks, name)
    found: Clock = getattr(after.clocks, name)
    what = capital(CLOCK_WORDS[name])
    if found.until is None:
        return f"{what} now lasts to the end." if planned.until else None
    words = f"{what} until {moment(after, found.until, about=True)}"
    if planned.until is None:
        return f"{words}; predicted was to the end."
    return f"{words}, not {moment(before, planned.until, about=True)}."
