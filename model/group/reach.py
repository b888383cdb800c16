"""Which posts have one weather: those within reach of each other, chains of them counted."""

from __future__ import annotations

from collections.abc import Sequence
from math import asin, cos, radians, sin, sqrt

from model.scenario.scenario import Site

# Mean radius of the Earth: International Union of Geodesy and Geophysics.
EARTH_KM = 6371.0


def distance_km(one: Site, other: Site) -> float:
    """Return the way over ground between two places by the haversine formula [km]."""
    north, further = radians(one.latitude_deg), radians(other.latitude_deg)
    east = radians(other.longitude_deg - one.longitude_deg)
    half = sin((further - north) / 2) ** 2 + cos(north) * cos(further) * sin(east / 2) ** 2
    return 2 * EARTH_KM * asin(sqrt(min(half, 1.0)))


def weathers(sites: Sequence[Site], reach_km: float) -> tuple[int, ...]:
    """Return the number of each place's weather, from 0 in the order of the places.

    Parameters
    ----------
    reach_km : places at most so far apart have one weather [km].
    """
    number: list[int | None] = [None] * len(sites)
    found = 0
    for first in range(len(sites)):
        if number[first] is not None:
            continue
        waiting = [first]
        while waiting:
            here = waiting.pop()
            number[here] = found
            waiting += [
                other
                for other in range(len(sites))
                if number[other] is None and distance_km(sites[here], sites[other]) <= reach_km
            ]
        found += 1
    return tuple(each for each in number if each is not None)
