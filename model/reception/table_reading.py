"""A table of reception reports, line by line in bounded memory; a fault is one line with its place.

Times are ISO 8601, in UTC where they name no zone, as logs of reports have them, or by the clock of
the site where their heading says "local"; the date may stand in a column of its own. A row without
a signal-to-noise ratio is an attempt: that path was tried and nothing was heard. Lines that begin
with ``#`` are remarks. Where a further column tells paths apart, a row that is as an earlier one in
every cell is that report once more, as two exports of one log have it, and counts once.
"""

from __future__ import annotations

import csv
import io
import os
import stat
import sys
from array import array
from collections.abc import Iterator, Mapping
from pathlib import Path
from zoneinfo import ZoneInfo

import numpy as np

from model.editing.faults import Fault, ScenarioError
from model.files.atomic_write import reason_of, shown_name
from model.files.column_mapping import Column, MappingError, mapped, quoted
from model.files.csv_table import unguarded
from model.reception.reports import Reports
from model.reception.table_cells import (
    FREQUENCY_UNITS,
    POWER_UNITS,
    RowError,
    band_of,
    evening_and_hour,
    power_w,
    ratio_db,
    unit_in,
)
from model.reception.thresholds import Mode, mode_named

# A million rows of some ninety characters.
STANDARD_INPUT = "-"
FILE_LIMIT_BYTES = 100_000_000
ROWS_LIMIT = 1_000_000
FAULTS_LIMIT = 20
NAMES_LIMIT = 60
LONGEST_CELL = 200
_TIMES_KEPT = 50_000

COLUMNS = (
    Column(
        "time",
        ("time", "time_utc", "utc", "timestamp", "date_time", "datetime", "start", "time_on",
         "time_local", "local_time"),
        "Time",
    ),
    Column("date", ("date", "date_utc", "qso_date", "day"), "Date", is_needed=False),
    Column("snr_db", ("snr_db", "snr", "report", "report_db", "signal_db", "db"), "SNR, dB"),
    Column(
        "power",
        ("power_w", "power", "power_dbm", "power_mw", "watts", "tx_power", "tx_power_w", "tx_pwr",
         "dbm"),
        "Transmit power",
    ),
    Column("mode", ("mode",), "Mode"),
    Column("band", ("band",), "Band", is_needed=False),
    Column(
        "frequency_mhz",
        ("frequency_mhz", "frequency", "mhz", "freq", "qrg", "frequency_khz", "freq_khz", "khz",
         "frequency_hz", "freq_hz"),
        "Frequency",
        is_needed=False,
    ),
)  # fmt: skip


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
    except (MappingError, RowError) as error:
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
    except RowError as error:
        raise _refused(name, str(error)) from None
    except (UnicodeDecodeError, csv.Error):
        raise _refused(name, "holds no headings") from None


def _read(data: bytes, name: str, timezone: str, chosen: Mapping[str, str] | None) -> Reports:
    rows = _rows(data)
    try:
        _, heads = next(rows)
    except StopIteration:
        raise RowError("is empty") from None
    taken = _Taken(mapped(heads, COLUMNS, chosen), heads, timezone)
    faults: list[Fault] = []
    for number, cells in rows:
        try:
            taken.take(cells)
        except RowError as error:
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
        raise RowError("is no text")
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
                raise RowError(f"has more than {ROWS_LIMIT} rows")
            count += 1
            yield reader.line_num, cells


class _Taken:
    """Fills one column after the other; what repeats from row to row is looked up, not read."""

    def __init__(self, places: Mapping[str, int], heads: list[str], timezone: str) -> None:
        self._places = places
        self._timezone, self._zone = timezone, ZoneInfo(timezone)
        self._last = max(places.values())
        self._is_local = "local" in heads[places["time"]].casefold()
        self._power_unit = unit_in(heads[places["power"]], POWER_UNITS)
        self._frequency_unit = (
            unit_in(heads[places["frequency_mhz"]], FREQUENCY_UNITS)
            if "frequency_mhz" in places
            else "mhz"
        )
        others = set(range(len(heads))) - set(places.values())
        self._tells_apart = any(heads[place].strip() for place in others)
        self._rows = array("q")
        self._times: dict[tuple[str, str], tuple[int, int]] = {}
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
            raise RowError(f"has {len(cells)} cells, fewer than the headings")
        mode = self._mode(self._cell(cells, "mode"))
        if mode is None:
            return
        snr_db = ratio_db(self._cell(cells, "snr_db"))
        evening, hour = self._time(self._cell(cells, "time"), self._cell(cells, "date"))
        watts = self._power_w(self._cell(cells, "power"))
        band = self._band(cells)
        self._floats["snr_db"].append(snr_db)
        self._floats["power_w"].append(watts)
        place = self._mode_places.setdefault(mode, len(self._mode_places))
        for key, value in (("mode", place), ("band", band), ("evening", evening), ("hour", hour)):
            self._whole[key].append(value)
        if self._tells_apart:
            self._rows.append(hash(tuple(cells)))

    def reports(self) -> Reports:
        """Return what was kept."""
        if not self._floats["snr_db"]:
            modes = ", ".join(quoted(name) for name in list(self._other)[:5])
            raise RowError(
                f"holds no report in a mode whose threshold is known; modes are {modes}"
                if modes
                else "holds headings and no report"
            )
        snr_db, watts = (np.array(self._floats[key]) for key in ("snr_db", "power_w"))
        whole = {key: np.array(values, np.int64) for key, values in self._whole.items()}
        rows = snr_db.size
        if self._tells_apart:
            # The first of each that are alike in every cell, in their order.
            once = np.sort(np.unique(np.array(self._rows, np.int64), return_index=True)[1])
            snr_db, watts = snr_db[once], watts[once]
            whole = {key: values[once] for key, values in whole.items()}
        for column in (snr_db, watts, *whole.values()):
            column.flags.writeable = False
        heard = snr_db[~np.isnan(snr_db)]
        return Reports(
            snr_db=snr_db,
            power_w=watts,
            **whole,
            modes=tuple(self._mode_places),
            bands=tuple(self._names),
            whole_db=bool((heard == np.rint(heard)).all()),
            timezone=self._timezone,
            other_modes=tuple(sorted(self._other.items(), key=lambda each: -each[1])),
            repeats=rows - snr_db.size,
        )

    def _cell(self, cells: list[str], key: str) -> str:
        if key not in self._places:
            return ""
        text = cells[self._places[key]].strip()
        if len(text) > LONGEST_CELL:
            raise RowError(f"{key}: the cell is too long")
        return unguarded(text) if text[:1] == "'" else text

    def _mode(self, text: str) -> Mode | None:
        if not text:
            raise RowError("mode: is missing")
        if text not in self._modes:
            if len(self._modes) >= NAMES_LIMIT:
                raise RowError(f"mode: more than {NAMES_LIMIT} modes")
            found = mode_named(text)
            self._modes[text] = found if found is not None and found.is_reported else None
        mode = self._modes[text]
        if mode is None:
            self._other[text] = self._other.get(text, 0) + 1
        return mode

    def _power_w(self, text: str) -> float:
        if text not in self._powers:
            watts = power_w(text, self._power_unit)
            if len(self._powers) >= _TIMES_KEPT:
                self._powers.clear()
            self._powers[text] = watts
        return self._powers[text]

    def _time(self, text: str, day: str) -> tuple[int, int]:
        found = self._times.get((text, day))
        if found is None:
            found = evening_and_hour(text, day, self._zone, is_local=self._is_local)
            if len(self._times) >= _TIMES_KEPT:
                self._times.clear()
            self._times[text, day] = found
        return found

    def _band(self, cells: list[str]) -> int:
        text = self._cell(cells, "band")
        frequency = "" if text else self._cell(cells, "frequency_mhz")
        key = text or f"at {frequency}"
        if key not in self._bands:
            if len(self._bands) >= _TIMES_KEPT:
                self._bands.clear()
            name = band_of(text, frequency, self._frequency_unit)
            if name not in self._names and len(self._names) >= NAMES_LIMIT:
                raise RowError(f"band: more than {NAMES_LIMIT} bands")
            self._bands[key] = self._names.setdefault(name, len(self._names))
        return self._bands[key]


def _refused(name: str, reason: str) -> ScenarioError:
    return ScenarioError((Fault("", f"{name}: {reason}"),))
