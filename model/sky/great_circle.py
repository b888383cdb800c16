"""How far two places lie apart over ground."""

from __future__ import annotations

from math import asin, cos, radians, sin, sqrt
from typing import Protocol

# Mean radius of the earth [km]: International Union of Geodesy and Geophysics.
EARTH_KM = 6371.0


class Place(Protocol):
    """What has a latitude and a longitude: a site, a place that weather was read at."""

    @property
    def latitude_deg(self) -> float:
        """North is + [deg]."""

    @property
    def longitude_deg(self) -> float:
        """East is + [deg]."""


def distance_km(one: Place, other: Place) -> float:
    """Return the way along a great circle between two places, by the haversine formula.

    Parameters
    ----------
    one, other : the places.

    Returns
    -------
    Distance over ground [km].
    """
    north, further = radians(one.latitude_deg), radians(other.latitude_deg)
    east = radians(other.longitude_deg - one.longitude_deg)
    half = sin((further - north) / 2) ** 2 + cos(north) * cos(further) * sin(east / 2) ** 2
    return 2 * EARTH_KM * asin(sqrt(min(half, 1.0)))
