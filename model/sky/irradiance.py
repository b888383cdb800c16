"""Where the sun stands, what light it gives, and what of it reaches the panel.

With the position of the sun beside it, all that knows the solar library.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, timedelta
from functools import lru_cache
from typing import Literal, NamedTuple

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from model.scenario.declare import MINUTES_A_DAY
from model.scenario.part import Shade
from model.scenario.scenario import Site
from model.scenario.station import Panel
from model.sky.horizon import HorizonPoints, horizon_height_deg, visible_sky_share
from model.sky.panel_orientation import (
    cut_long_spans,
    facing_sun,
    local_midnights,
    spans_above,
    stretches_of,
)
from model.sky.shade import beam_left
from model.sky.sun_position import Spot, SunPosition, position_at, search_position, spot_of
from model.sky.sun_times import RISE_DEG
from model.sky.timeline import Floats, Timeline, timeline
from model.sky.trip import Stretch, Trip
from model.sky.weather import air_c, index_per_step
from model.support.cache import kept_within, read_only
from model.support.progress import Search

# Higher up, from about 4200 m, the altitude terms of the clear-sky model would give more light
# than falls on the atmosphere.
CLEAR_SKY_CEILING_M = 3000.0
AIMING_STEP_MIN = 10.0
AIMING_MARGIN_DAYS = 2


class Mount(NamedTuple):
    """How a panel stands; numbers that its kind does not use are zero."""

    kind: Literal["flat", "fixed", "re-aimed"]
    tilt_deg: float
    azimuth_deg: float
    re_aim_hours: float
    shade: Shade = ()


@dataclass(frozen=True)
class Sky:
    """Light at the middle of each step; all arrays read-only, shape (steps,). [W/m2]

    Attributes
    ----------
    ghi_w_m2, dni_w_m2, dhi_w_m2 : on the level, square to the sun, and diffuse, as the sky lets it.
    clear_ghi_w_m2, clear_dni_w_m2, clear_dhi_w_m2 : the same without a cloud.
    extraterrestrial_w_m2 : square to the sun above the atmosphere.
    """

    ghi_w_m2: Floats
    dni_w_m2: Floats
    dhi_w_m2: Floats
    clear_ghi_w_m2: Floats
    clear_dni_w_m2: Floats
    clear_dhi_w_m2: Floats
    extraterrestrial_w_m2: Floats


@dataclass(frozen=True)
class PanelLight:
    """What reaches a panel in each step; all arrays read-only, shape (steps,).

    Attributes
    ----------
    irradiance_w_m2 : light that enters the cells, after the incidence loss [W/m2].
    plane_w_m2 : light that falls on the panel's plane, as a meter there would read it [W/m2].
    cell_c : cell temperature [degC].
    """

    irradiance_w_m2: Floats
    plane_w_m2: Floats
    cell_c: Floats


def sun_position(site: Site, trip: Stretch, step_min: float = 1.0) -> SunPosition:
    """Return where the sun stands at the middle of each step."""
    return position_at(spot_of(site), timeline(site, trip, step_min))


def search_sun(site: Site, trip: Stretch, step_min: float = 1.0) -> Search[None]:
    """Work out what `sun_position` will then give at once."""
    return search_position(spot_of(site), timeline(site, trip, step_min))


def sky(site: Site, trip: Trip, step_min: float = 1.0) -> Sky:
    """Return the light of each step under the sky of its local date.

    Clear sky: Ineichen and Perez 2002 with the monthly Linke turbidity of the place; for sites
    above 3000 m its altitude terms stay at 3000 m, as higher up they would exceed the light that
    falls on the atmosphere. The index of the date is the day's global light over that of the clear
    sky; each step's global light is the clear one times it, at most the light above the
    atmosphere. The beam falls in the ratio in which the beam of Erbs, Klein and Duffie 1982 falls
    from the clear to the dimmed global light, and never rises above the clear sky's; what remains
    is diffuse. At index 1 that is the clear sky's own beam and diffuse light.
    """
    return _sky(spot_of(site), timeline(site, trip, step_min), trip.weather.index)


def clear_light(spot: Spot, clock: Timeline) -> tuple[Floats, Floats]:
    """Return the light on the level under the clear sky and above the atmosphere, in each step.

    Both of shape (steps,), at the middles of the steps. [W/m2]
    """
    height = position_at(spot, clock).apparent_elevation_deg
    day_of_year, normal = _normal_light(clock)
    up = height > 0.0
    light = _clear_sky(spot, 90.0 - height[up], normal[up], day_of_year[up])
    return _over_all_steps(light.ghi_w_m2, up), extraterrestrial(spot, clock)[0]


def extraterrestrial(spot: Spot, clock: Timeline) -> tuple[Floats, Floats]:
    """Return the light above the atmosphere on the level and square to the sun, in each step.

    Both of shape (steps,), at the middles of the steps [W/m2]: Spencer 1971 with the solar
    constant of the solar library, on the level by the sun's true height.
    """
    height = position_at(spot, clock).elevation_deg
    _, normal = _normal_light(clock)
    return normal * np.maximum(np.sin(np.radians(height)), 0.0), normal


def panel_light(site: Site, trip: Trip, panel: Panel, step_min: float = 1.0) -> PanelLight:
    """Return the light on the panel and the temperature of its cells in each step.

    Hay and Davies 1980 onto the plane, ground light by the albedo. The horizon takes the beam and
    the circumsolar light while the sun is behind it (then the ground nearby lies in shade too),
    and its share of the uniform sky light. Shade takes its share of beam and circumsolar light
    alone. Incidence loss: one sheet of glass (De Soto, Klein and
    Beckman 2006), for sky and ground light at the equivalent angles of Brandemuehl and Beckman
    1980. Cell temperature: Faiman 2008 with 25 and 6.84.
    """
    return _panel_light(site, trip, _mount(panel), step_min)


def panel_cell_c(plane_w_m2: Floats, air: Floats, wind_m_s: float) -> Floats:
    """Return the temperature of a panel's cells by Faiman 2008, of the shape of its light. [degC]

    Parameters
    ----------
    plane_w_m2 : light that falls on the plane [W/m2].
    air : temperature of the air [degC].
    wind_m_s : wind at the panel [m/s].
    """
    from pvlib import temperature

    return np.asarray(temperature.faiman(plane_w_m2, air, wind_m_s), dtype=np.float64)


def panel_facing(
    site: Site, trip: Stretch, panel: Panel, step_min: float = 1.0
) -> tuple[Floats, Floats]:
    """Return tilt and true bearing in each step, flat in the dark, shape (steps,). [deg]"""
    return _facing(spot_of(site), timeline(site, trip, step_min), site.timezone, _mount(panel))


def _mount(panel: Panel) -> Mount:
    if panel.mount == "re-aimed":
        return Mount("re-aimed", 0.0, 0.0, panel.re_aim_hours, panel.shade)
    if panel.mount == "fixed":
        return Mount("fixed", panel.tilt_deg, panel.azimuth_deg, 0.0, panel.shade)
    return Mount("flat", 0.0, 0.0, 0.0, panel.shade)


@kept_within(8_000_000)
def _sky(spot: Spot, clock: Timeline, index: tuple[float, ...]) -> Sky:
    position = position_at(spot, clock)
    day_of_year, normal = _normal_light(clock)
    up = position.apparent_elevation_deg > 0.0
    zenith = 90.0 - position.apparent_elevation_deg[up]
    clear = _clear_sky(spot, zenith, normal[up], day_of_year[up])
    dimmed = _dimmed(clear, zenith, normal[up], day_of_year[up], index_per_step(index, clock)[up])
    return Sky(
        ghi_w_m2=_over_all_steps(dimmed.ghi_w_m2, up),
        dni_w_m2=_over_all_steps(dimmed.dni_w_m2, up),
        dhi_w_m2=_over_all_steps(dimmed.dhi_w_m2, up),
        clear_ghi_w_m2=_over_all_steps(clear.ghi_w_m2, up),
        clear_dni_w_m2=_over_all_steps(clear.dni_w_m2, up),
        clear_dhi_w_m2=_over_all_steps(clear.dhi_w_m2, up),
        extraterrestrial_w_m2=read_only(normal),
    )


def _normal_light(clock: Timeline) -> tuple[NDArray[np.int64], Floats]:
    """Return the day of the year and the light square to the sun above the air in each step."""
    from pvlib import irradiance

    day_of_year = clock.middles_utc().day_of_year.to_numpy()
    return day_of_year, np.asarray(irradiance.get_extra_radiation(day_of_year), dtype=np.float64)


def _over_all_steps(lit: Floats, up: NDArray[np.bool_]) -> Floats:
    whole = np.zeros(up.size)
    whole[up] = lit
    return read_only(whole)


class _Light(NamedTuple):
    ghi_w_m2: Floats
    dni_w_m2: Floats
    dhi_w_m2: Floats


def _clear_sky(
    spot: Spot, zenith_deg: Floats, extraterrestrial: Floats, day_of_year: NDArray[np.int64]
) -> _Light:
    from pvlib import atmosphere, clearsky

    altitude = min(spot.elevation_m, CLEAR_SKY_CEILING_M)
    air_mass = atmosphere.get_absolute_airmass(
        atmosphere.get_relative_airmass(zenith_deg), atmosphere.alt2pres(altitude)
    )
    monthly = _monthly_turbidity(spot.latitude_deg, spot.longitude_deg)
    turbidity = np.interp(day_of_year, _MIDDLES_OF_MONTHS, monthly)
    found = clearsky.ineichen(
        zenith_deg, air_mass, turbidity, altitude=altitude, dni_extra=extraterrestrial
    )
    return _Light(found["ghi"], found["dni"], found["dhi"])


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


def _dimmed(
    clear: _Light,
    zenith_deg: Floats,
    extraterrestrial: Floats,
    day_of_year: NDArray[np.int64],
    index: Floats,
) -> _Light:
    level = np.cos(np.radians(zenith_deg))
    most = np.maximum(extraterrestrial * level, clear.ghi_w_m2)
    ghi = np.minimum(clear.ghi_w_m2 * index, most)
    beam = _erbs_beam(ghi, zenith_deg, day_of_year)
    clear_beam = _erbs_beam(clear.ghi_w_m2, zenith_deg, day_of_year)
    ratio = np.divide(beam, clear_beam, out=np.zeros_like(beam), where=clear_beam > 0.0)
    is_clear = index == 1.0
    dni = clear.dni_w_m2 * np.where(is_clear, 1.0, np.minimum(ratio, 1.0))
    dhi = np.maximum(ghi - dni * level, 0.0)
    return _Light(ghi, dni, np.where(is_clear, clear.dhi_w_m2, dhi))


def _erbs_beam(ghi: Floats, zenith_deg: Floats, day_of_year: NDArray[np.int64]) -> Floats:
    from pvlib import irradiance

    # Beam on the level. The library would leave out the last 3 deg above the horizon, which would
    # take a low sun's beam away at the first shade of cloud.
    diffuse: Floats = irradiance.erbs(ghi, zenith_deg, day_of_year, max_zenith=90.0)["dhi"]
    return ghi - diffuse


@kept_within(4_000_000)
def _panel_light(site: Site, trip: Trip, mount: Mount, step_min: float) -> PanelLight:
    clock = timeline(site, trip, step_min)
    usable, plane = _plane_light(
        spot_of(site), clock, site.timezone, site.albedo, site.horizon, trip.weather.index, mount
    )
    cell = panel_cell_c(plane, air_c(site, trip, step_min), trip.weather.wind_m_s)
    return PanelLight(usable, plane, read_only(cell))


@kept_within(4_000_000)
def _plane_light(
    spot: Spot,
    clock: Timeline,
    timezone: str,
    albedo: float,
    horizon: HorizonPoints,
    index: tuple[float, ...],
    mount: Mount,
) -> tuple[Floats, Floats]:
    """Return the light that enters the cells and the light on the plane. [W/m2]"""
    from pvlib import irradiance

    position, light = position_at(spot, clock), _sky(spot, clock, index)
    height, bearing = position.apparent_elevation_deg, position.azimuth_deg
    tilt, azimuth = _facing(spot, clock, timezone, mount)
    zenith = 90.0 - height
    sun_seen = (height > 0.0) & (height >= horizon_height_deg(horizon, bearing))
    diffuse = irradiance.haydavies(
        tilt, azimuth, light.dhi_w_m2, light.dni_w_m2, light.extraterrestrial_w_m2,
        zenith, bearing, return_components=True,
    )  # fmt: skip
    incidence = irradiance.aoi(tilt, azimuth, zenith, bearing)
    direct = light.dni_w_m2 * np.maximum(np.cos(np.radians(incidence)), 0.0)
    direct = np.where(sun_seen, direct + diffuse["poa_circumsolar"], 0.0)
    direct = direct * beam_left(mount.shade, clock)
    uniform = diffuse["poa_isotropic"] * visible_sky_share(horizon, tilt, azimuth)
    shaded = light.dhi_w_m2 * (1.0 - light.dni_w_m2 / light.extraterrestrial_w_m2)
    on_ground = np.where(sun_seen, light.ghi_w_m2, shaded)
    ground = irradiance.get_ground_diffuse(tilt, on_ground, albedo)
    through_glass = _through_glass(tilt, incidence, direct, uniform, ground)
    return read_only(through_glass), read_only(direct + uniform + ground)


def _through_glass(
    tilt: Floats, incidence: Floats, direct: Floats, uniform: Floats, ground: Floats
) -> Floats:
    from pvlib import iam

    sky_angle = 59.7 - 0.1388 * tilt + 0.001497 * tilt**2
    ground_angle = 90.0 - 0.5788 * tilt + 0.002693 * tilt**2
    parts = ((incidence, direct), (sky_angle, uniform), (ground_angle, ground))
    entered: Floats = sum((light * iam.physical(angle) for angle, light in parts), np.zeros(1))
    return entered


def _facing(spot: Spot, clock: Timeline, timezone: str, mount: Mount) -> tuple[Floats, Floats]:
    """Return tilt and azimuth of the panel in each step; it lies flat while the sun is down."""
    if mount.kind != "re-aimed":
        return np.full(clock.steps, mount.tilt_deg), np.full(clock.steps, mount.azimuth_deg)
    first = clock.start.astimezone(UTC) - timedelta(days=AIMING_MARGIN_DAYS)
    wide = Timeline(first, clock.days + 2 * AIMING_MARGIN_DAYS, AIMING_STEP_MIN)
    track = position_at(spot, wide)
    minutes = wide.middles_min() - AIMING_MARGIN_DAYS * MINUTES_A_DAY
    daylight = spans_above(minutes, track.elevation_deg, RISE_DEG)
    # Where the sun stays up for a day and more, a local day takes the place of rise and set.
    pieces = cut_long_spans(daylight, local_midnights(clock, timezone, AIMING_MARGIN_DAYS))
    stretches = stretches_of(pieces, 60.0 * mount.re_aim_hours)
    return facing_sun(
        clock.middles_min(), stretches, minutes, track.apparent_elevation_deg, track.azimuth_deg
    )
