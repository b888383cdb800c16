"""Short ways to put a published question about sun and sky to the model."""

from __future__ import annotations

import warnings
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import date, datetime
from typing import Any

import numpy as np
from skyfield.api import Loader, Timescale
from skyfield.jpllib import SpiceKernel
from skyfield_data import get_skyfield_data_path

from model.scenario.scenario import Day, Site
from model.scenario.station import Panel
from model.sky.irradiance import sun_position
from model.sky.timeline import timeline
from tests.planned import panel_light


def place(latitude_deg: float, longitude_deg: float = 0.0, **rest: Any) -> Site:
    return Site(latitude_deg=latitude_deg, longitude_deg=longitude_deg, **rest)


def on(year: int, month: int, day: int, **rest: Any) -> Day:
    return Day(date=date(year, month, day), **rest)


def seconds_off(found: datetime, clock: str) -> float:
    """Difference between an instant and a local wall clock "HH:MM:SS" of its own date."""
    hours, minutes, seconds = (int(part) for part in clock.split(":"))
    there = found.replace(hour=hours, minute=minutes, second=seconds, microsecond=0)
    return abs((found - there).total_seconds())


def solar_noon_min(site: Site, day: Day) -> float:
    """Minutes from the start of the run to the moment the sun bears due south (or north)."""
    position = sun_position(site, day)
    sideways = np.sin(np.radians(position.azimuth_deg))
    high = int(np.argmax(position.elevation_deg))
    before = high if sideways[high] * sideways[high + 1] <= 0 else high - 1
    share = sideways[before] / (sideways[before] - sideways[before + 1])
    return before + 0.5 + float(share)


def step_at_solar_time(site: Site, day: Day, hours: float) -> int:
    """The step whose middle is nearest to this apparent solar time."""
    return round(solar_noon_min(site, day) + (hours - 12.0) * 60.0 - 0.5)


def beam_on(site: Site, day: Day, panel: Panel, step: int) -> tuple[float, float]:
    """What a thin pole in front of the sun takes from a panel: usable light, light on the plane.

    The pole is a hundredth of a degree wide, so that only the light from the sun's place goes.
    """
    bearing = float(sun_position(site, day).azimuth_deg[step])
    edges = (bearing - 0.005, 0.0), (bearing - 0.005, 90.0), (bearing + 0.005, 90.0)
    pole = site.model_copy(update={"horizon": (*edges, (bearing + 0.005, 0.0))})
    free, shaded = panel_light(site, day, panel), panel_light(pole, day, panel)
    usable = free.irradiance_w_m2[step] - shaded.irradiance_w_m2[step]
    return float(usable), float(free.plane_w_m2[step] - shaded.plane_w_m2[step])


def beam_ratio(site: Site, day: Day, step: int, tilt_deg: float, azimuth_deg: float) -> float:
    """Beam on a tilted plane over beam on the level, the Rb of the textbooks."""
    dark_ground = site.model_copy(update={"albedo": 0.0})
    tilted = Panel(rated_w=1.0, mount="fixed", tilt_deg=tilt_deg, azimuth_deg=azimuth_deg)
    on_plane = beam_on(dark_ground, day, tilted, step)[1]
    return on_plane / beam_on(dark_ground, day, Panel(rated_w=1.0), step)[1]


def middles(site: Site, day: Day) -> list[datetime]:
    """UTC instants at the middle of each step."""
    return list(timeline(site, day).middles_utc().to_pydatetime())


@contextmanager
def planetary_ephemeris() -> Iterator[tuple[Timescale, SpiceKernel]]:
    """The JPL ephemeris DE421 and its clock, from the package that ships it: no download."""
    # The package warns that its tables of the Earth's rotation are old: they are not read here.
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", RuntimeWarning)
        load = Loader(get_skyfield_data_path(), expire=False)
    bodies = load("de421.bsp")
    yield load.timescale(builtin=True), bodies
    bodies.close()
