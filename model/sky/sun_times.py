"""When the sun rises and sets, and how long it stays dark."""

from __future__ import annotations

from datetime import datetime
from typing import Literal

import numpy as np

from model.scenario.scenario import Site
from model.sky.panel_orientation import spans_above
from model.sky.sun_position import Spot, position_at, spot_of
from model.sky.timeline import Floats, Timeline, timeline
from model.sky.trip import Stretch

RISE_DEG = -0.833
CIVIL_TWILIGHT_DEG = -6.0
SunEvent = tuple[datetime, Literal["dawn", "rise", "set", "dusk"]]
Span = tuple[datetime, datetime]


def sun_events(site: Site, trip: Stretch) -> tuple[SunEvent, ...]:
    """Return dawn, rise, set and dusk within the run.

    Rise and set are where the centre of the sun passes -0.833 deg without refraction, dawn and dusk
    (civil) where it passes -6 deg: the usual definitions of almanacs. Between points one minute
    apart the height is linear.

    Parameters
    ----------
    site : the place.
    trip : date, start hour and days.

    Returns
    -------
    Local time and name of each, in order.
    """
    clock = timeline(site, trip)
    minutes, height = _height_track(spot_of(site), clock)
    found: list[tuple[float, Literal["dawn", "rise", "set", "dusk"]]] = []
    for begin, end in spans_above(minutes, height, RISE_DEG):
        found += [(begin, "rise"), (end, "set")]
    for begin, end in spans_above(minutes, height, CIVIL_TWILIGHT_DEG):
        found += [(begin, "dawn"), (end, "dusk")]
    inside = sorted(event for event in found if minutes[0] < event[0] < minutes[-1])
    return tuple((clock.at(minute), name) for minute, name in inside)


def night_spans(site: Site, trip: Stretch, step_min: float = 1.0) -> tuple[Span, ...]:
    """Return the dark stretches of the run, sun below -6 deg.

    Parameters
    ----------
    site : the place.
    trip : date, start hour and days.
    step_min : length of a step [min].

    Returns
    -------
    Begin and end of each, as local times.
    """
    clock = timeline(site, trip, step_min)
    minutes, height = _height_track(spot_of(site), clock)
    below = spans_above(minutes, -height, -CIVIL_TWILIGHT_DEG)
    return _as_times(below, clock)


def twilight_spans(site: Site, trip: Stretch, step_min: float = 1.0) -> tuple[Span, ...]:
    """Return the stretches of civil twilight, sun from -6 to -0.833 deg.

    Parameters
    ----------
    site : the place.
    trip : date, start hour and days.
    step_min : length of a step [min].

    Returns
    -------
    Begin and end of each, as local times.
    """
    clock = timeline(site, trip, step_min)
    minutes, height = _height_track(spot_of(site), clock)
    middle = (RISE_DEG + CIVIL_TWILIGHT_DEG) / 2.0
    half = (RISE_DEG - CIVIL_TWILIGHT_DEG) / 2.0
    between = spans_above(minutes, half - np.abs(height - middle), 0.0)
    return _as_times(between, clock)


def _as_times(minutes: list[tuple[float, float]], clock: Timeline) -> tuple[Span, ...]:
    steps = ((begin / clock.step_min, end / clock.step_min) for begin, end in minutes)
    return tuple((clock.at(begin), clock.at(end)) for begin, end in steps)


def _height_track(spot: Spot, clock: Timeline) -> tuple[Floats, Floats]:
    """Return minutes from the start and heights of the sun, both ends of the run included."""
    height = position_at(spot, clock).elevation_deg
    ends = 1.5 * height[[0, -1]] - 0.5 * height[[1, -2]]
    minutes = np.concatenate([[0.0], clock.middles_min(), [clock.steps * clock.step_min]])
    return minutes, np.concatenate([ends[:1], height, ends[1:]])
