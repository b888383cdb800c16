"""What each kind of weather file means: its readers' columns as one record, hours set right.

The files are read by the solar library. What differs between kinds is written down here: which
instant a row's label stands for, where the zone comes from, what means missing, and in which
eighth or tenth cloud is counted.
"""

from __future__ import annotations

import csv
import io
import json
import re
import tempfile
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any, NamedTuple

import numpy as np
import pandas as pd

from model.sky.daily_weather import TYPICAL_YEAR, WeatherRecord

# Places on Earth where clocks keep more than this from the sun are those of files in universal
# time: their local days are those of the sun.
ZONE_FROM_SUN_H = 3.0
COARSEST_STEP_MIN = 60.0
OKTA_PER_TENTH = 0.8
HOURS_A_YEAR = 8760
# Dates that a scenario can hold.
FIRST_YEAR, LAST_YEAR = 1950, 2149
LOWEST_AIR_C, HIGHEST_AIR_C = -70.0, 60.0


class FormatError(Exception):
    """A file that is not what its kind demands; the words say what is wrong with it."""


class _Place(NamedTuple):
    name: str
    latitude_deg: float
    longitude_deg: float
    elevation_m: float
    zone_h: float


def read_epw(text: str) -> WeatherRecord:
    """EnergyPlus weather: an hour's mean ends at its label, air is of the label's instant.

    EnergyPlus Auxiliary Programs, "Weather Converter": hours 1 to 24 of local standard time, light
    over the hour before. Files of PVGIS name an irradiance time offset: theirs is the light of one
    instant, so long after the label, and their rows stand in universal time whatever zone the
    first line gives (its CSV of the same place shows both).
    """
    from pvlib.iotools import read_epw as read

    head = text.split("\n", 8)[:8]
    periods = next((line.split(",") for line in head if line.startswith("DATA PERIODS")), None)
    if periods is None:
        raise FormatError('has no line "DATA PERIODS"')
    if periods[2:3] != ["1"]:
        raise FormatError("has several rows an hour; files of one row an hour can be read")
    data, meta = read(io.StringIO(text))
    offset = re.search(r"Irradiance Time Offset \(h\):\s*(-?\d+\.?\d*)", "\n".join(head))
    label = data.index.tz_localize(None) + pd.Timedelta(hours=1)
    cover = _column(data, "total_sky_cover", 0, 10)
    place = _Place(
        ", ".join(word for word in (meta["city"], meta["country"]) if word not in ("-", "")),
        meta["latitude"], meta["longitude"], meta["altitude"], 0.0 if offset else meta["TZ"],
    )  # fmt: skip
    minutes = 60.0 * float(offset[1]) if offset else -30.0
    return _record(
        "EPW", place, f"{meta['data_type']}".strip(),
        middle=label + pd.Timedelta(minutes=minutes), is_mean=_is_mean(minutes),
        ghi=_column(data, "ghi", -20, 1900), air_at=label,
        air=_column(data, "temp_air", LOWEST_AIR_C, HIGHEST_AIR_C),
        cover_okta=cover * OKTA_PER_TENTH,
        typical=bool(re.search(r"TMY|IWEC|CWEC|TYPICAL", "".join(head[:1]), re.IGNORECASE)),
    )  # fmt: skip


def read_tmy3(text: str) -> WeatherRecord:
    """TMY3: an hour's mean ends at its label (Wilcox and Marion 2008, table 1-3)."""
    from pvlib.iotools import read_tmy3 as read

    data, meta = read(io.StringIO(text))
    label = data.index.tz_localize(None)
    place = _Place(
        f"{meta['Name']}, {meta['State']}".replace('"', ""),
        meta["latitude"], meta["longitude"], meta["altitude"], meta["TZ"],
    )  # fmt: skip
    cover = _column(data, "TotCld (tenths)", 0, 10) * OKTA_PER_TENTH
    return _record(
        "TMY3", place, f"station {meta['USAF']}",
        middle=label - pd.Timedelta(minutes=30), is_mean=True,
        ghi=_column(data, "ghi", -20, 1900), air_at=label,
        air=_column(data, "temp_air", LOWEST_AIR_C, HIGHEST_AIR_C), cover_okta=cover,
        typical=True,
    )  # fmt: skip


def read_tmy2(text: str) -> WeatherRecord:
    """TMY2: hours 1 to 24, means of the hour before (Marion and Urban 1995, table 3-2)."""
    from pvlib.iotools import read_tmy2 as read

    head, rest = text.split("\n", 1)
    # The reader cuts the first line at its blanks: a name of two words would move what follows.
    city = head[7:29].strip()
    head = head[:7] + city.replace(" ", "_").ljust(22) + head[29:]
    with _as_file(f"{head}\n{rest.rstrip()}\n") as path:
        data, meta = read(path)
    label = data.index.tz_localize(None) + pd.Timedelta(hours=1)
    place = _Place(
        f"{city}, {meta['State']}", meta["latitude"], meta["longitude"], meta["altitude"],
        meta["TZ"],
    )  # fmt: skip
    return _record(
        "TMY2", place, f"station {meta['WBAN']}",
        middle=label - pd.Timedelta(minutes=30), is_mean=True,
        ghi=_column(data, "GHI", -20, 1900), air_at=label,
        air=_column(data, "DryBulb", 10 * LOWEST_AIR_C, 10 * HIGHEST_AIR_C) / 10.0,
        cover_okta=_column(data, "TotCld", 0, 10) * OKTA_PER_TENTH, typical=True,
    )  # fmt: skip


def read_pvgis_tmy(text: str) -> WeatherRecord:
    """PVGIS typical year, CSV or JSON: universal time, light of an instant after the label."""
    from pvlib.iotools import read_pvgis_tmy as read

    if text.lstrip().startswith("{"):
        data, meta = read(io.StringIO(text), pvgis_format="json")
        inputs = meta["inputs"]["location"]
        offset_h = inputs.get("irradiance_time_offset", 0.0)
        base = meta["inputs"].get("meteo_data", {}).get("radiation_db", "")
    else:
        if _even_rows(text, "time(UTC),") < HOURS_A_YEAR:
            raise FormatError(f"holds fewer than the {HOURS_A_YEAR} hours of a typical year")
        data, meta = read(io.BytesIO(text.encode()), pvgis_format="csv")
        inputs, base = meta["inputs"], ""
        offset_h = inputs.get("irradiance time offset", 0.0)
    label = data.index.tz_localize(None)
    return _record(
        "PVGIS typical year", _pvgis_place(inputs), str(base),
        middle=label + pd.Timedelta(hours=offset_h), is_mean=_is_mean(60.0 * offset_h),
        ghi=_column(data, "ghi", -20, 1900), air_at=label,
        air=_column(data, "temp_air", LOWEST_AIR_C, HIGHEST_AIR_C), typical=True,
    )  # fmt: skip


def read_pvgis_hourly(text: str) -> WeatherRecord:
    """PVGIS hourly, CSV or JSON: universal time, light of the label's instant on a level plane."""
    from pvlib.iotools import read_pvgis_hourly as read

    as_json = text.lstrip().startswith("{")
    if not as_json:
        _even_rows(text, "time,")
    data, meta = read(io.StringIO(text), pvgis_format="json" if as_json else "csv")
    inputs = meta["inputs"]
    if as_json:
        fixed = inputs.get("mounting_system", {}).get("fixed", {})
        slope = fixed.get("slope", {}).get("value")
        location, base = inputs["location"], inputs.get("meteo_data", {}).get("radiation_db", "")
    else:
        location, base = inputs, inputs["radiation_database"]
        given = re.match(r"\s*(-?\d+\.?\d*)", str(inputs.get("Slope", "")))
        slope = float(given[1]) if given else None
    if slope is None or float(slope) != 0.0:
        at = "a moving plane" if slope is None else f"a plane tilted by {float(slope):g}°"
        raise FormatError(f"holds the light on {at}; ask for slope 0")
    parts = [name for name in ("poa_direct", "poa_sky_diffuse", "poa_ground_diffuse")
             if name in data]  # fmt: skip
    names = parts if "poa_global" not in data else ["poa_global"]
    if not names:
        raise FormatError("holds no light: neither G(i) nor its parts")
    ghi = sum((_column(data, name, -20, 1900) for name in names), np.zeros(len(data)))
    label = data.index.tz_localize(None)
    # Data of a reanalysis are means of the hour about their label; a satellite's are of a moment.
    is_mean = bool((label.minute == 30).all())
    return _record(
        "PVGIS hourly", _pvgis_place(location), str(base), middle=label, is_mean=is_mean, ghi=ghi,
        air_at=label, air=_column(data, "temp_air", LOWEST_AIR_C, HIGHEST_AIR_C),
    )  # fmt: skip


def read_nsrdb(text: str) -> WeatherRecord:
    """NSRDB PSM: light and air of the label's instant, in the zone of the second line."""
    from pvlib.iotools import read_nsrdb_psm4 as read

    lines = text.split("\n", 2)
    names, values = (next(csv.reader([line])) for line in lines[:2])
    meta = dict(zip(names, values, strict=False))
    missing = [name for name in ("Latitude", "Longitude", "Elevation", "Time Zone")
               if not meta.get(name)]  # fmt: skip
    if missing:
        raise FormatError(f"gives no {missing[0]} in its second line")
    place = _Place(
        ", ".join(meta[name] for name in ("City", "State", "Country")
                  if meta.get(name, "-") not in ("-", "", "None")),
        float(meta["Latitude"]), float(meta["Longitude"]), float(meta["Elevation"]),
        float(meta["Time Zone"]),
    )  # fmt: skip
    # The reader takes whole hours and metres only: India's zone is a half; it gets none of them.
    plain = "Latitude,Longitude,Time Zone,Elevation,Local Time Zone\n0,0,0,0,0\n"
    data, _ = read(io.StringIO(plain + lines[2]))
    if "ghi" not in data:
        raise FormatError("holds no column GHI")
    label = data.index.tz_localize(None)
    air = _column(data, "temp_air", LOWEST_AIR_C, HIGHEST_AIR_C)
    return _record(
        "NSRDB", place, meta.get("Source", ""), middle=label, is_mean=False,
        ghi=_column(data, "ghi", -20, 1900), air_at=label, air=air,
    )  # fmt: skip


def read_bsrn(text: str) -> WeatherRecord:
    """BSRN station-to-archive: minutes that begin at their label, universal time (GCOS-174)."""
    from pvlib.iotools import read_bsrn as read

    data, meta = read(io.StringIO(text))
    if data.empty:
        raise FormatError("holds no basic measurements (logical record 0100)")
    place = _Place(
        f"station {meta['station identification number']}",
        meta["latitude"], meta["longitude"], meta["altitude"], 0.0,
    )  # fmt: skip
    label = data.index.tz_localize(None)
    return _record(
        "BSRN", place, "", middle=label, is_mean=True, begins=True,
        ghi=_column(data, "ghi", -20, 1900), air_at=label,
        air=_column(data, "temp_air", LOWEST_AIR_C, HIGHEST_AIR_C),
    )  # fmt: skip


def read_surfrad(text: str) -> WeatherRecord:
    """SURFRAD day: means of one or three minutes, universal time; longitude counts west.

    A quality flag of 1 marks a value that is known to be bad (the network's README).
    """
    from pvlib.iotools import read_surfrad as read

    # The reader leaves its file open when it fails, so rows are looked at first.
    for number, line in enumerate(text.splitlines()[2:], 3):
        if len(line.split()) != 48 or not re.fullmatch(r"[-+.\d\s]+", line):
            raise FormatError(f"line {number} is no row of 48 numbers")
    with _as_file(text) as path:
        data, meta = read(path, map_variables=False)
    ghi = np.where(data["dw_solar_flag"] == 1, np.nan, _column(data, "dw_solar", -20, 1900))
    air = np.where(
        data["temp_flag"] == 1, np.nan, _column(data, "temp", LOWEST_AIR_C, HIGHEST_AIR_C)
    )
    place = _Place(
        str(meta["name"]), meta["latitude"], -abs(float(meta["longitude"])), meta["elevation"], 0.0
    )
    label = data.index.tz_localize(None)
    return _record(
        "SURFRAD", place, "", middle=label, is_mean=True, begins=False, ghi=ghi, air_at=label,
        air=air,
    )  # fmt: skip


def _even_rows(text: str, header: str) -> int:
    """Return how many rows follow the header; one that is shorter or longer is a fault."""
    begin = text.find(f"\n{header}")
    rows = text[begin + 1 :].split("\n\n", 1)[0].split("\n")
    width = rows[0].count(",")
    count = 0
    for row in rows[1:]:
        # Words about the columns stand below the rows.
        if not row[:1].isdigit():
            break
        count += 1
        if row.count(",") != width:
            line = text.count("\n", 0, begin + 1) + 1 + count
            raise FormatError(f"line {line} holds {row.count(',') + 1} values, not {width + 1}")
    return count


def _pvgis_place(location: dict[str, Any]) -> _Place:
    return _Place("", location["latitude"], location["longitude"], location["elevation"], 0.0)


def _is_mean(minutes_after_label: float) -> bool:
    """Whether light so long after or before its label is that of a whole hour."""
    return abs(abs(minutes_after_label) - 30.0) < 0.5


def _column(data: pd.DataFrame, name: str, low: float, high: float) -> np.ndarray[Any, Any]:
    """Return a column of numbers; what lies outside its bounds is how files write missing."""
    if name not in data:
        return np.full(len(data), np.nan)
    try:
        values = pd.to_numeric(data[name]).to_numpy(dtype=np.float64)
    except (ValueError, TypeError):
        raise FormatError(f'has text where numbers of "{name}" belong') from None
    return np.where((values >= low) & (values <= high), values, np.nan)


@contextmanager
def _as_file(text: str) -> Iterator[str]:
    """Give a text to a reader that opens its file itself, under a name it cannot take for a URL."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "weather.dat"
        path.write_text(text, encoding="ascii", errors="replace")
        yield str(path)


def _record(
    kind: str, place: _Place, source: str, *, middle: pd.DatetimeIndex, is_mean: bool,
    ghi: Any, air_at: pd.DatetimeIndex, air: Any, cover_okta: Any = None, typical: bool = False,
    begins: bool | None = None,
) -> WeatherRecord:  # fmt: skip
    """Return the record; times are those of the file's own zone."""
    numbers = [float(number) for number in place[1:]]
    latitude, longitude, elevation, zone_h = numbers
    if not (abs(latitude) <= 90 and abs(longitude) <= 180 and -500 <= elevation <= 9000):
        raise FormatError("names no place on Earth")
    step_min = _step_min(middle)
    if not np.isfinite(ghi).any():
        raise FormatError("holds no light on the level")
    if begins is not None:
        middle = middle + pd.Timedelta(minutes=step_min / 2.0 if begins else -step_min / 2.0)
    if typical or _is_spliced(middle):
        typical = True
        keep = ~((middle.month == 2) & (middle.day == 29))
        middle, ghi = _in_typical_year(middle[keep]), ghi[keep]
        cover_okta = cover_okta[keep] if cover_okta is not None else None
        keep = ~((air_at.month == 2) & (air_at.day == 29))
        air_at, air = _in_typical_year(air_at[keep]), air[keep]
    if middle.year.min() < FIRST_YEAR or middle.year.max() > LAST_YEAR:
        raise FormatError(f"holds dates outside {FIRST_YEAR} to {LAST_YEAR}")
    zone = pd.Timedelta(hours=zone_h)
    by_the_sun_h = longitude / 15.0
    near = abs(zone_h - by_the_sun_h) <= ZONE_FROM_SUN_H
    has_cover = cover_okta is not None and np.isfinite(cover_okta).any()
    return WeatherRecord(
        kind, place.name, source, latitude, longitude, elevation,
        zone_h if near else float(round(by_the_sun_h)), step_min, is_mean, typical,
        pd.Series(ghi, middle - zone), pd.Series(air, air_at - zone),
        pd.Series(cover_okta, middle - zone) if has_cover else None,
    )  # fmt: skip


def _step_min(times: pd.DatetimeIndex) -> float:
    ordered = np.unique(times.to_numpy())
    if ordered.size < 2:
        raise FormatError("holds fewer than two rows")
    step = float(np.median(np.diff(ordered)) / np.timedelta64(1, "s")) / 60.0
    if step > COARSEST_STEP_MIN:
        raise FormatError(f"has rows {step:g} minutes apart; hourly or finer is needed")
    if round(step) != step or 1440 % round(step):
        raise FormatError(f"has rows {step:g} minutes apart, which do not make up a day")
    return step


def _is_spliced(times: pd.DatetimeIndex) -> bool:
    """Whether months of various years follow on each other as those of one."""
    months = pd.unique(times.year * 12 + times.month - 1)
    follows = np.diff(months % 12) == 1
    jumps = np.diff(months) != 1
    return bool((follows & jumps).any()) and len(set(months % 12)) == len(months)


def _in_typical_year(times: pd.DatetimeIndex) -> pd.DatetimeIndex:
    values = times.to_numpy().astype("datetime64[s]")
    months = values.astype("datetime64[M]")
    in_month = values - months.astype("datetime64[s]")
    moved = np.datetime64(f"{TYPICAL_YEAR}-01", "M") + (months.astype(np.int64) % 12)
    return pd.DatetimeIndex(moved.astype("datetime64[s]") + in_month)


def holds_json(text: str) -> Callable[[str], WeatherRecord]:
    """Return the reader of a JSON file of PVGIS.

    Raises
    ------
    FormatError
        When it is none.
    """
    try:
        outputs = json.loads(text)["outputs"]
    except (ValueError, RecursionError, LookupError, TypeError):
        outputs = None
    if isinstance(outputs, dict) and "tmy_hourly" in outputs:
        return read_pvgis_tmy
    if isinstance(outputs, dict) and "hourly" in outputs:
        return read_pvgis_hourly
    raise FormatError("is JSON, but not of PVGIS with hours in it")
