"""What a counter should show at every dusk, midnight and dawn of the run, and the band round it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from typing import Literal

import numpy as np

from model.engine.run import StationRun
from model.odds.odds import Odds, StationOdds
from model.sky.sun_times import sun_events
from model.sky.timeline import Floats

Moment = Literal["start", "dusk", "midnight", "dawn", "end"]


@dataclass(frozen=True)
class ChargePoint:
    """Ah taken out since full at a moment.

    Attributes
    ----------
    at : by the wall clock.
    moment : which moment of the day it is.
    used_ah : as planned [Ah].
    low_ah, high_ah : eight in ten trial trips under the planned sky lie between [Ah].
    """

    at: datetime
    moment: Moment
    used_ah: float
    low_ah: float
    high_ah: float


def charge_points(run: StationRun, index: int, trips: Odds | None) -> tuple[ChargePoint, ...]:
    """Return the points of a run in their order, its start and its end among them.

    Parameters
    ----------
    run : as planned.
    index : which station of the trips it is, from 0.
    trips : trial trips under the planned sky; None where there are none.
    """
    odds = trips.stations[index] if trips is not None else None
    hours = trips.time_h if trips is not None else None
    now = run.clock.at(run.judged_from)
    return tuple(
        _point(run, odds, hours, at, moment)
        for at, moment in _moments(run)
        if at.timestamp() >= now.timestamp()
    )


def _moments(run: StationRun) -> list[tuple[datetime, Moment]]:
    clock = run.clock
    end = clock.at(clock.steps)
    found: list[tuple[datetime, Moment]] = [(clock.start, "start"), (end, "end")]
    for at, name in sun_events(run.site, run.trip):
        if name in ("dusk", "dawn"):
            # To the minute, as it is printed.
            found.append((at.replace(second=0, microsecond=0), name))
    for date in clock.dates[1:]:
        wall = datetime(date.year, date.month, date.day, tzinfo=clock.start.tzinfo)
        midnight = wall.astimezone(UTC).astimezone(clock.start.tzinfo)
        if clock.start.timestamp() < midnight.timestamp() < end.timestamp():
            found.append((midnight, "midnight"))
    return sorted(found, key=lambda pair: pair[0].timestamp())


def _point(
    run: StationRun,
    trips: StationOdds | None,
    trip_hours: Floats | None,
    at: datetime,
    moment: Moment,
) -> ChargePoint:
    hours = max((at - run.clock.start) / timedelta(hours=1), 0.0)
    step = min(round(hours / run.clock.step_h), run.clock.steps)
    full_ah = run.station.battery.full_ah
    used = float(1.0 - run.fraction[step])
    low = high = used
    if trips is not None and trip_hours is not None:
        most, least = (
            float(np.interp(hours, trip_hours, band))
            for band in (trips.high_fraction, trips.low_fraction)
        )
        low, high = min(1.0 - most, used), max(1.0 - least, used)
    return ChargePoint(at, moment, *(max(each, 0.0) * full_ah for each in (used, low, high)))
