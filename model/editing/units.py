"""What people have in hand, read as a field's unit: ``850 mA``, ``11 W at 12.8 V``, ``AWG 12``.

Factors are exact by definition: international pound, foot and mile (1959), UK and US customary
ounce as 1/16 pound. The sentence beside the value says what was understood, so that a slip is seen.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass

from model.station.conductors import awg_mm2

# The unit stands beside it.
InUnit = float

KG_PER_LB = 0.45359237
M_PER_FT = 0.3048
KM_PER_MI = 1.609344
M_S_PER_MPH = 0.44704

# For each dimension, in the program's unit: the units a person may type, and their size.
_SIZES: dict[str, dict[str, float]] = {
    "A": {"A": 1, "mA": 1e-3, "uA": 1e-6, "amp": 1, "amps": 1},
    "Ah": {"Ah": 1, "mAh": 1e-3},
    "W": {"W": 1, "mW": 1e-3, "kW": 1e3, "watt": 1, "watts": 1},
    "Wh": {"Wh": 1, "kWh": 1e3, "mWh": 1e-3},
    "V": {"V": 1, "mV": 1e-3, "volt": 1, "volts": 1},
    "ohm": {"ohm": 1, "Ω": 1, "mohm": 1e-3, "mΩ": 1e-3, "milliohm": 1e-3},
    "kg": {"kg": 1, "g": 1e-3, "lb": KG_PER_LB, "lbs": KG_PER_LB, "oz": KG_PER_LB / 16},
    "m": {"m": 1, "cm": 1e-2, "mm": 1e-3, "ft": M_PER_FT, "'": M_PER_FT, "in": M_PER_FT / 12,
          '"': M_PER_FT / 12},
    "km": {"km": 1, "mi": KM_PER_MI, "mile": KM_PER_MI, "miles": KM_PER_MI},
    "mm²": {"mm²": 1, "mm2": 1, "sqmm": 1},
    "h": {"h": 1, "min": 1 / 60, "s": 1 / 3600},
    "MHz": {"MHz": 1, "kHz": 1e-3, "GHz": 1e3},
    "m/s": {"m/s": 1, "km/h": 1 / 3.6, "mph": M_S_PER_MPH, "kn": 1852 / 3600},
    "°": {"°": 1, "deg": 1},
    "": {"%": 0.01},
}  # fmt: skip
# Fields in a unit that is another one's multiple.
_SCALED = {"mΩ": ("ohm", 1000.0), "s": ("h", 3600.0)}
_TEMPERATURES = {"°C": (1.0, 0.0), "C": (1.0, 0.0), "°F": (5 / 9, 32.0), "F": (5 / 9, 32.0)}
_DIMENSION_OF = {name: dimension for dimension, names in _SIZES.items() for name in names}
# A person may well write "ah" or "KG".
_FOLDED = {
    name.casefold(): name for name in sorted(_DIMENSION_OF, key=lambda name: name in ("mW", "mWh"))
}

_NUMBER = r"[+-]?(?:\d[\d ,.]*|[.,]\d+)(?:[eE][+-]?\d+)?"
_PIECE = re.compile(rf"({_NUMBER})\s*([^\d\s+.,-][^\s\d]*(?<!,)[²2]?)?\s*")
_THOUSANDS = re.compile(r"[+-]?[1-9]\d{0,2},\d{3}")
_AT = re.compile(r"\s+at\s+|\s*@\s*", re.IGNORECASE)
_AWG = re.compile(r"(?:awg|ga\.?|gauge)\s*(\d+)|(\d+)\s*(?:awg|ga\.?|gauge)", re.IGNORECASE)
_LENGTH_LIMIT = 80


class EntryError(ValueError):
    """Text that means no such quantity; says in one line what would be right."""


@dataclass(frozen=True)
class Entry:
    """A value in the field's unit, and a sentence of what was understood."""

    value: InUnit
    unit: str
    sentence: str


def read_entry(text: str, unit: str, *, supply_v: float | None = None, bare: str = "") -> Entry:
    """Return what text means in a field's unit.

    Parameters
    ----------
    unit : the field's unit, such as ``A``, ``Ah``, ``kg``, ``mm²`` or ``""`` for a share.
    supply_v : volts that turn watts into amperes and watt-hours into ampere-hours where the text
        names none, such as a battery's nominal volts [V].
    bare : unit of a number without one; the field's own where left empty.

    Raises
    ------
    EntryError
        When the text means no such quantity, or could mean two.
    """
    given = " ".join(text.replace("−", "-").replace("µ", "u").replace("μ", "u").split())
    if not given or len(given) > _LENGTH_LIMIT:
        raise EntryError(_wanted(given, unit))
    if unit == "mm²" and (found := _AWG.fullmatch(given)):
        return _of_gauge(int(found[1] or found[2]))
    if unit == "°C":
        return _of_temperature(given, bare)
    first, *volts = _AT.split(given)
    if len(volts) > 1:
        raise EntryError(_wanted(given, unit))
    said = _sum(first, unit, bare)
    at_v = _volts(volts[0], given, unit) if volts else None
    base, factor = _SCALED.get(unit, (unit, 1.0))
    if (said.dimension, base) in _TURNED:
        return _turned(said, unit, at_v if at_v is not None else supply_v)
    if (said.dimension, base) == ("Ah", "Ah") and at_v is not None and supply_v is not None:
        return _recounted(said, at_v, supply_v)
    if said.dimension != base or (at_v is not None and base not in ("A", "W")):
        raise EntryError(_wanted(given, unit))
    return _plain(said, unit, said.in_base * factor)


# What becomes what with volts, and whether they divide.
_TURNED = {("W", "A"): True, ("Wh", "Ah"): True, ("A", "W"): False, ("Ah", "Wh"): False}


@dataclass(frozen=True)
class _Said:
    """What was written: in the program's unit for its dimension, and in words."""

    in_base: InUnit
    dimension: str
    words: str


def _turned(said: _Said, unit: str, volts: float | None) -> Entry:
    if volts is None:
        raise EntryError(f'{said.words} needs its voltage: write "{said.words} at 12.8 V".')
    value = said.in_base / volts if _TURNED[(said.dimension, unit)] else said.in_base * volts
    return Entry(value, unit, f"{said.words} at {_shown(volts)} V is {_shown(value)} {unit}.")


def _recounted(said: _Said, at_v: float, supply_v: float) -> Entry:
    """Return ampere-hours at the volts of the battery they are entered for."""
    energy_wh = said.in_base * at_v
    value = energy_wh / supply_v
    return Entry(
        value,
        "Ah",
        f"{said.words} at {_shown(at_v)} V is {_shown(energy_wh)} Wh, or {_shown(value)} Ah at"
        f" {_shown(supply_v)} V.",
    )


def _plain(said: _Said, unit: str, value: float) -> Entry:
    if not math.isfinite(value):
        raise EntryError("The number is too large.")
    shown = f"{_shown(value)} {unit}".strip()
    exact = f"{_shown(value, 10)} {unit}".strip()
    same = said.words == exact
    return Entry(value, unit, f"{exact}." if same else f"{said.words} is {shown}.")


def _sum(text: str, unit: str, bare: str) -> _Said:
    """Return the sum of what is written, such as ``1 lb 4 oz``."""
    total, dimension, place = 0.0, "", 0
    words: list[str] = []
    while place < len(text):
        piece = _PIECE.match(text, place)
        if not piece or (words and not piece[2]):
            raise EntryError(_wanted(text, unit))
        name = _unit_named(piece[2] or bare or unit, text, unit)
        number = _number(piece[1].strip())
        of_piece = _DIMENSION_OF.get(name, name)
        if words and of_piece != dimension:
            raise EntryError(_wanted(text, unit))
        dimension = of_piece
        total += number * _SIZES.get(of_piece, {}).get(name, 1)
        words.append(f"{_shown(number, 10)} {name}".strip())
        place = piece.end()
    return _Said(total, dimension, " ".join(words))


def _unit_named(typed: str, said: str, unit: str) -> str:
    if typed in _DIMENSION_OF or typed == unit:
        return typed
    if typed.casefold() == unit.casefold():
        return unit
    known = _FOLDED.get(typed.casefold())
    if known is None:
        raise EntryError(_wanted(said, unit))
    return known


def _number(text: str) -> float:
    joined = re.sub(r"(?<=\d) (?=\d{3}(?:\D|$))", "", text)
    if _THOUSANDS.fullmatch(joined):
        plain = joined.replace(",", "")
        raise EntryError(f"{text} can be read two ways: write {plain} or use a point.")
    if "," in joined and "." in joined:
        thousands = "," if joined.rfind(".") > joined.rfind(",") else "."
        joined = joined.replace(thousands, "")
    try:
        number = float(joined.replace(",", "."))
    except ValueError:
        raise EntryError(f'"{text[:24]}" is not a number.') from None
    if not math.isfinite(number):
        raise EntryError("The number is too large.")
    return number


def _volts(text: str, given: str, unit: str) -> float:
    said = _sum(text, "V", "")
    if said.dimension != "V" or not said.in_base > 0:
        raise EntryError(_wanted(given, unit))
    return said.in_base


def _of_gauge(number: int) -> Entry:
    if number > 40:
        raise EntryError("AWG numbers run from 0 to 40.")
    size = awg_mm2(number)
    return Entry(size, "mm²", f"AWG {number} is {_shown(size)} mm².")


def _of_temperature(given: str, bare: str) -> Entry:
    found = _PIECE.fullmatch(given)
    name = (found[2] or bare or "°C") if found else ""
    known = {key.casefold(): key for key in _TEMPERATURES}.get(name.casefold())
    if not found or known is None:
        raise EntryError(_wanted(given, "°C"))
    number = _number(found[1].strip())
    factor, zero = _TEMPERATURES[known]
    value = (number - zero) * factor
    sentence = f"{_shown(value)} °C."
    if zero:
        sentence = f"{_shown(number, 10)} °F is {sentence}"
    return Entry(value, "°C", sentence)


_EXAMPLES = {
    "A": '"850 mA", "2.5 A" or "11 W at 12.8 V"',
    "Ah": '"15 Ah" or "192 Wh"',
    "W": '"11 W" or "0.9 A at 12.8 V"',
    "Wh": '"45 Wh" or "12000 mAh at 3.7 V"',
    "V": '"13.2 V"',
    "ohm": '"25 mΩ" or "0.025 ohm"',
    "mΩ": '"2 mΩ"',
    "kg": '"620 g", "1.4 lb" or "12 oz"',
    "m": '"1.5 m" or "5 ft"',
    "km": '"150 km" or "90 mi"',
    "m/s": '"3 m/s" or "7 mph"',
    "mm²": '"2.5 mm²" or "AWG 12"',
    "°C": '"-5 °C" or "23 °F"',
    "": '"0.9" or "90 %"',
}


def _wanted(given: str, unit: str) -> str:
    shown = f'"{given[:24]}" is not understood' if given else "Nothing is written"
    return f"{shown}: write {_EXAMPLES.get(unit, f'a number in {unit}')}."


def _shown(number: float, digits: int = 4) -> str:
    text = f"{number:.{digits}g}"
    if "e" in text:
        text = f"{number:.0f}" if abs(number) >= 1 else f"{number:.8f}".rstrip("0").rstrip(".")
    return text.replace("-", "−")
