"""Hours between places: the shortest way over the routes of a group."""

from __future__ import annotations

import heapq
from collections import defaultdict

from model.group.group import Group

# Places are told apart by their names, however they are spaced or capitalised.


def place_key(name: str) -> str:
    """Return what tells a place from others."""
    return " ".join(name.casefold().split())


def hours_from(group: Group, start: str) -> dict[str, float]:
    """Return the hours from one place to every place that can be reached, by their keys [h].

    The shortest of all ways over the routes, which go in both directions (E. W. Dijkstra, "A note
    on two problems in connexion with graphs", Numerische Mathematik 1 (1959) 269-271).
    """
    ways: dict[str, list[tuple[str, float]]] = defaultdict(list)
    for route in group.routes:
        one, other = map(place_key, route.between)
        ways[one].append((other, route.hours))
        ways[other].append((one, route.hours))
    found: dict[str, float] = {}
    waiting = [(0.0, place_key(start))]
    while waiting:
        hours_h, place = heapq.heappop(waiting)
        if place in found:
            continue
        found[place] = hours_h
        for other, more_h in ways[place]:
            if other not in found:
                heapq.heappush(waiting, (hours_h + more_h, other))
    return found
