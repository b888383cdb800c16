"""Clear sky and cloud formula, hour by hour, against two typical weather years.

The radiation in those files is itself mostly modelled from the same clouds, so this is a band of
plausibility: the okta formula can promise some 10 % on a year.
"""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

import numpy as np
import pandas as pd
import pvlib
import pytest

from model.sky import irradiance as sun
from model.sky.sun_position import Spot, position_at
from model.sky.timeline import Timeline

# Typical meteorological years (TMY3) of the US National Renewable Energy Laboratory: Sand Point,
# Alaska, and Greensboro, North Carolina, as the solar library ships them.
YEARS = {"703165TY.csv": (55.317, -160.517, 7.0, -9), "723170TYA.CSV": (36.1, -79.95, 270.0, -5)}


def weather_year(name):
    path = Path(pvlib.__file__).parent / "data" / name
    return pd.read_csv(path, skiprows=1)


def light_of_year(name, cover_okta):
    """Global light by the model for each hour of the file, clear and under the given clouds."""
    latitude, longitude, elevation, utc_offset = YEARS[name]
    spot = Spot(latitude, longitude, elevation)
    # Each line of a file is the hour that ends at its stamp, in standard time.
    clock = Timeline(datetime(2001, 1, 1, -utc_offset, tzinfo=UTC), 365, 60.0)
    clear = sun._sky(spot, clock, (0.0,))
    up = position_at(spot, clock).apparent_elevation_deg > 0.0
    zenith = 90.0 - position_at(spot, clock).apparent_elevation_deg[up]
    day_of_year = clock.middles_utc().day_of_year.to_numpy()[up]
    light = sun._Light(clear.ghi_w_m2[up], clear.dni_w_m2[up], clear.dhi_w_m2[up])
    clouded = np.zeros(clock.steps)
    clouded[up] = sun._clouded(light, zenith, day_of_year, cover_okta[up]).ghi_w_m2
    return clear.ghi_w_m2, clouded


@pytest.mark.parametrize("name", list(YEARS))
def test_year_of_global_light(name):
    year = weather_year(name)
    opaque_okta = year["OpqCld (tenths)"].to_numpy(dtype=float) * 0.8
    _, clouded = light_of_year(name, opaque_okta)
    assert clouded.sum() == pytest.approx(year["GHI (W/m^2)"].sum(), rel=0.1)


@pytest.mark.parametrize("name", list(YEARS))
def test_cloudless_hours(name):
    year = weather_year(name)
    cloudless = (year["TotCld (tenths)"] == 0).to_numpy()
    clear, _ = light_of_year(name, np.zeros(cloudless.size))
    bright = cloudless & (clear > 300.0)
    assert np.count_nonzero(bright) > 30
    ratio = year["GHI (W/m^2)"].to_numpy(dtype=float)[bright] / clear[bright]
    assert ratio.mean() == pytest.approx(1.0, abs=0.1)
