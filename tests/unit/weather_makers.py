"""Weather files of every kind, written with a light that is known: a share of what falls above.

The sun of these files comes straight from the solar library, minute by minute, and not from the
program. Layouts are those that the library's readers document; names and numbers are invented.
"""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from pathlib import Path

import numpy as np
import pandas as pd
import pvlib

TMY2_FILE = Path(pvlib.__file__).parent / "data" / "12839.tm2"
Times = pd.DatetimeIndex
Light = Callable[[Times], np.ndarray]


@dataclass(frozen=True)
class Place:
    """A place that is nowhere in particular."""

    latitude: float
    longitude: float
    elevation: float
    zone_h: float


RIDGE = Place(47.0, 9.5, 900.0, 1.0)
SOUTH = Place(-41.3, 172.8, 30.0, 12.0)
DESERT = Place(33.5, -112.0, 340.0, -7.0)


def above(place: Place, times: Times) -> np.ndarray:
    """Return the light above the air on the level at instants in universal time. [W/m2]"""
    at = times.tz_localize("UTC")
    height = pvlib.solarposition.get_solarposition(at, place.latitude, place.longitude)["elevation"]
    normal = pvlib.irradiance.get_extra_radiation(at.day_of_year.to_numpy())
    return normal * np.maximum(np.sin(np.radians(height.to_numpy())), 0.0)


def clear(place: Place, times: Times) -> np.ndarray:
    """Return the clear sky's light by Ineichen with the library's turbidity of the month."""
    at = times.tz_localize("UTC")
    zenith = pvlib.solarposition.get_solarposition(at, place.latitude, place.longitude)
    # At night the model divides by nothing; a low sun stands in and its light is left out.
    night = zenith["apparent_zenith"].to_numpy() > 89.9
    zenith = np.where(night, 89.9, zenith["apparent_zenith"].to_numpy())
    mass = pvlib.atmosphere.get_absolute_airmass(
        pvlib.atmosphere.get_relative_airmass(zenith), pvlib.atmosphere.alt2pres(place.elevation)
    )
    turbidity = pvlib.clearsky.lookup_linke_turbidity(
        at, place.latitude, place.longitude, interp_turbidity=False
    )
    normal = pvlib.irradiance.get_extra_radiation(at.day_of_year.to_numpy())
    found = pvlib.clearsky.ineichen(
        zenith, mass, turbidity.to_numpy(), altitude=place.elevation, dni_extra=normal
    )
    return np.where(night, 0.0, found["ghi"])


def share_of(place: Place, share: float | Callable[[Times], np.ndarray]) -> Light:
    """Return the light of a sky that lets a share through, which may change with the time."""
    return lambda times: above(place, times) * (share(times) if callable(share) else share)


def hourly_means(light: Light, ends: Times) -> np.ndarray:
    """Return means over the hours that end at instants, of twelve moments each."""
    offsets = np.arange(2.5, 60.0, 5.0) - 60.0
    moments = (ends.to_numpy()[:, None] + (offsets * 60).astype("timedelta64[s]")).ravel()
    return light(pd.DatetimeIndex(moments)).reshape(-1, offsets.size).mean(axis=1)


def air(times: Times, zone_h: float) -> np.ndarray:
    """Return 5 degC at 03:00 and 15 degC at 15:00 standard time."""
    hours = (times.hour + times.minute / 60.0 + zone_h).to_numpy() % 24
    return 10.0 + 5.0 * np.cos(2 * np.pi * (hours - 15.0) / 24.0)


def hours(first: date, days: int) -> Times:
    """Return the full hours that end the hours of some days, without a zone."""
    return pd.date_range(first, periods=days * 24, freq="h") + pd.Timedelta(hours=1)


def epw(place: Place, first: date, days: int, light: Light, *, tenths: object = 99,
        kind: str = "invented", pvgis_offset_h: float | None = None) -> str:  # fmt: skip
    """Return an EPW file; with an offset, one as PVGIS writes it: in UTC whatever its zone says."""
    ends = hours(first, days)
    utc = ends - pd.Timedelta(hours=0.0 if pvgis_offset_h is not None else place.zone_h)
    comment = "COMMENTS 2,none"
    if pvgis_offset_h is None:
        ghi = hourly_means(light, utc)
    else:
        comment = f"COMMENTS 2,Irradiance Time Offset (h):{pvgis_offset_h}"
        ghi = light(utc + pd.Timedelta(hours=pvgis_offset_h))
    head = [
        f"LOCATION,Nowhere,-,XXX,{kind},000000,{place.latitude},{place.longitude},"
        f"{place.zone_h},{place.elevation}",
        "DESIGN CONDITIONS,0", "TYPICAL/EXTREME PERIODS,0", "GROUND TEMPERATURES,0",
        "HOLIDAYS/DAYLIGHT SAVING,No,0,0,0", "COMMENTS 1,none", comment,
        "DATA PERIODS,1,1,Data,Sunday,1/1,12/31",
    ]  # fmt: skip
    degrees = air(utc, place.zone_h)
    rows = []
    for at, (end, watts) in enumerate(zip(ends, ghi, strict=True)):
        day = end - pd.Timedelta(hours=1)
        rows.append(
            f"{day.year},{day.month},{day.day},{day.hour + 1},0,?9?9,{degrees[at]:.2f},0,50,95000,"
            f"9999,9999,9999,{watts:.2f},9999,9999,999999,999999,999999,9999,999,9,{tenths},99,"
            "9999,99999,9,999999999,999,.999,999,99,999,999,99"
        )
    return "\n".join([*head, *rows]) + "\n"


def tmy3(place: Place, first: date, days: int, light: Light, years: Callable[[int], int],
         tenths: int = 5) -> str:  # fmt: skip
    """Return a TMY3 file whose months come from the years that ``years`` names."""
    ends = hours(first, days)
    utc = ends - pd.Timedelta(hours=place.zone_h)
    ghi, degrees = hourly_means(light, utc), air(utc, place.zone_h)
    rows = []
    for at, end in enumerate(ends):
        day = end - pd.Timedelta(hours=1)
        stamp = f"{day.month:02}/{day.day:02}/{years(day.month)},{day.hour + 1:02}:00"
        rows.append(f"{stamp},9999,{ghi[at]:.2f},{tenths},{degrees[at]:.1f}")
    head = (
        f'000001,"NOWHERE FIELD",XX,{place.zone_h},{place.latitude},{place.longitude},'
        f"{place.elevation}\nDate (MM/DD/YYYY),Time (HH:MM),ETR (W/m^2),GHI (W/m^2),"
        "TotCld (tenths),Dry-bulb (C)"
    )
    return "\n".join([head, *rows]) + "\n"


def tmy2(place: Place, days: int, light: Light, city: str) -> str:
    """Return the first January days of a TMY2 file, with another place and other light in it."""
    lines = TMY2_FILE.read_text(encoding="ascii").split("\n")[1 : 1 + 24 * days]
    utc = hours(date(1962, 1, 1), days) - pd.Timedelta(hours=place.zone_h)
    ghi = hourly_means(light, utc)
    (lat, lat_min), (lon, lon_min) = (
        divmod(round(abs(angle) * 60), 60) for angle in (place.latitude, place.longitude)
    )
    north, east = "NS"[place.latitude < 0], "EW"[place.longitude < 0]
    head = (
        f" 12345 {city:<22} XX {round(place.zone_h):>3} {north} {lat:2} {lat_min:2} {east}"
        f" {lon:3} {lon_min:2} {round(place.elevation):5}"
    )
    rows = [
        f"{line[:17]}{round(watts):4d}{line[21:]}" for line, watts in zip(lines, ghi, strict=True)
    ]
    return "\n".join([head, *rows]) + "\n"


MONTHS_OF_YEARS = (2018, 2007, 2009, 2013, 2008, 2006, 2011, 2010, 2020, 2006, 2007, 2016)


def _typical_hours() -> tuple[Times, list[str]]:
    times = pd.date_range("2001-01-01", periods=8760, freq="h")
    stamps = [f"{MONTHS_OF_YEARS[at.month - 1]}{at:%m%d:%H%M}" for at in times]
    return times, stamps


def pvgis_tmy_csv(place: Place, light: Light, offset_h: float = 0.25) -> str:
    """Return a typical year of PVGIS as CSV."""
    times, stamps = _typical_hours()
    ghi, degrees = light(times + pd.Timedelta(hours=offset_h)), air(times, place.zone_h)
    head = [
        f"Latitude (decimal degrees): {place.latitude}",
        f"Longitude (decimal degrees): {place.longitude}", f"Elevation (m): {place.elevation}",
        f"Irradiance Time Offset (h): {offset_h}", "month,year",
        *(f"{month},{year}" for month, year in enumerate(MONTHS_OF_YEARS, 1)),
        "time(UTC),T2m,RH,G(h),Gb(n),Gd(h),IR(h),WS10m,WD10m,SP",
    ]  # fmt: skip
    rows = [
        f"{stamp},{degrees[at]:.2f},50,{ghi[at]:.2f},0,0,300,1,180,95000"
        for at, stamp in enumerate(stamps)
    ]
    return "\r\n".join([*head, *rows, "T2m: air temperature"]) + "\r\n"


def pvgis_tmy_json(place: Place, light: Light, offset_h: float = 0.25) -> str:
    """Return a typical year of PVGIS as JSON."""
    times, stamps = _typical_hours()
    ghi, degrees = light(times + pd.Timedelta(hours=offset_h)), air(times, place.zone_h)
    found = [
        {"time(UTC)": stamp, "T2m": round(degrees[at], 2), "G(h)": round(ghi[at], 2)}
        for at, stamp in enumerate(stamps)
    ]
    location = _location(place) | {"irradiance_time_offset": offset_h}
    return json.dumps(
        {
            "inputs": {"location": location, "meteo_data": {"radiation_db": "INVENTED-SAT"}},
            "outputs": {"months_selected": [], "tmy_hourly": found},
            "meta": {"inputs": {}},
        }
    )


def _location(place: Place) -> dict[str, float]:
    return {
        "latitude": place.latitude, "longitude": place.longitude, "elevation": place.elevation,
    }  # fmt: skip


def _pvgis_hours(first: date, days: int, minute: int) -> Times:
    return pd.date_range(first, periods=24 * days, freq="h") + pd.Timedelta(minutes=minute)


def pvgis_hourly_csv(place: Place, first: date, days: int, light: Light, *, minute: int = 10,
                     slope: int = 0) -> str:  # fmt: skip
    """Return hours of PVGIS as CSV, light in three parts."""
    times = _pvgis_hours(first, days, minute)
    ghi, degrees = light(times), air(times, place.zone_h)
    head = [
        f"Latitude (decimal degrees):\t{place.latitude}",
        f"Longitude (decimal degrees):\t{place.longitude}", f"Elevation (m):\t{place.elevation}",
        "Radiation database:\tINVENTED-SAT", "", "", f"Slope: {slope} deg. ", "Azimuth: 0 deg. ",
        "time,Gb(i),Gd(i),Gr(i),H_sun,T2m,WS10m,Int",
    ]  # fmt: skip
    rows = [
        f"{at:%Y%m%d:%H%M},{watts * 0.6:.3f},{watts * 0.4:.3f},0.0,0.0,{degree:.2f},1.0,0.0"
        for at, watts, degree in zip(times, ghi, degrees, strict=True)
    ]
    return "\r\n".join([*head, *rows, "", "T2m: air temperature"]) + "\r\n"


def pvgis_hourly_json(place: Place, first: date, days: int, light: Light) -> str:
    """Return hours of PVGIS as JSON, light as one number."""
    times = _pvgis_hours(first, days, 10)
    ghi, degrees = light(times), air(times, place.zone_h)
    found = [
        {"time": f"{at:%Y%m%d:%H%M}", "G(i)": round(watts, 3), "H_sun": 0.0,
         "T2m": round(degree, 2), "Int": 0.0}
        for at, watts, degree in zip(times, ghi, degrees, strict=True)
    ]  # fmt: skip
    inputs = {
        "location": _location(place),
        "meteo_data": {"radiation_db": "INVENTED-SAT"},
        "mounting_system": {"fixed": {"slope": {"value": 0, "optimal": False}}},
    }
    return json.dumps({"inputs": inputs, "outputs": {"hourly": found}, "meta": {"inputs": {}}})


def nsrdb(place: Place, first: date, days: int, light: Light, *, step_min: int = 60,
          older: bool = False) -> str:  # fmt: skip
    """Return NSRDB rows, of the older release or the present one, in the place's zone."""
    phase = 30 if step_min == 60 else 0
    times = pd.date_range(first, periods=days * 1440 // step_min, freq=f"{step_min}min")
    times = times + pd.Timedelta(minutes=phase)
    utc = times - pd.Timedelta(hours=place.zone_h)
    ghi, degrees = light(utc), air(utc, place.zone_h)
    version = "v2.0.1" if older else "v4.0.0"
    names = "Source,Location ID,City,State,Country,Latitude,Longitude,Time Zone,Elevation"
    names += ",Local Time Zone,Version"
    values = (
        f"NSRDB,1,-,-,-,{place.latitude},{place.longitude},{place.zone_h:g},"
        f"{place.elevation:g},{place.zone_h:g},{version}"
    )
    columns = "Year,Month,Day,Hour,Minute,GHI,DHI,DNI,"
    columns += "Wind Speed,Temperature" if older else "Temperature,Cloud Type,Fill Flag"
    rows = [
        f"{at.year},{at.month},{at.day},{at.hour},{at.minute},{watts:.2f},0,0,"
        + (f"1.0,{degree:.1f}" if older else f"{degree:.1f},0,0")
        for at, watts, degree in zip(times, ghi, degrees, strict=True)
    ]
    return "\n".join([names, values, columns, *rows]) + "\n"


def bsrn(place: Place, first: date, days: int, light: Light,
         gap: Callable[[pd.Timestamp], bool] = lambda _: False) -> str:  # fmt: skip
    """Return minutes of a BSRN station; light in a gap is missing."""
    times = pd.date_range(first, periods=1440 * days, freq="min")
    ghi = light(times + pd.Timedelta(seconds=30))
    degrees = air(times, place.zone_h)
    head = [
        "*C0001", f" 99 {first.month:2d} {first.year}  1", "*U0002", " -1 -1 -1", "*U0004",
        " -1 -1 -1", "  1  1", "Nowhere", f"{'':20}{'':20}", f"{'':15}{'':50}",
        f"{place.latitude + 90:7.3f} {place.longitude + 180:7.3f} {place.elevation:4.0f} -1",
        " -1 -1 -1", "   0  0 180  0", "*C0100",
    ]  # fmt: skip
    rows = []
    for at, watts, degree in zip(times, ghi, degrees, strict=True):
        shown = -999.0 if gap(at) else round(float(watts))
        minute = at.hour * 60 + at.minute
        rows.append(
            f"{at.day:3d} {minute:5d} {shown:6.0f}{1.0:6.1f}{0:5d}{0:5d}{-999:7.0f}{-99.9:6.1f}"
            f"{-999:5d}{-999:5d}"
        )
        rows.append(
            f"{'':10}{-999:6.0f}{-99.9:6.1f}{-999:5d}{-999:5d}{-999:7.0f}{-99.9:6.1f}{-999:5d}"
            f"{-999:5d}{degree:9.1f}{50.0:6.1f}{950:5d}"
        )
    return "\n".join([*head, *rows]) + "\n"


def surfrad(place: Place, day: date, light: Light, bad: frozenset[int] = frozenset()) -> str:
    """Return one day, in universal time, of a SURFRAD station; its longitude counts west."""
    times = pd.date_range(day, periods=1440, freq="min")
    ghi, degrees = light(times - pd.Timedelta(seconds=30)), air(times, place.zone_h)
    rows = []
    for minute, at in enumerate(times):
        light_now = f"{9000.0 if minute in bad else ghi[minute]:8.1f} {int(minute in bad)}"
        head = (
            f" {at.year} {at.day_of_year:3d} {at.month:2d} {at.day:2d} {at.hour:2d} {at.minute:2d}"
        )
        others = " -9999.9 1" * 14
        rows.append(
            f"{head} {minute / 60:6.3f}  90.00 {light_now}{others}"
            f" {degrees[minute]:8.1f} 0{' -9999.9 1' * 4}"
        )
    at = f"   {place.latitude:.2f}  {-place.longitude:.2f} {place.elevation:.0f} m version 1"
    return "\n".join([" Nowhere", at, *rows]) + "\n"
