"""Weather files: which kind one is, by what it holds, and its record; faults in one line each."""

from __future__ import annotations

import gzip
import os
import re
import stat
import warnings
import zlib
from collections.abc import Callable
from pathlib import Path

import pandas as pd

from model.editing.faults import Fault, ScenarioError
from model.files.atomic_write import reason_of, shown_name
from model.files.weather_formats import (
    FormatError,
    holds_json,
    read_bsrn,
    read_epw,
    read_nsrdb,
    read_pvgis_hourly,
    read_pvgis_tmy,
    read_surfrad,
    read_tmy2,
    read_tmy3,
)
from model.sky.daily_weather import WeatherRecord

# Nineteen years of PVGIS hours as JSON take some 25 MB, a month of BSRN minutes some 15.
FILE_LIMIT_BYTES = 40_000_000
KINDS = "EPW, TMY2, TMY3, PVGIS, NSRDB, BSRN, SURFRAD"
_TMY2_HEAD = re.compile(r" ?\d{5} .{22} [A-Z]{2} [ \d+-]{3} [NS] [ \d]{2} [ \d]{2} [EW] ")
_SURFRAD_PLACE = re.compile(r"\s*-?\d+\.\d+\s+-?\d+\.\d+\s+-?\d+\s*m\s+version\s+\d+\s*")

Reader = Callable[[str], WeatherRecord]


def read_weather_file(path: str | os.PathLike[str]) -> WeatherRecord:
    """Return what a weather file holds; its kind is told by its content.

    Raises
    ------
    ScenarioError
        When it cannot be read; one line that names the file.
    """
    return weather_record(weather_bytes(path), shown_name(path))


def weather_bytes(path: str | os.PathLike[str]) -> bytes:
    """Return the bytes of a weather file.

    Raises
    ------
    ScenarioError
        When it cannot be read or is too large; one line that names the file.
    """
    try:
        return _bytes_of(Path(path))
    except FormatError as error:
        raise ScenarioError((Fault("", f"{shown_name(path)}: {error}"),)) from None


def weather_record(data: bytes, name: str) -> WeatherRecord:
    """Return what the bytes of a weather file hold; its kind is told by its content.

    Parameters
    ----------
    name : of the file, for what is said of it.

    Raises
    ------
    ScenarioError
        When they are no weather file, or a damaged one; one line that names the file.
    """
    try:
        return _record_in(_text_of(data))
    except FormatError as error:
        raise ScenarioError((Fault("", f"{name}: {error}"),)) from None


def reader_of(text: str) -> Reader:
    """Return the reader for a text, by its first lines.

    Raises
    ------
    FormatError
        When it is no weather file of a known kind.
    """
    lines = text[:4000].split("\n")
    first, second = lines[0], lines[1] if len(lines) > 1 else ""
    if first.upper().startswith("LOCATION,"):
        return read_epw
    if text.lstrip()[:1] == "{":
        return holds_json(text)
    if first.startswith("Latitude (decimal degrees)"):
        is_typical = any(line.startswith("time(UTC),") for line in lines)
        return read_pvgis_tmy if is_typical else read_pvgis_hourly
    if first.startswith("Source,Location ID") and len(lines) > 2 and "Year,Month" in lines[2]:
        return read_nsrdb
    if second.startswith("Date (MM/DD/YYYY),Time (HH:MM)"):
        return read_tmy3
    if first.startswith(("*U0001", "*C0001")):
        return read_bsrn
    if _TMY2_HEAD.match(first):
        return read_tmy2
    if _SURFRAD_PLACE.fullmatch(second):
        return read_surfrad
    raise FormatError(f"is no weather file of a known kind ({KINDS})")


# What the library's readers raise over a damaged file; a fault of a program would be another.
_DAMAGE = (
    ValueError, LookupError, TypeError, AttributeError, ArithmeticError, NameError, EOFError,
    RecursionError,
)  # fmt: skip


def _record_in(text: str) -> WeatherRecord:
    reader = reader_of(text)
    kind = reader.__name__.removeprefix("read_").replace("_", " ").upper()
    try:
        with warnings.catch_warnings():
            # Columns that nobody asks for may hold a mixture.
            warnings.simplefilter("ignore", pd.errors.DtypeWarning)
            return reader(text)
    except _DAMAGE:
        raise FormatError(f"is damaged: it begins as {kind} and does not go on so") from None


def _text_of(data: bytes) -> str:
    if data.startswith(b"\x1f\x8b"):
        data = _unpacked(data)
    if not data.strip():
        raise FormatError("is empty")
    if data.startswith(b"PK"):
        raise FormatError("is a zip archive; unpack it first")
    if data.startswith((b"\xff\xfe", b"\xfe\xff")):
        raise FormatError("is UTF-16 text; save it as UTF-8")
    if b"\0" in data[:4000]:
        raise FormatError(f"is no weather file of a known kind ({KINDS})")
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError:
        # Names of places in older files.
        text = data.decode("latin-1")
    return text.replace("\r\n", "\n")


def _bytes_of(path: Path) -> bytes:
    try:
        if not stat.S_ISREG(path.stat().st_mode):
            raise FormatError("is not a file")
        with path.open("rb") as file:
            data = file.read(FILE_LIMIT_BYTES + 1)
    except (OSError, ValueError) as error:
        raise FormatError(reason_of(error)) from None
    return _within_limit(data)


def _unpacked(data: bytes) -> bytes:
    import io

    try:
        with gzip.GzipFile(fileobj=io.BytesIO(data)) as file:
            return _within_limit(file.read(FILE_LIMIT_BYTES + 1))
    except (OSError, EOFError, zlib.error):
        raise FormatError("is damaged: it does not unpack") from None


def _within_limit(data: bytes) -> bytes:
    if len(data) > FILE_LIMIT_BYTES:
        limit_mb = FILE_LIMIT_BYTES // 1_000_000
        raise FormatError(f"is too large; a weather file may hold at most {limit_mb} MB")
    return data
