"""Where the sun stands at each step of a run, a day or more at a time.

The solar library is loaded at first use and not at start-up: it takes as long to load as
everything else in the model together.
"""

from __future__ import annotations

from dataclasses import dataclass, fields
from datetime import UTC, timedelta
from functools import lru_cache
from typing import NamedTuple

import numpy as np

from model.scenario.declare import MINUTES_A_DAY
from model.scenario.scenario import Site
from model.sky.timeline import Floats, Timeline
from model.support.cache import kept_within, read_only
from model.support.progress import Search

STANDARD_AIR_C = 12.0
# Whole days of about so many steps are worked out at once: a run of two weeks would else hold up
# whoever waits, and one day more would cost as much as all of them.
PIECE_STEPS = 1440


class Spot(NamedTuple):
    """A point on the ground: all that the sun and the clear sky depend on.

    Attributes
    ----------
    latitude_deg, longitude_deg : north and east positive [deg].
    elevation_m : height above the sea [m].
    """

    latitude_deg: float
    longitude_deg: float
    elevation_m: float


@dataclass(frozen=True)
class SunPosition:
    """The sun at the middle of each step; all arrays read-only, shape (steps,).

    Attributes
    ----------
    apparent_elevation_deg : height over the level horizon with refraction [deg].
    elevation_deg : the same without refraction [deg].
    azimuth_deg : true bearing, clockwise from north [deg].
    """

    apparent_elevation_deg: Floats
    elevation_deg: Floats
    azimuth_deg: Floats


def spot_of(site: Site) -> Spot:
    """Return the point that a site stands on."""
    return Spot(site.latitude_deg, site.longitude_deg, site.elevation_m)


@lru_cache(maxsize=1)
def load_library() -> None:
    """Load pvlib now rather than at first use; it takes a good part of a second."""
    from pvlib import atmosphere, clearsky, iam, irradiance, solarposition, spa, temperature

    # Naming them is the work: each has been loaded by the line above.
    assert all((atmosphere, clearsky, iam, irradiance, solarposition, spa, temperature))


@kept_within(4_000_000)
def position_at(spot: Spot, clock: Timeline) -> SunPosition:
    """Return where the sun stands at the middle of each step.

    The Solar Position Algorithm, with the pressure of the standard atmosphere at the site and 12
    degC for refraction.

    Parameters
    ----------
    spot : the place.
    clock : of the run.

    Returns
    -------
    Elevation with and without refraction, and azimuth, read-only, shape (steps,) each [deg].

    References
    ----------
    I. Reda, A. Andreas, "Solar Position Algorithm for Solar Radiation Applications",
    NREL/TP-560-34302 (2003, revised 2008).
    """
    pieces = [_position_in(spot, piece) for piece in _pieces(clock)]
    if len(pieces) == 1:
        return pieces[0]
    return SunPosition(
        *(
            read_only(np.concatenate([getattr(piece, field.name) for piece in pieces]))
            for field in fields(SunPosition)
        )
    )


def search_position(spot: Spot, clock: Timeline) -> Search[None]:
    """Work out what `position_at` will then give at once.

    Parameters
    ----------
    spot : the place.
    clock : of the run.
    """
    pieces = _pieces(clock)
    for index, piece in enumerate(pieces):
        yield index / len(pieces)
        _position_in(spot, piece)


def _pieces(clock: Timeline) -> tuple[Timeline, ...]:
    length = max(1, round(PIECE_STEPS * clock.step_min / MINUTES_A_DAY))
    begin = clock.start.astimezone(UTC)
    return tuple(
        Timeline(begin + timedelta(days=day), min(length, clock.days - day), clock.step_min)
        for day in range(0, clock.days, length)
    )


@kept_within(4_000_000)
def _position_in(spot: Spot, clock: Timeline) -> SunPosition:
    load_library()
    from pvlib import atmosphere, solarposition, spa

    times = clock.middles_utc()
    middle = times[times.size // 2]
    found = solarposition.spa_python(
        times,
        spot.latitude_deg,
        spot.longitude_deg,
        altitude=spot.elevation_m,
        pressure=atmosphere.alt2pres(spot.elevation_m),
        temperature=STANDARD_AIR_C,
        # One value for a piece: within two weeks it changes by some milliseconds.
        delta_t=float(spa.calculate_deltat(middle.year, middle.month)),
    )
    columns = ("apparent_elevation", "elevation", "azimuth")
    return SunPosition(*(read_only(found[name].to_numpy(copy=True)) for name in columns))
