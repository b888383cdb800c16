"""Stretches of daylight, and how a panel that is re-aimed by hand stands in them."""

from __future__ import annotations

from datetime import UTC, datetime, time, timedelta
from zoneinfo import ZoneInfo

import numpy as np

from model.sky.timeline import Floats, Timeline

Minutes = tuple[float, float]


def spans_above(minutes: Floats, values: Floats, level: float) -> list[Minutes]:
    """Return begin and end of each stretch in which values exceed a level.

    Between points the values are linear; a stretch that reaches an end of the points is cut there.

    Parameters
    ----------
    minutes : when the points are, rising, shape (n,) [min].
    values : what is compared, shape (n,) [any unit].
    level : what they must exceed [unit of the values].

    Returns
    -------
    Begin and end of each stretch, in order [min].
    """
    over = values - level
    above = over > 0.0
    before = np.flatnonzero(above[1:] != above[:-1])
    share = over[before] / (over[before] - over[before + 1])
    crossings = minutes[before] + share * (minutes[before + 1] - minutes[before])
    first = [minutes[0]] if above[0] else []
    last = [minutes[-1]] if above[-1] else []
    edges = [float(edge) for edge in (*first, *crossings, *last)]
    return list(zip(edges[::2], edges[1::2], strict=True))


def local_midnights(clock: Timeline, timezone: str, margin_days: int) -> list[float]:
    """Return the midnights of a run and of some days before and after.

    Parameters
    ----------
    clock : of the run.
    timezone : IANA name of the place's zone.
    margin_days : how many days before and after.

    Returns
    -------
    Elapsed minutes from the start, negative before it, in order [min].
    """
    zone = ZoneInfo(timezone)
    start = clock.start.astimezone(UTC)
    today = start.astimezone(zone).date()
    return [
        (datetime.combine(today + timedelta(days=n), time(), zone).astimezone(UTC) - start)
        / timedelta(minutes=1)
        for n in range(-margin_days, clock.days + margin_days + 1)
    ]


def cut_long_spans(spans: list[Minutes], cuts: list[float]) -> list[Minutes]:
    """Cut the spans that last longer than a day.

    Parameters
    ----------
    spans : begin and end of each [min].
    cuts : where to cut, rising [min].

    Returns
    -------
    Begin and end of each piece, in order [min].
    """
    pieces = []
    for begin, end in spans:
        inner = [cut for cut in cuts if begin < cut < end and end - begin > 1440.0]
        pieces += list(zip([begin, *inner], [*inner, end], strict=True))
    return pieces


def stretches_of(spans: list[Minutes], length_min: float) -> Floats:
    """Cut each span into stretches of one length, the last one shorter.

    Parameters
    ----------
    spans : begin and end of each [min].
    length_min : length of a stretch [min].

    Returns
    -------
    Begin and end of each stretch, shape (n, 2) [min].
    """
    cut = [
        (float(begin), min(float(begin) + length_min, end))
        for start, end in spans
        for begin in np.arange(start, end, length_min)
    ]
    return np.array(cut).reshape(-1, 2)


def facing_sun(
    when: Floats, stretches: Floats, minutes: Floats, elevation_deg: Floats, azimuth_deg: Floats
) -> tuple[Floats, Floats]:
    """Return tilt and azimuth of a panel set, for each stretch, to the sun at its middle.

    Parameters
    ----------
    when : instants asked for, shape (steps,) [min]; outside every stretch the panel lies flat.
    stretches : begin and end of each, in order, shape (n, 2) [min].
    minutes : when the track of the sun has points, rising, shape (points,) [min].
    elevation_deg, azimuth_deg : track of the sun, shape (points,) [deg].

    Returns
    -------
    Tilt from the level and true bearing, shape (steps,) each [deg].
    """
    tilts, azimuths = _square_to_sun(stretches.mean(axis=1), minutes, elevation_deg, azimuth_deg)
    which = np.searchsorted(stretches[:, 0], when, side="right") - 1
    inside = which >= 0
    inside[inside] = when[inside] < stretches[which[inside], 1]
    tilt, azimuth = np.zeros(when.size), np.zeros(when.size)
    tilt[inside], azimuth[inside] = tilts[which[inside]], azimuths[which[inside]]
    return tilt, azimuth


def _square_to_sun(
    at: Floats, minutes: Floats, elevation_deg: Floats, azimuth_deg: Floats
) -> tuple[Floats, Floats]:
    # Between points of the track the direction runs along a chord: bearings may not be averaged.
    elevation, bearing = np.radians(elevation_deg), np.radians(azimuth_deg)
    east = np.interp(at, minutes, np.cos(elevation) * np.sin(bearing))
    north = np.interp(at, minutes, np.cos(elevation) * np.cos(bearing))
    up = np.interp(at, minutes, np.sin(elevation))
    tilt = np.degrees(np.arctan2(np.hypot(east, north), up))
    return np.minimum(tilt, 90.0), np.mod(np.degrees(np.arctan2(east, north)), 360.0)
