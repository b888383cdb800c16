"""Where the blocks of a daily plan lie in a run: elapsed time against the site's wall clock."""

from __future__ import annotations

import math
from functools import lru_cache

from model.scenario.declare import MINUTES_A_DAY
from model.scenario.scenario import Block, Scenario
from model.sky.timeline import Timeline

Minutes = tuple[float, float]


def occurrences(clock: Timeline, block: Block) -> tuple[Minutes, ...]:
    """Return the stretches of elapsed minutes that a block takes on the days of a run, in order."""
    return _occurrences(clock, *block.minutes)


@lru_cache(maxsize=2048)
def _occurrences(clock: Timeline, start: int, end: int) -> tuple[Minutes, ...]:
    found = []
    for begin, stop, wall in clock.wall_segments():
        first = math.floor((wall - end) / MINUTES_A_DAY)
        last = math.ceil((wall + stop - begin - start) / MINUTES_A_DAY)
        for day in range(first, last + 1):
            shift = begin - wall + day * MINUTES_A_DAY
            low, high = max(start + shift, begin), min(end + shift, stop)
            if low < high:
                found.append((low, high))
    return tuple(sorted(found))


def wall_minute(clock: Timeline, elapsed: float) -> float:
    """Return what the wall clock shows at an elapsed minute, counted from its midnight. [min]"""
    segments = clock.wall_segments()
    begin, _, wall = next((each for each in segments if elapsed < each[1]), segments[-1])
    return (wall + elapsed - begin) % MINUTES_A_DAY


def when_and_what(scenario: Scenario) -> tuple[object, ...]:
    """Return all that the strip shows of a scenario, to be compared with another's."""
    day = scenario.day
    return scenario.plan, scenario.site.timezone, day.date, day.start_hour, day.days
