"""The light of a cloudless sky, and that above the atmosphere."""

from __future__ import annotations

from functools import lru_cache
from typing import NamedTuple

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from model.sky.sun_position import Spot, position_at
from model.sky.timeline import Floats, Timeline
from model.support.cache import read_only

# Higher up, from about 4200 m, the altitude terms of the clear-sky model would give more light
# than falls on the atmosphere.
CLEAR_SKY_CEILING_M = 3000.0


def clear_light(spot: Spot, clock: Timeline) -> tuple[Floats, Floats]:
    """Return the light on the level under the clear sky and above the atmosphere, in each step.

    Parameters
    ----------
    spot : the place.
    clock : of the run.

    Returns
    -------
    Clear-sky light and extraterrestrial light on the level, at the middles of the steps, shape
    (steps,) each [W/m2].
    """
    height = position_at(spot, clock).apparent_elevation_deg
    day_of_year, normal = normal_light(clock)
    up = height > 0.0
    light = cloudless(spot, 90.0 - height[up], normal[up], day_of_year[up])
    return over_all_steps(light.ghi_w_m2, up), extraterrestrial(spot, clock)[0]


def extraterrestrial(spot: Spot, clock: Timeline) -> tuple[Floats, Floats]:
    """Return the light above the atmosphere on the level and square to the sun, in each step.

    Spencer 1971 with the solar constant of the solar library, on the level by the sun's true
    height.

    Parameters
    ----------
    spot : the place.
    clock : of the run.

    Returns
    -------
    Light on the level and square to the sun, at the middles of the steps, shape (steps,) each
    [W/m2].

    References
    ----------
    J. W. Spencer, "Fourier series representation of the position of the sun", Search 2 (1971) 172.
    """
    height = position_at(spot, clock).elevation_deg
    _, normal = normal_light(clock)
    return normal * np.maximum(np.sin(np.radians(height)), 0.0), normal


def normal_light(clock: Timeline) -> tuple[NDArray[np.int64], Floats]:
    """Return the day of the year and the light square to the sun above the atmosphere in each step.

    Parameters
    ----------
    clock : of the run.

    Returns
    -------
    Day of the year, from 1, and light [W/m2], shape (steps,) each.

    References
    ----------
    As `extraterrestrial`.
    """
    from pvlib import irradiance

    day_of_year = clock.middles_utc().day_of_year.to_numpy()
    return day_of_year, np.asarray(irradiance.get_extra_radiation(day_of_year), dtype=np.float64)


def over_all_steps(lit: Floats, up: NDArray[np.bool_]) -> Floats:
    """Return light of the lit steps among those without any.

    Parameters
    ----------
    lit : light of the steps with the sun up, shape (lit steps,) [W/m2].
    up : in which steps it is, shape (steps,).

    Returns
    -------
    Light, 0 where the sun is down, read-only, shape (steps,) [W/m2].
    """
    whole = np.zeros(up.size)
    whole[up] = lit
    return read_only(whole)


class Light(NamedTuple):
    """Light with the sun up, shape (lit steps,) each.

    Attributes
    ----------
    ghi_w_m2, dni_w_m2, dhi_w_m2 : on the level, square to the sun, and diffuse [W/m2].
    """

    ghi_w_m2: Floats
    dni_w_m2: Floats
    dhi_w_m2: Floats


def cloudless(
    spot: Spot, zenith_deg: Floats, normal_w_m2: Floats, day_of_year: NDArray[np.int64]
) -> Light:
    """Return the light under the clear sky in steps with the sun up.

    Parameters
    ----------
    spot : the place; its monthly Linke turbidity is the solar library's, linear between the middles
        of months.
    zenith_deg : of the sun, with refraction, shape (lit steps,) [deg].
    normal_w_m2 : light square to the sun above the atmosphere, shape (lit steps,) [W/m2].
    day_of_year : from 1, shape (lit steps,).

    Returns
    -------
    Global, direct and diffuse light, shape (lit steps,) each [W/m2].

    References
    ----------
    P. Ineichen, R. Perez, "A new airmass independent formulation for the Linke turbidity
    coefficient", Solar Energy 73 (2002) 151-157.
    """
    from pvlib import atmosphere, clearsky

    altitude = min(spot.elevation_m, CLEAR_SKY_CEILING_M)
    air_mass = atmosphere.get_absolute_airmass(
        atmosphere.get_relative_airmass(zenith_deg), atmosphere.alt2pres(altitude)
    )
    monthly = _monthly_turbidity(spot.latitude_deg, spot.longitude_deg)
    turbidity = np.interp(day_of_year, _MIDDLES_OF_MONTHS, monthly)
    found = clearsky.ineichen(
        zenith_deg, air_mass, turbidity, altitude=altitude, dni_extra=normal_w_m2
    )
    return Light(found["ghi"], found["dni"], found["dhi"])


_DAYS_OF_MONTHS = np.array([31, 31, 28.25, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31, 31])
# December of the year before to January of the year after.
_MIDDLES_OF_MONTHS = np.cumsum(_DAYS_OF_MONTHS) - _DAYS_OF_MONTHS / 2.0 - 31.0


@lru_cache(maxsize=64)
def _monthly_turbidity(latitude_deg: float, longitude_deg: float) -> Floats:
    from pvlib import clearsky

    months = pd.date_range("2025-01-15", periods=12, freq="30D", tz="UTC")
    found = clearsky.lookup_linke_turbidity(
        months, latitude_deg, longitude_deg, interp_turbidity=False
    ).to_numpy()
    return read_only(np.concatenate([found[-1:], found, found[:1]]))
