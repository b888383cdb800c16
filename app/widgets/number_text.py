"""Numbers to text and back, in the units shown; the only place where display units convert.

Inside the program a quantity has one unit, the one its name ends in. Here it becomes what a person
reads: per cent, milliohms, and in US units pounds, degrees Fahrenheit, feet, miles and AWG.
"""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import ROUND_CEILING, Decimal
from itertools import pairwise

from model.editing.field_facts import FieldFacts
from model.editing.units import (
    KG_PER_LB,
    KM_PER_MI,
    M_PER_FT,
    M_S_PER_MPH,
    Entry,
    EntryError,
    read_entry,
)
from model.support.figures import ENTERED_DIGITS, NBSP, number, with_unit

# Of a stretch of shade the only number is the share of the light that is left.
_AS_PERCENT = ("fraction", "share", "efficiency", "losses", "spread", "shade")
_NUMBER = re.compile(r"([+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?)\s*(.*)", re.DOTALL)
_GAUGE = re.compile(r"(?:awg|ga|gauge)\.?\s*\d|\d+\s*(?:awg|ga|gauge)", re.IGNORECASE)
_THOUSANDS = re.compile(r"[+-]?[1-9]\d{0,2}(,\d{3})+")
MINUS = "−"
# Figures drop idle zeros: "2 m" may be 2.0 m as well.
LEAST_DIGITS = 2
# Digits tried to tell quantities apart.
MORE_DIGITS = 6
_ONE = rf"(?<![\w.,:])[+{MINUS}-]?\d+(?:\.\d+)?"
_NUMBER_SAID = re.compile(_ONE)
# A number, or the two of a range, before the unit that hangs on the last of them.
_NUMBERS_SAID = rf"(?P<numbers>(?:{_ONE}(?: to |–)|(?<=between ){_ONE} and )?{_ONE}){NBSP}"


class NumberTextError(ValueError):
    """Text that cannot be read as the number asked for; says in one sentence what would be."""


@dataclass(frozen=True)
class Shown:
    """How a quantity is shown: ``shown = value * factor + offset``, with unit and decimals."""

    unit: str
    factor: float = 1.0
    offset: float = 0.0
    decimals: int = 2

    @property
    def is_exact(self) -> bool:
        """Whether what is shown has the digits of the value, moved at most."""
        return self.factor in (1.0, 100.0, 1000.0) and not self.offset

    def of(self, value: float) -> float:
        """Return the number a person reads."""
        return value * self.factor + self.offset

    def back(self, shown: float) -> float:
        """Return the value of what a person wrote."""
        if self.is_exact:
            return shown / self.factor
        return (shown - self.offset) / self.factor


_US = {
    "kg": ("lb", 1 / KG_PER_LB, 0.0),
    "m": ("ft", 1 / M_PER_FT, 0.0),
    "km": ("mi", 1 / KM_PER_MI, 0.0),
    "m/s": ("mph", 1 / M_S_PER_MPH, 0.0),
    "°C": ("°F", 1.8, 32.0),
}


def shown_as(facts: FieldFacts, *, us: bool) -> Shown:
    """Return how the field described is shown."""
    name = next((part for part in reversed(facts.path.split(".")) if not part.isdigit()), "")
    if not facts.unit and name.rsplit("_", 1)[-1] in _AS_PERCENT:
        return Shown("%", 100.0, 0.0, max(facts.decimals - 2, 0))
    if facts.unit == "1/°C":
        return Shown("%/°C", 100.0, 0.0, max(facts.decimals - 2, 0))
    if facts.unit == "ohm":
        return Shown("mΩ", 1000.0, 0.0, max(facts.decimals - 3, 0))
    return shown_unit(facts.unit, facts.decimals, us=us)


def shown_unit(unit: str, decimals: int, *, us: bool) -> Shown:
    """Return how a number in one of the program's units is shown."""
    if us and unit in _US:
        name, factor, offset = _US[unit]
        return Shown(name, factor, offset, decimals)
    return Shown(unit, decimals=decimals)


@dataclass(frozen=True)
class _Said:
    """Quantities of one unit as they stand in a sentence, and how they are shown."""

    pattern: re.Pattern[str]
    shown: Shown


def _said(unit: str, us_unit: str, factor: float, offset: float, tail: str = "") -> _Said:
    pattern = re.compile(rf"{_NUMBERS_SAID}{unit}(?![\w/²³]){tail}")
    return _Said(pattern, Shown(us_unit, factor, offset))


# What is so much colder or warmer is a difference; a wire has its rating in °C printed on it.
_SAID_IN_US = (
    _said("°C", "°F", 1.8, 0.0, r"(?= (?:colder|warmer)\b)"),
    _said("°C", *_US["°C"], r"(?! insulation)"),
    *(_said(unit, *_US[unit]) for unit in ("kg", "m", "km", "m/s")),
)


def sentence_text(sentence: str, *, us: bool) -> str:
    """Return a sentence of the model with its quantities in the units shown.

    Only numbers count on which a unit hangs by a no-break space: names that people gave, and
    wavelengths of bands, have plain ones. A number keeps its significant digits and temperatures
    their decimals, at most one; where the sentence compares quantities, more tell them apart.
    """
    if us:
        for said in _SAID_IN_US:
            sentence = _shown_in(sentence, said)
    return sentence


def _shown_in(sentence: str, said: _Said) -> str:
    held = [found["numbers"] for found in said.pattern.finditer(sentence)]
    numbers = [each for text in held for each in _NUMBER_SAID.findall(text)]
    texts = dict(zip(numbers, _as_precise(numbers, said.shown), strict=True))

    def shown(found: re.Match[str]) -> str:
        told = _NUMBER_SAID.sub(lambda each: texts[each[0]], found["numbers"])
        return with_unit(told, said.shown.unit)

    return said.pattern.sub(shown, sentence)


def entered_texts(values: Sequence[float], shown: Shown) -> tuple[str, ...]:
    """Return quantities that people entered as they are shown beside each other, without units.

    In the unit of the field they stand in full; turned into another one they have no more digits
    than were entered, but as many as tell them apart.
    """
    if shown.is_exact:
        return tuple(plain(shown.of(value), shown.decimals, exact=True) for value in values)
    return _as_precise([number(value, ENTERED_DIGITS) for value in values], shown)


def entered_quantity(value: float, unit: str, decimals: int, *, us: bool = False) -> str:
    """Return a quantity that people entered with its unit, with so many decimals at most."""
    shown = shown_unit(unit, decimals, us=us)
    texts = (plain(shown.of(value), decimals), *entered_texts((value,), shown))
    return with_unit(min(texts, key=len), shown.unit)


def _as_precise(numbers: Sequence[str], shown: Shown) -> tuple[str, ...]:
    """Return numbers as they are shown, each as precise as it was; what is greater stays so."""
    texts: tuple[str, ...] = ()
    for more in range(MORE_DIGITS):
        texts = tuple(_one_as_precise(each, numbers, shown, more) for each in numbers)
        if _in_order(
            sorted({(_value(one), _value(two)) for one, two in zip(numbers, texts, strict=True)})
        ):
            break
    return texts


def _one_as_precise(text: str, beside: Sequence[str], shown: Shown, more: int) -> str:
    if shown.offset or shown.unit == "°F":
        decimals = min(max(len(each.partition(".")[2]) for each in beside), 1)
        said = plain(shown.of(_value(text)), decimals + more)
    else:
        digits = len(re.sub(r"\D", "", text).lstrip("0"))
        said = number(shown.of(_value(text)), max(digits, LEAST_DIGITS) + more)
    return f"+{said}" if text.startswith("+") else said


def _value(text: str) -> float:
    return float(text.replace(MINUS, "-"))


def _in_order(pairs: Sequence[tuple[float, float]]) -> bool:
    """Whether of different numbers, given in their order, what is shown stands in it too."""
    return all(one[1] < other[1] for one, other in pairwise(pairs))


def number_text(value: float | None, facts: FieldFacts, *, us: bool) -> str:
    """Return a field's number as it stands in an editor, without its unit; empty for none."""
    if value is None:
        return ""
    shown = shown_as(facts, us=us)
    return plain(shown.of(float(value)), shown.decimals, exact=shown.is_exact)


def quantity(value: float, unit: str, decimals: int, *, us: bool = False) -> str:
    """Return a number with its unit as read in a line of text: ``5.2 kg``."""
    shown = shown_unit(unit, decimals, us=us)
    return with_unit(plain(shown.of(value), shown.decimals), shown.unit)


def fixed(value: float, decimals: int, unit: str = "") -> str:
    """Return a number with all its decimals, for columns; with its unit where one is named."""
    text = f"{value:.{decimals}f}"
    return with_unit(text.lstrip("-") if float(text) == 0 else text.replace("-", MINUS), unit)


def rounded_up(value: float, decimals: int) -> str:
    """Return a number with all its decimals, never less than it is: for distances to keep."""
    # The digits that name the number, not its binary fraction: 3.2 stays 3.2.
    exact = Decimal(repr(float(value)))
    return f"{exact.quantize(Decimal(1).scaleb(-decimals), ROUND_CEILING):f}"


def plain(value: float, decimals: int, *, exact: bool = False) -> str:
    """Return a number without idle zeros; ``exact`` shows digits beyond the usual decimals."""
    text = f"{value:.{decimals}f}"
    if exact and not math.isclose(float(text), value, rel_tol=1e-9, abs_tol=1e-12):
        text = f"{value:.8f}" if abs(value) < 1e6 else f"{value:.8g}"
    if "." in text and "e" not in text:
        text = text.rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text.replace("-", MINUS)


def read_number(
    text: str, facts: FieldFacts, *, us: bool, supply_v: float | None = None
) -> float | None:
    """Return the value that text means for a field, None where it is empty and may be.

    A decimal comma is as good as a point; a unit may follow the number: the one shown, or any
    that people have in hand. ``supply_v`` turns watts into amperes where no volts are named.

    Raises
    ------
    NumberTextError
        Says what would be right, in the units shown.
    """
    shown = shown_as(facts, us=us)
    given = text.strip()
    if not given:
        if facts.optional:
            return None
        raise NumberTextError(f"A number is needed here{_in(shown.unit)}.")
    entry = _entry_of(given, facts, shown, supply_v)
    value = entry.value if entry else shown.back(_number_of(given, shown.unit))
    _refuse_out_of_bounds(value, given, facts, shown)
    if facts.kind == "whole":
        if value != int(value):
            raise NumberTextError(f"Must be a whole number, got {given}.")
        return int(value)
    return value


def understood(text: str, facts: FieldFacts, *, us: bool, supply_v: float | None = None) -> str:
    """Return what was understood of text in another unit than the one shown; else nothing."""
    try:
        entry = _entry_of(text.strip(), facts, shown_as(facts, us=us), supply_v)
    except NumberTextError:
        return ""
    return entry.sentence if entry else ""


def _entry_of(given: str, facts: FieldFacts, shown: Shown, supply_v: float | None) -> Entry | None:
    """Return what a number in another unit than the one shown means; None where it is in that."""
    found = _NUMBER.match(_joined(given).replace(",", ".", 1))
    unit = found[2].strip() if found else ""
    is_gauge = facts.unit == "mm²" and _GAUGE.match(given)
    if facts.kind != "number" or not (is_gauge or (unit and unit[0] not in ".,0123456789")):
        return None
    if unit.casefold() == shown.unit.casefold():
        return None
    try:
        return read_entry(given, facts.unit, supply_v=supply_v)
    except EntryError as error:
        raise NumberTextError(str(error)) from None


def _joined(given: str) -> str:
    """Return a number without blanks between its thousands, and with a plain minus."""
    text = given.replace(MINUS, "-").replace("\N{NO-BREAK SPACE}", "").replace(" ", " ")
    return re.sub(r"(?<=\d) (?=\d{3}(\D|$))", "", text)


def _number_of(given: str, unit: str) -> float:
    text = _joined(given)
    if _THOUSANDS.fullmatch(text.split(" ")[0]) and "." not in text:
        plain_text = text.replace(",", "")
        raise NumberTextError(f"{given} can be read two ways: write {plain_text} or use a point.")
    found = _NUMBER.fullmatch(text.replace(",", ".", 1) if "." not in text else text)
    if not found or found[2].strip().casefold() not in ("", unit.casefold()):
        raise NumberTextError(f'"{given[:24]}" is not a number{_in(unit)}.')
    number = float(found[1])
    if not math.isfinite(number):
        raise NumberTextError("The number is too large.")
    return number


def _refuse_out_of_bounds(value: float, given: str, facts: FieldFacts, shown: Shown) -> None:
    low, high = facts.low, facts.high
    if isinstance(low, int | float) and (value < low or (facts.low_open and value == low)):
        words = "more than" if facts.low_open else "at least"
        raise NumberTextError(f"Must be {words} {_bound(low, shown)}, got {given}.")
    if isinstance(high, int | float) and (value > high or (facts.high_open and value == high)):
        words = "less than" if facts.high_open else "at most"
        raise NumberTextError(f"Must be {words} {_bound(high, shown)}, got {given}.")


def _bound(value: float, shown: Shown) -> str:
    number = plain(shown.of(value), max(shown.decimals, 1))
    return with_unit(number, shown.unit)


def _in(unit: str) -> str:
    return f" in {unit}" if unit else ""


def step_of(shown_value: float) -> float:
    """Return by how much one press of an arrow key changes a number that stands in an editor."""
    if shown_value == 0:
        return 1.0
    return float(10.0 ** (math.floor(math.log10(abs(shown_value)) + 1e-9) - 1))


def awg_of(size_mm2: float) -> float:
    """Return the American wire gauge of a conductor: 36 at 0.005 inch, 39 steps to 0.46 inch."""
    diameter_mm = 2 * math.sqrt(size_mm2 / math.pi)
    return 36 - 39 * math.log(diameter_mm / 0.127, 92)
