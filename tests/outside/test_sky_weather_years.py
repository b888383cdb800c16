"""Clear sky and words for a day, against two typical weather years.

The radiation in those files is itself mostly modelled from the same clouds, so this is a band of
plausibility. The table of words was not fitted on these two files alone; a place may differ from it
by what is stated between places.
"""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

import numpy as np
import pandas as pd
import pvlib
import pytest

from model.sky.clear_sky import clear_light
from model.sky.cloud_words import cover_class
from model.sky.sun_position import Spot
from model.sky.timeline import Timeline

# Typical meteorological years (TMY3) of the US National Renewable Energy Laboratory: Sand Point,
# Alaska, and Greensboro, North Carolina, as the solar library ships them.
YEARS = {"703165TY.csv": (55.317, -160.517, 7.0, -9), "723170TYA.CSV": (36.1, -79.95, 270.0, -5)}


def weather_year(name):
    path = Path(pvlib.__file__).parent / "data" / name
    return pd.read_csv(path, skiprows=1)


def clear_light_of_year(name):
    """Global light of the clear sky for each hour of the file. [W/m2]"""
    latitude, longitude, elevation, utc_offset = YEARS[name]
    # Each line of a file is the hour that ends at its stamp, in standard time.
    clock = Timeline(datetime(2001, 1, 1, -utc_offset, tzinfo=UTC), 365, 60.0)
    return clear_light(Spot(latitude, longitude, elevation), clock)[0]


@pytest.mark.parametrize("name", list(YEARS))
def test_year_of_global_light_by_the_mean_cover_of_days(name):
    year = weather_year(name)
    clear = clear_light_of_year(name).reshape(-1, 24)
    cover = year["TotCld (tenths)"].to_numpy(dtype=float).reshape(-1, 24) * 0.8
    lit = clear > 1.0
    mean_cover = (cover * lit).sum(axis=1) / np.maximum(lit.sum(axis=1), 1)
    index = np.array([cover_class(okta).index for okta in mean_cover])
    promised = (index[:, None] * clear).sum()
    found = year["GHI (W/m^2)"].sum()
    # One shared draw between places: two standard deviations of the mean of the classes.
    between = np.mean([cover_class(okta).sd_between for okta in mean_cover])
    assert promised / found == pytest.approx(1.0, abs=2 * between / index.mean())


@pytest.mark.parametrize("name", list(YEARS))
def test_cloudless_hours(name):
    year = weather_year(name)
    cloudless = (year["TotCld (tenths)"] == 0).to_numpy()
    clear = clear_light_of_year(name)
    bright = cloudless & (clear > 300.0)
    assert np.count_nonzero(bright) > 30
    ratio = year["GHI (W/m^2)"].to_numpy(dtype=float)[bright] / clear[bright]
    assert ratio.mean() == pytest.approx(1.0, abs=0.1)
