"""The weather years that the solar library installs, as days beside the cloudless light there.

Two typical meteorological years of the US National Renewable Energy Laboratory in their third
edition (TMY3; S. Wilcox, W. Marion, Users Manual for TMY3 Data Sets, NREL/TP-581-43156, 2008) and
one in the second (TMY2). Their radiation is mostly modelled from the same clouds, and a typical
year is spliced of twelve ordinary months.
"""

from __future__ import annotations

import warnings
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import numpy as np
import pandas as pd
import pvlib

from model.sky.monthly_nodes import MONTH_OF_DAY

PLACES = ("Sand Point", "Greensboro", "Miami")
_FILES = {"Sand Point": "703165TY.csv", "Greensboro": "723170TYA.CSV", "Miami": "12839.tm2"}
_STEP_MIN = 10


@dataclass(frozen=True, eq=False)
class WeatherYear:
    """One file; arrays of 365 days. Cover is the mean of the lit hours in eighths."""

    latitude_deg: float
    outside_wh_m2: np.ndarray
    clear_wh_m2: np.ndarray
    light_wh_m2: np.ndarray
    low_c: np.ndarray
    high_c: np.ndarray
    cover_okta: np.ndarray

    @property
    def index(self) -> np.ndarray:
        return self.light_wh_m2 / self.clear_wh_m2

    @property
    def monthly_clearness(self) -> np.ndarray:
        return by_month(np.sum, self.light_wh_m2) / by_month(np.sum, self.outside_wh_m2)

    @property
    def monthly_clearness_sd(self) -> np.ndarray:
        return by_month(np.std, self.light_wh_m2 / self.outside_wh_m2)


def by_month(what, daily):
    """One number for each month of 365 days."""
    return np.array([what(daily[month == MONTH_OF_DAY]) for month in range(12)])


@cache
def weather_year(name: str) -> WeatherYear:
    path = Path(pvlib.__file__).parent / "data" / _FILES[name]
    if path.suffix == ".tm2":
        hours, about = pvlib.iotools.read_tmy2(path)
        light, air, cover = hours["GHI"], hours["DryBulb"] / 10.0, hours["TotCld"]
        # Whole degrees or tenths by edition of the reader: no place on earth has 100 degC.
        air = hours["DryBulb"] if hours["DryBulb"].max() < 100.0 else air
    else:
        hours, about = pvlib.iotools.read_tmy3(path, coerce_year=1990, map_variables=True)
        light, air, cover = hours["ghi"], hours["temp_air"], hours["TotCld (tenths)"]
    spot = pvlib.location.Location(
        about["latitude"], about["longitude"], "UTC", max(about["altitude"], 0.0)
    )
    outside, clear, lit = _cloudless(spot, about["TZ"])
    tenths = cover.to_numpy(float).reshape(365, 24)
    return WeatherYear(
        latitude_deg=about["latitude"],
        outside_wh_m2=outside,
        clear_wh_m2=clear,
        light_wh_m2=light.to_numpy(float).reshape(365, 24).sum(axis=1),
        low_c=air.to_numpy(float).reshape(365, 24).min(axis=1),
        high_c=air.to_numpy(float).reshape(365, 24).max(axis=1),
        cover_okta=0.8 * (tenths * lit).sum(axis=1) / lit.sum(axis=1),
    )


def rain_hours() -> np.ndarray:
    """Lit hours of each day with rain in the gauge at Greensboro, the one file that holds it."""
    path = Path(pvlib.__file__).parent / "data" / _FILES["Greensboro"]
    hours, about = pvlib.iotools.read_tmy3(path, coerce_year=1990, map_variables=True)
    spot = pvlib.location.Location(about["latitude"], about["longitude"], "UTC")
    _, _, lit = _cloudless(spot, about["TZ"])
    wet = (hours["Lprecip depth (mm)"] > 0.0).to_numpy().reshape(365, 24)
    return (wet * lit).sum(axis=1)


def _cloudless(spot, utc_offset_h):
    """Light outside the atmosphere and under a cloudless sky, and the lit share of each hour."""
    times = pd.date_range("1990-01-01", periods=365 * 144, freq=f"{_STEP_MIN}min", tz="UTC")
    times += pd.Timedelta(minutes=_STEP_MIN / 2) - pd.Timedelta(hours=utc_offset_h)
    with warnings.catch_warnings():
        # The library asks pandas for a name that pandas is about to drop.
        warnings.simplefilter("ignore", DeprecationWarning)
        warnings.simplefilter("ignore", FutureWarning)
        zenith = spot.get_solarposition(times)["zenith"].to_numpy()
        clear = spot.get_clearsky(times)["ghi"].to_numpy()
    level = np.maximum(np.cos(np.radians(zenith)), 0.0)
    outside = np.asarray(pvlib.irradiance.get_extra_radiation(times.day_of_year)) * level
    steps_an_hour = 60 // _STEP_MIN
    lit = (zenith < 90.0).reshape(365, 24, steps_an_hour).mean(axis=2)
    return (
        outside.reshape(365, -1).sum(axis=1) / steps_an_hour,
        clear.reshape(365, -1).sum(axis=1) / steps_an_hour,
        lit,
    )
