"""Which posts have one weather: those within reach of each other, chains of them counted."""

from __future__ import annotations

from collections.abc import Sequence

from model.scenario.scenario import Site
from model.sky.great_circle import distance_km


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
