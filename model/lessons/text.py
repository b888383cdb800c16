"""Texts of a lesson with their numbers filled in; the result is plain text."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from datetime import datetime

from model.editing.field_facts import is_index
from model.lessons.formula import FormulaError, Known
from model.results.wording import CAUSE_WORDS, USE_WORDS
from model.support.figures import MINUS, unbroken, with_unit

_PLACEHOLDER = re.compile(r"\{([^{}|]+)(?:\|([^{}|]*))?(?:\|([^{}|]*))?\}")
MOST_DECIMALS = 4
# What is said where a run has no such moment, by how the name ends; otherwise never.
_NOTHING = {"until": "the end", "hours": "lasts"}

# The unit of a name by how it ends, and the decimals usual for it.
_ENDINGS = (
    ("_ah", "Ah"), ("_wh", "Wh"), ("_kg", "kg"), ("_db", "dB"), ("_mohm", "mΩ"), ("_w", "W"),
    ("_v", "V"), ("_a", "A"), ("_c", "°C"), ("_h", "h"), ("_m", "m"), ("_mm2", "mm²"),
    ("_deg", "°"), ("_s", "s"), ("_mhz", "MHz"), ("_m2", "W/m²"),
    ("fraction", "%"), ("share", "%"), ("losses", "%"), ("efficiency", "%"), ("hours", "h"),
    ("hours_on_battery", "h"), ("s_units", "S-units"),
)  # fmt: skip
_GROUPS = {
    "by_use_ah": "Ah", "share": "%", "panel_wh": "Wh", "losses_wh": "Wh", "transmit_volts": "V",
    "planned_hours": "h", "lead_drop_v": "V", "lead_mohm": "mΩ", "lowest_fraction": "%",
}  # fmt: skip
_DECIMALS = {
    "Ah": 1, "Wh": 0, "kg": 1, "dB": 1, "mΩ": 1, "W": 0, "V": 2, "A": 2, "°C": 0, "h": 1, "m": 1,
    "mm²": 1, "%": 0, "°": 0, "s": 0, "S-units": 1, "W/m²": 0, "MHz": 3, "sun hours": 1, "mAh": 0,
}  # fmt: skip


def filled(text: str, value: Callable[[str], Known], when: Callable[[datetime], str]) -> str:
    """Return a text with each {formula|unit|decimals} worked out.

    Parameters
    ----------
    value : gives the value of a formula.
    when : puts a moment into words.

    Raises
    ------
    FormulaError
        When one has no value that can be written so.
    """

    def fill(found: re.Match[str]) -> str:
        unit, decimals = found[2], found[3]
        return worded(value(found[1]), found[1], when, unit, _whole(decimals))

    filled_in = _PLACEHOLDER.sub(fill, text)
    if "{" in filled_in or "}" in filled_in:
        raise FormulaError("a number in text is written {formula} or {formula|unit|decimals}")
    return unbroken(filled_in)


def formulas_in(text: str) -> Iterator[str]:
    """Yield the formula of each place to be filled."""
    for found in _PLACEHOLDER.finditer(text):
        yield found[1]


def typed_in(text: str) -> str:
    """Return what the author of a text typed, without the numbers that are filled in.

    Two kinds of these count as typed, a 1 in their unit: what stands in a line with "=", which has
    to come out from the digits shown, and a sum in degrees, which may be a difference.
    """
    return unbroken("\n".join(map(_typed_in_line, text.splitlines())))


def _typed_in_line(line: str) -> str:
    def left(found: re.Match[str]) -> str:
        by_name = unit_of(found[1])
        unit = by_name if found[2] is None else found[2].strip()
        is_difference = unit == "°C" and not by_name
        return f"1 {unit}" if "=" in line or is_difference else ""

    return _PLACEHOLDER.sub(left, line)


def worded(
    value: Known,
    formula: str,
    when: Callable[[datetime], str],
    unit: str | None = None,
    decimals: int | None = None,
) -> str:
    """Return a value in words: a moment, a cause or use, a number with its unit, or never."""
    if value is None:
        return _NOTHING.get(formula.strip().rpartition(".")[2], "never")
    if isinstance(value, datetime):
        return when(value)
    if isinstance(value, str):
        return _plain_words(value)
    used = unit_of(formula) if unit is None else unit.strip()
    return number_words(value, used, decimals)


def number_words(value: float, unit: str, decimals: int | None = None) -> str:
    """Return a number with its unit; a share becomes per cent."""
    shown = value * 100 if unit == "%" else value
    places = _DECIMALS.get(unit, 1) if decimals is None else decimals
    number = f"{shown:.{places}f}"
    if float(number) == 0:
        number = number.lstrip("-")
    number = number.replace("-", MINUS)
    return with_unit(number, unit)


def unit_of(formula: str) -> str:
    """Return the unit of a single name, by how it ends; a sum has none of its own."""
    name = formula.strip()
    if not re.fullmatch(r"[\w.:+]+", name):
        return ""
    parts = name.split(".")
    if parts[-1] == "sun_hours":
        return "sun hours"
    if len(parts) > 1 and parts[-2] in _GROUPS:
        return _GROUPS[parts[-2]]
    if is_index(parts[-1]) and len(parts) > 1:
        # One number of a list, such as the low of a day.
        parts.pop()
    for ending, unit in _ENDINGS:
        if parts[-1].endswith(ending):
            return unit
    return ""


def _plain_words(value: str) -> str:
    causes: dict[str, str] = {str(key): words for key, words in CAUSE_WORDS.items()}
    uses: dict[str, str] = {str(key): words for key, words in USE_WORDS.items()}
    return causes.get(value) or uses.get(value) or value


def _whole(text: str | None) -> int | None:
    if text is None:
        return None
    if not is_index(text.strip()) or int(text) > MOST_DECIMALS:
        raise FormulaError(f'"{text.strip()[:20]}" is no number of decimals from 0 to 4')
    return int(text)
