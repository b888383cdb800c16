"""The weather of a run as the scenario states it: air temperature and cloud for every step."""

from __future__ import annotations

import numpy as np

from model.scenario.scenario import Day, Site
from model.sky.timeline import Floats, Timeline, timeline
from model.support.cache import kept_within, read_only

WARMEST_HOUR = 15.0


@kept_within(4_000_000)
def air_c(site: Site, day: Day, step_min: float = 1.0) -> Floats:
    """Return the air temperature at the middle of each step, read-only, shape (steps,). [degC]

    A cosine between the day's low and high with its peak at 15:00 by the local wall clock. Where
    low and high are given per day, a day is 24 elapsed hours from the start of the run.
    """
    clock = timeline(site, day, step_min)
    low, high = per_step(day.low_c, clock), per_step(day.high_c, clock)
    angle = 2.0 * np.pi * (clock.wall_minutes() / 60.0 - WARMEST_HOUR) / 24.0
    return read_only((low + high) / 2.0 + (high - low) / 2.0 * np.cos(angle))


def okta(site: Site, day: Day, step_min: float = 1.0) -> Floats:
    """Return the cloud cover of each step in eighths, read-only, shape (steps,). [okta]"""
    return per_step(day.cloud_okta, timeline(site, day, step_min))


@kept_within(4_000_000)
def per_step(given: tuple[float, ...], clock: Timeline) -> Floats:
    """Spread one number, or one per run day, over the steps; read-only, shape (steps,)."""
    values = np.asarray(given, dtype=np.float64)
    return read_only(values[np.minimum(clock.day_of_step(), values.size - 1)])
