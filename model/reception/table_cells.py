"""What stands in one cell of a table of reception reports; a cell that means nothing says why.

A number may name its unit: ``-12 dB``, ``500 mW``, ``37 dBm``, ``7074 kHz``. Without one the unit
is that of the heading, and else dB, watts and megahertz.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from datetime import UTC, date, datetime, timedelta
from math import isfinite
from zoneinfo import ZoneInfo

from model.files.column_mapping import quoted
from model.reception.bands import BAND_NAMES, OTHER_BAND, band_at, band_named

# A night is one evening, whichever side of midnight: the local day changes at noon.
NOON = timedelta(hours=12)
LOWEST_DB, HIGHEST_DB = -60.0, 100.0
LOWEST_W, HIGHEST_W = 1e-6, 5000.0
# By how much a number in each unit is multiplied; dBm is no factor.
DB_UNITS = {"db": 1.0}
POWER_UNITS = {"w": 1.0, "mw": 1e-3, "kw": 1e3, "dbm": 0.0}
FREQUENCY_UNITS = {"mhz": 1.0, "khz": 1e-3, "hz": 1e-6}
_BARE = re.compile(r"[-+]?\d{1,15}(\.\d{1,15})?")
_NUMBER = re.compile(r"([-+]?[\d.]+(?:[eE][-+]?\d+)?)\s*([A-Za-z]*)")
_CLOCK = re.compile(r"\d{1,2}:\d\d.*|\d{3,6}")


class RowError(Exception):
    """Why one row cannot be used."""


def unit_in(head: str, units: Mapping[str, float]) -> str:
    """Return which of some units a heading names, the first of them where it names none."""
    words = re.split(r"[\W_]+", head.casefold())
    named = (unit for unit in units for word in words if word == unit or _ends(word, unit))
    return next(named, next(iter(units)))


def _ends(word: str, unit: str) -> bool:
    # Units of one or two letters end words that name none.
    return len(unit) > 2 and word.endswith(unit)


def number_in(key: str, text: str, unit: str, units: Mapping[str, float]) -> tuple[float, str]:
    """Return the number in a cell and its unit, that of the column where it names none.

    Raises
    ------
    RowError
        When it is none.
    """
    if not text:
        raise RowError(f"{key}: is missing")
    if _BARE.fullmatch(text):
        return float(text), unit
    plain = " ".join(text.replace("\N{MINUS SIGN}", "-").replace(",", ".").split())
    found = _NUMBER.fullmatch(plain)
    named = found[2].casefold() if found else ""
    try:
        value = float(found[1]) if found else float("nan")
    except ValueError:
        value = float("nan")
    if not isfinite(value) or (named and named not in units):
        raise RowError(f"{key}: must be a number, got {quoted(text)}")
    return value, named or unit


def ratio_db(text: str) -> float:
    """Return a signal-to-noise ratio, nan for an empty cell: tried, and not heard [dB]."""
    if not text:
        return float("nan")
    value, _ = number_in("snr_db", text, "db", DB_UNITS)
    if not LOWEST_DB <= value <= HIGHEST_DB:
        raise RowError(f"snr_db: must be {LOWEST_DB:g} to {HIGHEST_DB:g} dB, got {value:g}")
    return value


def power_w(text: str, unit: str) -> float:
    """Return a transmit power; dBm are rounded to what beacons name: 37 dBm is 5 W [W]."""
    value, named = number_in("power", text, unit, POWER_UNITS)
    is_dbm = named == "dbm"
    watts = 10.0 ** (min(value, 100.0) / 10.0 - 3.0) if is_dbm else value * POWER_UNITS[named]
    if not LOWEST_W <= watts <= HIGHEST_W:
        raise RowError(f"power: must be {LOWEST_W:g} to {HIGHEST_W:g} W, got {quoted(text)}")
    return float(f"{watts:.3g}") if is_dbm else watts


def evening_and_hour(text: str, day: str, zone: ZoneInfo, *, is_local: bool) -> tuple[int, int]:
    """Return the number of the evening, the local day of the noon before, and the local hour.

    Parameters
    ----------
    text : date and time as ISO 8601 has them, or a time of day.
    day : date in a column of its own, beside a time of day.
    zone : clock of the site.
    is_local : whether a time that names no zone is by that clock; else it is UTC.

    Raises
    ------
    RowError
        When it is no time.
    """
    whole = text.removesuffix("UTC").strip()
    if day and _CLOCK.fullmatch(whole):
        clock = whole.zfill(4) if ":" not in whole else whole.zfill(len(whole) + (whole[1] == ":"))
        whole = f"{day} {clock}"
    try:
        at = None if _is_day(whole) else datetime.fromisoformat(whole)
        if at is not None:
            zoned = at if at.tzinfo else at.replace(tzinfo=zone if is_local else UTC)
            local = zoned.astimezone(zone)
            return (local - NOON).toordinal(), local.hour
    except (ValueError, OverflowError):
        pass
    raise RowError(f"time: must read like 2027-03-05 21:15, got {quoted(whole or text)}")


def _is_day(text: str) -> bool:
    try:
        date.fromisoformat(text)
    except ValueError:
        return False
    return True


def band_of(text: str, frequency: str, unit: str) -> str:
    """Return a band by its name, or by a frequency in either cell; nothing where both are empty.

    A whole number in the column of bands is a wavelength where a band is called so.

    Raises
    ------
    RowError
        When a frequency is none, or is in a band in another unit alone.
    """
    found = _NUMBER.fullmatch(text.replace(",", "."))
    if found and not found[2] and f"{text} m" in BAND_NAMES:
        return f"{text} m"
    if text and not (found and found[2].casefold() in ("", *FREQUENCY_UNITS)):
        return band_named(text)
    return _band_at(text, "mhz") if text else _band_at(frequency, unit)


def _band_at(text: str, unit: str) -> str:
    if not text:
        return ""
    value, named = number_in("frequency_mhz", text, unit, FREQUENCY_UNITS)
    found = band_at(value * FREQUENCY_UNITS[named])
    if found == OTHER_BAND:
        for other, factor in FREQUENCY_UNITS.items():
            if band_at(value * factor) != OTHER_BAND:
                raise RowError(
                    f"frequency_mhz: {quoted(text)} is in no amateur band as {_spelled(named)}:"
                    f" a heading such as frequency_{other} names the unit"
                )
    return found


def _spelled(unit: str) -> str:
    return unit.replace("hz", "Hz").replace("mH", "MH")
