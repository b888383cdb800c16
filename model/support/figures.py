"""Numbers, durations and times as they stand in a sentence: rounded once, in one place.

Whatever says a number in words takes it from here, so that window, page and command line read the
same. A unit hangs on its number by a no-break space.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from datetime import UTC, date, datetime, timedelta
from math import ceil, floor, isfinite, log10

NBSP = "\N{NO-BREAK SPACE}"
MINUS = "\N{MINUS SIGN}"
USUAL_DIGITS = 3
# What a person typed in is said as typed, up to here.
ENTERED_DIGITS = 6
DAY_NAMES = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
MONTH_NAMES = (
    "Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec",
)  # fmt: skip
# From this length on the name of a day alone could mean two days.
NAMES_SUFFICE_DAYS = 6
# A time that rests on guesses is known no better than this: common practice, no source.
ABOUT_MIN = 10
_UNITS = (
    "Ah|Wh|W/m²|W|A|mA|V|mV|mΩ|Ω|h|min|s|°C|°F|°|kg|g|lb|mm²|m/s|m|km|ft|mi|mph|dB|dBi|MHz|kHz|%"
    "|MB|days|S-units?"
)
_LOOSE_UNIT = re.compile(rf"(?<=\d) (?=(?:{_UNITS})(?![\w/²]))|(?<=\bAWG) (?=\d)")


def number(value: float, digits: int = USUAL_DIGITS) -> str:
    """Return a number with so many significant digits, without idle zeros or exponent."""
    if not isfinite(value):
        return "without end" if value > 0 else f"{MINUS}without end"
    if value == 0:
        return "0"
    decimals = digits - 1 - floor(log10(abs(value)))
    rounded = round(value, decimals)
    text = f"{rounded:.{max(decimals, 0)}f}"
    if "." in text:
        text = text.rstrip("0").rstrip(".")
    return text.replace("-", MINUS)


def amount(value: float, unit: str, digits: int = USUAL_DIGITS) -> str:
    """Return a computed quantity with its unit, such as ``0.84 A``."""
    return with_unit(number(value, digits), unit)


def entered(value: float, unit: str = "") -> str:
    """Return a number that a person typed in, as typed, with its unit."""
    return with_unit(number(value, ENTERED_DIGITS), unit)


def apart(values: Sequence[float], unit: str, digits: int = USUAL_DIGITS) -> tuple[str, ...]:
    """Return quantities that a sentence compares, with digits enough to tell them apart."""
    different = len(set(values))
    while digits < 12:
        texts = [number(value, digits) for value in values]
        if len(set(texts)) == different:
            break
        digits += 1
    return tuple(with_unit(text, unit) for text in texts)


def span(low: float, high: float, unit: str, digits: int = USUAL_DIGITS) -> str:
    """Return a range such as ``3 to 12 A``, or one amount where both ends read the same."""
    first, last = number(low, digits), number(high, digits)
    return with_unit(last if first == last else f"{first} to {last}", unit)


def with_unit(text: str, unit: str) -> str:
    """Hang a unit on a number by a no-break space; degrees of angle follow at once."""
    if not unit:
        return text
    return f"{text}{unit}" if unit == "°" else f"{text}{NBSP}{unit}"


def unbroken(text: str) -> str:
    """Return a sentence whose units cannot part from their numbers at the end of a line."""
    return _LOOSE_UNIT.sub(NBSP, text)


def percent(fraction: float) -> str:
    """Return a fraction as whole per cent, such as "48 %"."""
    return with_unit(f"{round(fraction * 100)}".replace("-", MINUS), "%")


def in_100_trips(share: float) -> str:
    """Return how many of all trial trips, such as "about 96 of 100 trial trips".

    Trial trips are a sample: all or none of them is not said.
    """
    if share > 0.99:
        return "more than 99 of 100 trial trips"
    if share < 0.01:
        return "fewer than 1 of 100 trial trips"
    return f"about {round(share * 100)} of 100 trial trips"


def in_10(share: float) -> str:
    """Return odds as they are said, such as "about 9 in 10"; never none or all of ten.

    Odds come from a sample, and more digits than this are not known of any sky.
    """
    if share > 0.95:
        return "more than 9 in 10"
    if share < 0.05:
        return "fewer than 1 in 10"
    return f"about {min(max(round(share * 10), 1), 9)} in 10"


def short_in_10(share: float) -> str:
    """Return odds as they stand in a table, such as "9 in 10"; never none or all of ten."""
    if share > 0.95:
        return ">9 in 10"
    if share < 0.05:
        return "<1 in 10"
    return f"{min(max(round(share * 10), 1), 9)} in 10"


def span_in_10(low: float, high: float) -> str:
    """Return the bounds of odds in tenths, such as "7 to 9", rounded outwards.

    As with the odds themselves neither none nor all of ten is said.
    """
    least, most = floor(low * 10 + 1e-9), ceil(high * 10 - 1e-9)
    first = str(min(least, 9)) if least >= 1 else "fewer than 1"
    last = str(max(most, 1)) if most <= 9 else "more than 9"
    if least < 1 and most <= 1:
        return "at most 1"
    if least >= 9 and most > 9:
        return "at least 9"
    return first if first == last else f"{first} to {last}"


def short_span_in_10(low: float, high: float) -> str:
    """Return the bounds of odds as they stand in a table, such as "8 to >9"."""
    return span_in_10(low, high).replace("more than ", ">").replace("fewer than ", "<")


def duration(hours: float) -> str:
    """Return hours as "11 h 40 min", to the minute; minutes alone below one hour."""
    minutes = round(abs(hours) * 60)
    whole_h, rest_min = divmod(minutes, 60)
    sign = MINUS if hours < 0 and minutes else ""
    if minutes < 60:
        return f"{sign}{minutes}{NBSP}min"
    tail = f"{NBSP}{rest_min:02d}{NBSP}min" if rest_min else ""
    return f"{sign}{whole_h}{NBSP}h{tail}"


def change(hours: float) -> str:
    """Return a gain or a loss of hours with its sign, such as "+3 h 12 min"."""
    text = duration(hours)
    return text if hours < 0 or text == f"0{NBSP}min" else f"+{text}"


def told(at: datetime, *, about: bool) -> datetime:
    """Return the time that is said of an event: to ten minutes where most of it is guessed.

    Rounded in elapsed time: an hour that the wall clock runs through twice stays the one it is.
    """
    if not about:
        return at
    into = timedelta(minutes=at.minute % ABOUT_MIN, seconds=at.second, microseconds=at.microsecond)
    up = timedelta(minutes=ABOUT_MIN) if into >= timedelta(minutes=ABOUT_MIN / 2) else timedelta()
    if at.tzinfo is None:
        return at - into + up
    return (at.astimezone(UTC) - into + up).astimezone(at.tzinfo)


def day_text(at: date) -> str:
    """Return a day as ``Sat 13 Jun``, whatever the language of the computer."""
    return f"{DAY_NAMES[at.weekday()]} {at.day} {MONTH_NAMES[at.month - 1]}"


def day_and_time(at: datetime, days: int) -> str:
    """Return a time within a run of so many days as ``Sun 06:54``, with the date in a long run.

    In an hour that the wall clock runs through twice, the offset from UTC tells which.
    """
    name = DAY_NAMES[at.weekday()] if days <= NAMES_SUFFICE_DAYS else day_text(at)
    twice = at.replace(fold=0).utcoffset() != at.replace(fold=1).utcoffset()
    return f"{name} {at:%H:%M}" + (f" {offset_text(at)}" if twice else "")


def offset_text(at: datetime) -> str:
    """Return the offset of a time from UTC as ``UTC+2`` or ``UTC-3:30``."""
    offset = at.utcoffset() or timedelta()
    minutes = round(offset.total_seconds() / 60)
    hours, rest = divmod(abs(minutes), 60)
    sign = "+" if minutes >= 0 else MINUS
    return f"UTC{sign}{hours}" + (f":{rest:02d}" if rest else "")
