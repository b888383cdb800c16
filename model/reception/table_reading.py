"""A table of reception reports, line by line in bounded memory; a fault is one line with its place.

Times are ISO 8601, in UTC where they name no zone, as logs of reports have them. The transmit power
is in watts, or in dBm where its heading says so. A row without a signal-to-noise ratio is an
attempt: that path was tried and nothing was heard. Lines that begin with ``#`` are remarks.
"""

from __future__ import annotations

import csv
import io
import os
import stat
import sys
from array import array
from collections.abc import Iterator, Mapping
from datetime import UTC, datetime, timedelta
from math import isfinite
from pathlib import Path
from zoneinfo import ZoneInfo

import numpy as np

from model.editing.faults import Fault, ScenarioError
from model.files.atomic_write import reason_of, shown_name
from model.files.column_mapping import Column, MappingError, mapped, quoted
from model.files.csv_table import unguarded
from model.reception.bands import band_at, band_named
from model.reception.reports import Reports
from model.reception.thresholds import Mode, mode_named

# A million rows of some ninety characters.
STANDARD_INPUT = "-"
FILE_LIMIT_BYTES = 100_000_000
ROWS_LIMIT = 1_000_000
FAULTS_LIMIT = 20
NAMES_LIMIT = 60
LONGEST_CELL = 200
# A night is one evening, whichever side of midnight: the local day changes at noon.
NOON = timedelta(hours=12)
LOWEST_DB, HIGHEST_DB = -60.0, 100.0
LOWEST_W, HIGHEST_W = 1e-6, 5000.0
_TIMES_KEPT = 50_000

COLUMNS = (
    Column(
        "time", ("time", "time_utc", "utc", "timestamp", "date_time", "datetime", "start"), "Time",
    ),
    Column("snr_db", ("snr_db", "snr", "report", "report_db", "signal_db", "db"), "SNR, dB"),
    Column(
        "power", ("power_w", "power", "power_dbm", "watts", "tx_power", "tx_power_w", "dbm"),
        "Transmit power",
    ),
    Column("mode", ("mode",), "Mode"),
    Column("band", ("band",), "Band", is_needed=False),
    Column(
        "frequency_mhz", ("frequency_mhz", "frequency", "mhz", "freq", "qrg"), "Frequency, MHz",
        is_needed=False,
    ),
)  # fmt: skip


class _RowError(Exception):
    """Why one row cannot be used."""


def read_reports(
    path: str | os.PathLike[str], timezone: str, chosen: Mapping[str, str] | None = None
) -> Reports:
    """Return the reports in a file.

    Parameters
    ----------
    path : of the table; ``-`` is standard input.
    timezone : of the site, an IANA name: its clock sets evening and hour.
    chosen : headings of columns by what they hold (``COLUMNS``), where the usual ones differ.

    Raises
    ------
    ScenarioError
        When it cannot be read or holds no such table; one line a fault.
    """
    name = "standard input" if os.fspath(path) == STANDARD_INPUT else shown_name(path)
    return reports_in(reports_bytes(path), name, timezone, chosen)


def reports_bytes(path: str | os.PathLike[str]) -> bytes:
    """Return the bytes of a file of reports.

    Raises
    ------
    ScenarioError
        When it cannot be read or is too large; one line that names the file.
    """
    if os.fspath(path) == STANDARD_INPUT:
        return _piped()
    name = shown_name(path)
    try:
        if not stat.S_ISREG(Path(path).stat().st_mode):
            raise _refused(name, "is not a file")
        with Path(path).open("rb") as file:
            data = file.read(FILE_LIMIT_BYTES + 1)
    except (OSError, ValueError) as error:
        raise _refused(name, reason_of(error)) from None
    return _bounded(data, name)


def _piped() -> bytes:
    if sys.stdin is None:
        raise _refused("standard input", "is closed")
    return _bounded(sys.stdin.buffer.read(FILE_LIMIT_BYTES + 1), "standard input")


def _bounded(data: bytes, name: str) -> bytes:
    if len(data) > FILE_LIMIT_BYTES:
        raise _refused(name, f"is larger than {FILE_LIMIT_BYTES // 1_000_000} MB")
    return data


def reports_in(
    data: bytes, name: str, timezone: str, chosen: Mapping[str, str] | None = None
) -> Reports:
    """Return the reports in the bytes of a table.

    Parameters
    ----------
    name : of the file, for what is said of it.
    timezone, chosen : as ``read_reports`` takes them.

    Raises
    ------
    ScenarioError
        When they are no such table; one line a fault.
    """
    try:
        return _read(data, name, timezone, chosen)
    except (MappingError, _RowError) as error:
        raise _refused(name, str(error)) from None
    except UnicodeDecodeError:
        raise _refused(name, "is no UTF-8 text") from None
    except csv.Error:
        raise _refused(name, "is no table: a cell is too long or a quote does not end") from None


def heads_of(data: bytes, name: str) -> tuple[str, ...]:
    """Return the headings of a table, for a person who says what each column holds.

    Raises
    ------
    ScenarioError
        When it has none.
    """
    try:
        return tuple(next(_rows(data))[1])
    except StopIteration:
        raise _refused(name, "is empty") from None
    except _RowError as error:
        raise _refused(name, str(error)) from None
    except (UnicodeDecodeError, csv.Error):
        raise _refused(name, "holds no headings") from None


def _read(data: bytes, name: str, timezone: str, chosen: Mapping[str, str] | None) -> Reports:
    rows = _rows(data)
    try:
        _, heads = next(rows)
    except StopIteration:
        raise _RowError("is empty") from None
    taken = _Taken(mapped(heads, COLUMNS, chosen), heads, timezone)
    faults: list[Fault] = []
    for number, cells in rows:
        try:
            taken.take(cells)
        except _RowError as error:
            faults.append(Fault("", f"{name}: line {number}: {error}"))
            if len(faults) >= FAULTS_LIMIT:
                faults.append(Fault("", f"{name}: the rest was not read: too many faults"))
                break
    if faults:
        raise ScenarioError(tuple(faults))
    return taken.reports()


def _rows(data: bytes) -> Iterator[tuple[int, list[str]]]:
    """Yield the lines that hold anything, each with its number; the first are the headings."""
    if b"\0" in data[:4096]:
        raise _RowError("is no text")
    text = io.TextIOWrapper(io.BytesIO(data), encoding="utf-8-sig", newline="")
    begin = text.read(4096)
    text.seek(0)
    head = next((line for line in begin.splitlines() if line.strip() and line[0] != "#"), "")
    count = 0
    reader = csv.reader(text, delimiter=max(",;\t", key=head.count))
    for cells in reader:
        if any(cells) and not cells[0].startswith("#"):
            # The headings are no row.
            if count > ROWS_LIMIT:
                raise _RowError(f"has more than {ROWS_LIMIT} rows")
            count += 1
            yield reader.line_num, cells


class _Taken:
    """Fills one column after the other; what repeats from row to row is looked up, not read."""

    def __init__(self, places: Mapping[str, int], heads: list[str], timezone: str) -> None:
        self._places = places
        self._timezone, self._zone = timezone, ZoneInfo(timezone)
        self._last = max(places.values())
        self._in_dbm = "dbm" in heads[places["power"]].casefold()
        self._times: dict[str, tuple[int, int]] = {}
        self._powers: dict[str, float] = {}
        self._modes: dict[str, Mode | None] = {}
        self._bands: dict[str, int] = {}
        self._mode_places: dict[Mode, int] = {}
        self._names: dict[str, int] = {}
        self._other: dict[str, int] = {}
        self._floats = {key: array("d") for key in ("snr_db", "power_w")}
        self._whole = {key: array("q") for key in ("mode", "band", "evening", "hour")}

    def take(self, cells: list[str]) -> None:
        """Keep one row; one in a mode without a known threshold is counted alone."""
        if len(cells) <= self._last:
            raise _RowError(f"has {len(cells)} cells, fewer than the headings")
        mode = self._mode(self._cell(cells, "mode"))
        if mode is None:
            return
        snr_db = self._snr_db(self._cell(cells, "snr_db"))
        evening, hour = self._time(self._cell(cells, "time"))
        power_w = self._power_w(self._cell(cells, "power"))
        band = self._band(cells)
        self._floats["snr_db"].append(snr_db)
        self._floats["power_w"].append(power_w)
        place = self._mode_places.setdefault(mode, len(self._mode_places))
        for key, value in (("mode", place), ("band", band), ("evening", evening), ("hour", hour)):
            self._whole[key].append(value)

    def reports(self) -> Reports:
        """Return what was kept."""
        if not self._floats["snr_db"]:
            modes = ", ".join(quoted(name) for name in list(self._other)[:5])
            raise _RowError(
                f"holds no report in a mode whose threshold is known; modes are {modes}"
                if modes
                else "holds headings and no report"
            )
        snr_db, power_w = (np.array(self._floats[key]) for key in ("snr_db", "power_w"))
        whole = {key: np.array(values, np.int64) for key, values in self._whole.items()}
        for column in (snr_db, power_w, *whole.values()):
            column.flags.writeable = False
        heard = snr_db[~np.isnan(snr_db)]
        return Reports(
            snr_db=snr_db,
            power_w=power_w,
            **whole,
            modes=tuple(self._mode_places),
            bands=tuple(self._names),
            whole_db=bool((heard == np.rint(heard)).all()),
            timezone=self._timezone,
            other_modes=tuple(sorted(self._other.items(), key=lambda each: -each[1])),
        )

    def _cell(self, cells: list[str], key: str) -> str:
        text = cells[self._places[key]].strip()
        if len(text) > LONGEST_CELL:
            raise _RowError(f"{key}: the cell is too long")
        return unguarded(text) if text[:1] == "'" else text

    def _mode(self, text: str) -> Mode | None:
        if not text:
            raise _RowError("mode: is missing")
        if text not in self._modes:
            if len(self._modes) >= NAMES_LIMIT:
                raise _RowError(f"mode: more than {NAMES_LIMIT} modes")
            found = mode_named(text)
            self._modes[text] = found if found is not None and found.is_reported else None
        mode = self._modes[text]
        if mode is None:
            self._other[text] = self._other.get(text, 0) + 1
        return mode

    def _snr_db(self, text: str) -> float:
        if not text:
            return float("nan")
        value = _number("snr_db", text)
        if not LOWEST_DB <= value <= HIGHEST_DB:
            raise _RowError(f"snr_db: must be {LOWEST_DB:g} to {HIGHEST_DB:g} dB, got {value:g}")
        return value

    def _power_w(self, text: str) -> float:
        if text not in self._powers:
            value = _number("power", text)
            watts = 10.0 ** (min(value, 100.0) / 10.0 - 3.0) if self._in_dbm else value
            if not LOWEST_W <= watts <= HIGHEST_W:
                raise _RowError(
                    f"power: must be {LOWEST_W:g} to {HIGHEST_W:g} W, got {quoted(text)}"
                )
            if len(self._powers) >= _TIMES_KEPT:
                self._powers.clear()
            # dBm are rounded to what beacons name: 37 dBm is 5 W.
            self._powers[text] = float(f"{watts:.3g}") if self._in_dbm else watts
        return self._powers[text]

    def _time(self, text: str) -> tuple[int, int]:
        found = self._times.get(text)
        if found is None:
            try:
                at = datetime.fromisoformat(text)
                local = (at if at.tzinfo else at.replace(tzinfo=UTC)).astimezone(self._zone)
                found = (local - NOON).toordinal(), local.hour
            except (ValueError, OverflowError):
                raise _RowError(
                    f"time: must read like 2027-03-05 21:15, got {quoted(text)}"
                ) from None
            if len(self._times) >= _TIMES_KEPT:
                self._times.clear()
            self._times[text] = found
        return found

    def _band(self, cells: list[str]) -> int:
        text = self._cell(cells, "band") if "band" in self._places else ""
        mhz = (
            ""
            if text or "frequency_mhz" not in self._places
            else self._cell(cells, "frequency_mhz")
        )
        key = text or f"at {mhz}"
        if key not in self._bands:
            if len(self._bands) >= _TIMES_KEPT:
                self._bands.clear()
            name = band_named(text) if text else _band_of(mhz)
            if name not in self._names and len(self._names) >= NAMES_LIMIT:
                raise _RowError(f"band: more than {NAMES_LIMIT} bands")
            self._bands[key] = self._names.setdefault(name, len(self._names))
        return self._bands[key]


def _band_of(mhz: str) -> str:
    return band_at(_number("frequency_mhz", mhz)) if mhz else ""


def _number(key: str, text: str) -> float:
    plain = text.replace("−", "-").replace(",", ".")
    try:
        value = float(plain)
    except ValueError:
        value = float("nan")
    if not isfinite(value) or "_" in text:
        raise _RowError(f"{key}: must be a number, got {quoted(text)}")
    return value


def _refused(name: str, reason: str) -> ScenarioError:
    return ScenarioError((Fault("", f"{name}: {reason}"),))
