"""What a field check says, in sentences for window and screen reader."""

from __future__ import annotations

from model.engine.outcome import Clock
from model.engine.run import StationRun
from model.field.field_check import UNITS, Check, FieldCheck
from model.results.wording import CLOCK_WORDS, moment

QUANTITY_WORDS = {
    "used_ah": "used since full",
    "battery_v": "battery volts",
    "panel_a": "panel current",
}
_TOLD_SHARE = 0.005


def check_sentence(run: StationRun, check: Check) -> str:
    """Return one reading against the prediction: ``12:00 on day 1 (Mon), used since full: ...``."""
    unit = UNITS[check.quantity]
    return (
        f"{moment(run, check.at)}, {QUANTITY_WORDS[check.quantity]}: read {check.measured:.3g}"
        f" {unit}, predicted {check.expected:.3g} {unit} ({check.low:.3g} to {check.high:.3g})."
        f" {verdict(check)}"
    )


def verdict(check: Check) -> str:
    """Return whether a reading agrees, and where it does not, what it hints at."""
    if not check.credit.believable:
        return "Not to be believed for this question."
    if check.agrees:
        return "As predicted, within what was known and what the meter can tell."
    more = check.measured > check.expected
    if check.quantity == "panel_a":
        return "More sun than predicted." if more else "Less sun than predicted, or a poor aim."
    if (check.quantity == "used_ah") == more:
        return "More has gone than predicted: more is drawn, or less sun came in."
    return "Less has gone than predicted: less is drawn, or more sun came in."


def outlook_sentences(check: FieldCheck) -> tuple[str, ...]:
    """Return what the readings change in the rest of the trip, most important first."""
    before, after = check.predicted, check.outlook
    if not any(each.credit.believable for each in check.checks):
        return ("Nothing read so far can be believed for what is left; the prediction stands.",)
    rows = [
        line
        for name in ("full_power", "receive")
        if (line := _clock_sentence(before, after, name)) is not None
    ]
    rows.append(
        f"At the end {_percent(after.end_fraction)} of the charge instead of"
        f" {_percent(before.end_fraction)}."
        if abs(after.end_fraction - before.end_fraction) >= _TOLD_SHARE
        else f"At the end {_percent(after.end_fraction)} of the charge, as predicted."
    )
    crossed, planned = after.reserve_crossed_at, before.reserve_crossed_at
    if crossed is not None:
        instead = f", not {moment(before, planned, about=True)}" if planned else ""
        rows.append(f"The reserve is reached {moment(after, crossed, about=True)}{instead}.")
    elif planned is not None:
        rows.append("The reserve is not reached any more.")
    return tuple(rows)


def _clock_sentence(before: StationRun, after: StationRun, name: str) -> str | None:
    planned: Clock = getattr(before.clocks, name)
    found: Clock = getattr(after.clocks, name)
    what = CLOCK_WORDS[name].capitalize()
    if found.until is None:
        return f"{what} now lasts to the end of the run." if planned.until else None
    words = f"{what} until {moment(after, found.until, about=True)}"
    if planned.until is None:
        return f"{words}; it was to last to the end."
    return f"{words}, not {moment(before, planned.until, about=True)}."


def _percent(fraction: float) -> str:
    return f"{fraction * 100:.0f} %"
