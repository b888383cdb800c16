"""What light the sky lets through, and what of it reaches the panel."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, timedelta
from typing import Literal, NamedTuple

import numpy as np
from numpy.typing import NDArray

from model.scenario.declare import MINUTES_A_DAY
from model.scenario.part import Shade
from model.scenario.scenario import Site
from model.scenario.station import Panel
from model.sky.clear_sky import Light, cloudless, normal_light, over_all_steps
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

AIMING_STEP_MIN = 10.0
AIMING_MARGIN_DAYS = 2


class Mount(NamedTuple):
    """How a panel stands; numbers that its kind does not use are zero.

    Attributes
    ----------
    kind : lying, standing, or turned to the sun.
    tilt_deg, azimuth_deg : from the level, and true bearing it faces [deg].
    re_aim_hours : from one turn to the next [h].
    shade : stretches of the local clock in which something stands in the light.
    """

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


@dataclass(frozen=True, eq=False)
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
    """Return where the sun stands at the middle of each step.

    Parameters
    ----------
    site : the place.
    trip : date, start hour and days.
    step_min : length of a step [min].

    Returns
    -------
    Elevation and azimuth of each step, shape (steps,) each [deg].
    """
    return position_at(spot_of(site), timeline(site, trip, step_min))


def search_sun(site: Site, trip: Stretch, step_min: float = 1.0) -> Search[None]:
    """Work out what `sun_position` will then give at once.

    Parameters
    ----------
    site : the place.
    trip : date, start hour and days.
    step_min : length of a step [min].
    """
    return search_position(spot_of(site), timeline(site, trip, step_min))


def sky(site: Site, trip: Trip, step_min: float = 1.0) -> Sky:
    """Return the light of each step under the sky of its local date.

    The index of the date is the day's global light over that of the clear sky; each step's global
    light is the clear one times it, at most the light above the atmosphere. The beam falls in the
    ratio in which the beam of Erbs falls from the clear to the dimmed global light, and never rises
    above the clear sky's; what remains is diffuse. At index 1 that is the clear sky's own beam and
    diffuse light. For sites above 3000 m the altitude terms of the clear sky stay at 3000 m, as
    higher up they would exceed the light that falls on the atmosphere.

    Parameters
    ----------
    site : the place; its monthly Linke turbidity is the solar library's.
    trip : its weather gives the index by local date.
    step_min : length of a step [min].

    Returns
    -------
    Global, direct and diffuse light, shape (steps,) each [W/m2].

    References
    ----------
    Clear sky: as `clear_sky.cloudless`. Beam: D. G. Erbs, S. A. Klein, J. A. Duffie, "Estimation of
    the diffuse radiation fraction for hourly, daily and monthly-average global radiation", Solar
    Energy 28 (1982) 293-302.
    """
    return _sky(spot_of(site), timeline(site, trip, step_min), trip.weather.index)


def panel_light(site: Site, trip: Trip, panel: Panel, step_min: float = 1.0) -> PanelLight:
    """Return the light on the panel and the temperature of its cells in each step.

    Hay and Davies onto the plane, ground light by the albedo. The horizon takes the beam and the
    circumsolar light while the sun is behind it (then the ground nearby lies in shade too), and its
    share of the uniform sky light. Shade takes its share of beam and circumsolar light alone.
    Incidence loss: one sheet of glass (De Soto), for sky and ground light at the equivalent angles
    of Brandemuehl. Cell temperature: Faiman with 25 and 6.84.

    Parameters
    ----------
    site : the place, with horizon and albedo.
    trip : its weather gives index, air and wind.
    panel : how it stands.
    step_min : length of a step [min].

    Returns
    -------
    Light on the plane and into the cells [W/m2] and cell temperature [degC], shape (steps,) each.

    References
    ----------
    J. E. Hay, J. A. Davies, "Calculations of the solar radiation incident on an inclined surface",
    Proc. First Canadian Solar Radiation Data Workshop (1980) 59. W. De Soto, S. A. Klein, W. A.
    Beckman, "Improvement and validation of a model for photovoltaic array performance", Solar
    Energy 80 (2006) 78-88. D. Faiman, "Assessing the outdoor operating temperature of photovoltaic
    modules", Progress in Photovoltaics 16 (2008) 307-315. M. J. Brandemuehl, W. A. Beckman, Solar
    Energy 24 (1980) 511-513, from memory.
    """
    return _panel_light(site, trip, _mount(panel), step_min)


def panel_cell_c(plane_w_m2: Floats, air: Floats, wind_m_s: float) -> Floats:
    """Return the temperature of a panel's cells.

    Parameters
    ----------
    plane_w_m2 : light that falls on the plane, any shape [W/m2].
    air : temperature of the air, of a shape that goes with it [degC].
    wind_m_s : wind at the panel [m/s].

    Returns
    -------
    Cell temperature, of the shape of the light [degC].

    References
    ----------
    Faiman 2008, as in `panel_light`.
    """
    from pvlib import temperature

    return np.asarray(temperature.faiman(plane_w_m2, air, wind_m_s), dtype=np.float64)


def panel_facing(
    site: Site, trip: Stretch, panel: Panel, step_min: float = 1.0
) -> tuple[Floats, Floats]:
    """Return tilt and true bearing of the panel in each step; a re-aimed one lies flat in the dark.

    Parameters
    ----------
    site : the place.
    trip : date, start hour and days.
    panel : how it stands.
    step_min : length of a step [min].

    Returns
    -------
    Tilt from the level and bearing clockwise from north, shape (steps,) each [deg].
    """
    return _facing(spot_of(site), timeline(site, trip, step_min), site.timezone, _mount(panel))


def _mount(panel: Panel) -> Mount:
    if panel.mount == "re-aimed":
        return Mount("re-aimed", 0.0, 0.0, panel.re_aim_hours, panel.shade)
    if panel.mount == "fixed":
        return Mount("fixed", panel.tilt_deg, panel.azimuth_deg, 0.0, panel.shade)
    return Mount("flat", 0.0, 0.0, 0.0, panel.shade)


class _Cloudless(NamedTuple):
    """What all skies of a stretch share: where the sun is up, and the light without a cloud."""

    up: NDArray[np.bool_]
    zenith_deg: Floats
    day_of_year: NDArray[np.int64]
    extraterrestrial_w_m2: Floats
    light: Light
    beam_w_m2: Floats


@kept_within(4_000_000)
def _cloudless(spot: Spot, clock: Timeline) -> _Cloudless:
    position = position_at(spot, clock)
    day_of_year, normal = normal_light(clock)
    up = position.apparent_elevation_deg > 0.0
    zenith, days = 90.0 - position.apparent_elevation_deg[up], day_of_year[up]
    light = cloudless(spot, zenith, normal[up], days)
    return _Cloudless(up, zenith, days, normal, light, _erbs_beam(light.ghi_w_m2, zenith, days))


@kept_within(8_000_000)
def _sky(spot: Spot, clock: Timeline, index: tuple[float, ...]) -> Sky:
    bare = _cloudless(spot, clock)
    up, clear = bare.up, bare.light
    dimmed = _dimmed(bare, index_per_step(index, clock)[up])
    return Sky(
        ghi_w_m2=over_all_steps(dimmed.ghi_w_m2, up),
        dni_w_m2=over_all_steps(dimmed.dni_w_m2, up),
        dhi_w_m2=over_all_steps(dimmed.dhi_w_m2, up),
        clear_ghi_w_m2=over_all_steps(clear.ghi_w_m2, up),
        clear_dni_w_m2=over_all_steps(clear.dni_w_m2, up),
        clear_dhi_w_m2=over_all_steps(clear.dhi_w_m2, up),
        extraterrestrial_w_m2=read_only(bare.extraterrestrial_w_m2),
    )


def _dimmed(bare: _Cloudless, index: Floats) -> Light:
    clear, zenith_deg = bare.light, bare.zenith_deg
    level = np.cos(np.radians(zenith_deg))
    most = np.maximum(bare.extraterrestrial_w_m2[bare.up] * level, clear.ghi_w_m2)
    ghi = np.minimum(clear.ghi_w_m2 * index, most)
    beam = _erbs_beam(ghi, zenith_deg, bare.day_of_year)
    ratio = np.divide(beam, bare.beam_w_m2, out=np.zeros_like(beam), where=bare.beam_w_m2 > 0.0)
    is_clear = index == 1.0
    dni = clear.dni_w_m2 * np.where(is_clear, 1.0, np.minimum(ratio, 1.0))
    dhi = np.maximum(ghi - dni * level, 0.0)
    return Light(ghi, dni, np.where(is_clear, clear.dhi_w_m2, dhi))


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


class _Stand(NamedTuple):
    """How sun, horizon and panel stand to one another in each step, under whatever sky.

    What the glass lets in is a share, of beam, sky light and ground light each.
    """

    tilt_deg: Floats
    azimuth_deg: Floats
    sun_seen: NDArray[np.bool_]
    direct_factor: Floats
    beam_left_share: Floats | float
    sky_share: Floats
    through_glass_share: tuple[Floats, Floats, Floats]


@kept_within(4_000_000)
def _stand(
    spot: Spot, clock: Timeline, timezone: str, horizon: HorizonPoints, mount: Mount
) -> _Stand:
    from pvlib import iam, irradiance

    position = position_at(spot, clock)
    height, bearing = position.apparent_elevation_deg, position.azimuth_deg
    tilt, azimuth = _facing(spot, clock, timezone, mount)
    incidence = irradiance.aoi(tilt, azimuth, 90.0 - height, bearing)
    sky_angle = 59.7 - 0.1388 * tilt + 0.001497 * tilt**2
    ground_angle = 90.0 - 0.5788 * tilt + 0.002693 * tilt**2
    return _Stand(
        tilt_deg=tilt,
        azimuth_deg=azimuth,
        sun_seen=(height > 0.0) & (height >= horizon_height_deg(horizon, bearing)),
        direct_factor=np.maximum(np.cos(np.radians(incidence)), 0.0),
        beam_left_share=beam_left(mount.shade, clock),
        sky_share=visible_sky_share(horizon, tilt, azimuth),
        through_glass_share=(
            iam.physical(incidence),
            iam.physical(sky_angle),
            iam.physical(ground_angle),
        ),
    )


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
    stand = _stand(spot, clock, timezone, horizon, mount)
    diffuse = irradiance.haydavies(
        stand.tilt_deg, stand.azimuth_deg, light.dhi_w_m2, light.dni_w_m2,
        light.extraterrestrial_w_m2, 90.0 - position.apparent_elevation_deg, position.azimuth_deg,
        return_components=True,
    )  # fmt: skip
    direct = light.dni_w_m2 * stand.direct_factor
    direct = np.where(stand.sun_seen, direct + diffuse["poa_circumsolar"], 0.0)
    direct = direct * stand.beam_left_share
    uniform = diffuse["poa_isotropic"] * stand.sky_share
    shaded = light.dhi_w_m2 * (1.0 - light.dni_w_m2 / light.extraterrestrial_w_m2)
    on_ground = np.where(stand.sun_seen, light.ghi_w_m2, shaded)
    ground = irradiance.get_ground_diffuse(stand.tilt_deg, on_ground, albedo)
    parts = zip((direct, uniform, ground), stand.through_glass_share, strict=True)
    entered: Floats = sum((part * share for part, share in parts), np.zeros(1))
    return read_only(entered), read_only(direct + uniform + ground)


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
