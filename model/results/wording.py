"""Words that everything shares: clocks, causes, uses, activities, parts, moments, letters."""

from __future__ import annotations

from datetime import datetime

from model.editing.field_facts import LETTERS
from model.engine.outcome import Cause, Clock, Use
from model.engine.run import StationRun
from model.scenario.chemistries import CHEMISTRIES
from model.scenario.kinds import USES
from model.scenario.scenario import Scenario
from model.support.figures import amount, day_and_time, told

CAUSE_WORDS: dict[Cause, str] = {
    "empty": "the battery is empty",
    "cutoff": "the battery falls below its cut-off voltage",
    "sag": "the voltage at the radio drops too low",
    "board": "the current is more than the battery's protection lets through",
    "over-volts": "the battery voltage is above the radio's maximum",
}
CAUSE_LABELS: dict[Cause, str] = {
    "empty": "battery empty",
    "cutoff": "cut-off voltage",
    "sag": "voltage too low",
    "board": "battery protection",
    "over-volts": "voltage too high",
}
USE_WORDS: dict[Use, str] = {use.key: use.words for use in USES}
USE_LABELS: dict[Use, str] = {use.key: use.label for use in USES}
CLOCK_WORDS = {
    "full_power": "full power",
    "reduced_power": "reduced power",
    "receive": "receive",
}
# What a field's choice is called, by the word that stands in the file.
CHOICE_WORDS = {
    "watch": "listening watch",
    "voice": "voice (SSB)",
    "morse": "Morse (CW)",
    "fm": "FM",
    "slots": "weak-signal data (15 s slots)",
    "arq": "ARQ data",
    "data": "in data blocks",
    "mppt": "MPPT",
    "pwm": "PWM",
    "open": "outside air",
    "insulated": "insulated",
    "warm": "kept warm",
    "flat": "flat on the ground",
} | {name: each.label for name, each in CHEMISTRIES.items()}
FROM_GUESSES = "From guesses"


def choice_words(value: str) -> str:
    """Return what a choice of a field is called."""
    return CHOICE_WORDS.get(value, value)


def letter(index: int) -> str:
    """Return the letter of a station, counted from 0."""
    return LETTERS[index]


def name_at(scenario: Scenario, index: int) -> str:
    """Return the name of a station on one line, or its letter where it has none."""
    return " ".join(scenario.stations[index].name.split()) or f"Station {letter(index)}"


def heading_at(scenario: Scenario, index: int) -> str:
    """Return what stands over a station's column or part: the key to its letter, ``B: One box``."""
    name = " ".join(scenario.stations[index].name.split())
    if len(scenario.stations) == 1:
        return name or "Station"
    return f"{letter(index)}: {name}" if name else f"Station {letter(index)}"


def called(scenario: Scenario, index: int) -> str:
    """Return what a sentence calls a station: its letter, or the station where there is but one."""
    return letter(index) if len(scenario.stations) > 1 else "the station"


def listed(words: list[str]) -> str:
    """Return words as a list in a sentence: ``A, B and C``."""
    if len(words) < 2:
        return "".join(words)
    return f"{', '.join(words[:-1])} and {words[-1]}"


def capital(words: str) -> str:
    """Return words with a capital letter at their beginning."""
    return words[:1].upper() + words[1:]


def moment(run: StationRun, at: datetime, *, about: bool = False) -> str:
    """Return a moment as local time with its day, such as "Sun 02:40".

    ``about`` rounds to ten minutes and says so.
    """
    at = told(at, about=about)
    prefix = "about " if about else ""
    return f"{prefix}{day_and_time(at, run.clock.days)}"


def end_moment(run: StationRun) -> str:
    """Return when the run is over, such as "Mon 08:00"."""
    return day_and_time(run.clock.at(run.inputs.steps), run.clock.days)


def cause_words(run: StationRun, clock: Clock) -> str:
    """Return what ended a clock, with the limit that was reached where that is one number."""
    assert clock.cause is not None
    words = CAUSE_WORDS[clock.cause]
    if clock.because == "frost":
        lowest_c = amount(run.station.battery.lowest_charge_c, "°C")
        return f"too cold to charge (cells below {lowest_c}), and {words}"
    if clock.cause == "board":
        limit = amount(run.inputs.bounds.discharge_limit_a, "A")
        return f"the battery's protection opens at {limit}"
    return words


def cause_label(clock: Clock) -> str:
    """Return what ended a clock in two or three words; empty where it does not end."""
    if clock.because == "frost":
        return "too cold to charge"
    return CAUSE_LABELS[clock.cause] if clock.cause else ""


def why(run: StationRun, clock: Clock) -> str:
    """Return why a clock ended, with the use that took most since the battery was last full."""
    words = cause_words(run, clock)
    if clock.drain is None or clock.cause in ("over-volts", "board"):
        return words
    return f"{words}; {USE_WORDS[clock.drain]} took most of the charge"


def whole_run(days: int) -> str:
    """Return the length of a run as "the whole day", "both days" or "all 3 days"."""
    return {1: "the whole day", 2: "both days"}.get(days, f"all {days} days")
