"""When a low battery is likely to be noticed: at dusk, after the evening's net, at 03:00."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime, time, timedelta

from model.advice.low_battery import Noticed
from model.engine.run import StationRun
from model.scenario.declare import clock_of
from model.scenario.scenario import Block
from model.sky.sun_times import sun_events
from model.station.loads import DATA_ACTIVITIES
from model.station.transmit_path import given_rf_w

# When a watch is tired: common practice, no source.
SMALL_HOURS = time(3)
# A net that ends so long before dusk still belongs to the evening.
EVENING = timedelta(hours=3)
# Dusk is said to this many minutes.
TOLD_MIN = 5


def moments(run: StationRun) -> tuple[Noticed, ...]:
    """Return the moments of the first night of a run, in their order.

    Where the sun does not set in the first 24 hours the night begins with the run; where nothing is
    transmitted in the evening there is no moment after it.
    """
    dusk = _dusk(run)
    evening = dusk or run.clock.start
    small_hours = _next(SMALL_HOURS, evening)
    found = [] if dusk is None else [Noticed("at dusk", dusk)]
    found += _after_net(run, evening, small_hours)
    found.append(Noticed("at 03:00", small_hours))
    # Two at one time are one.
    apart = {each.at: each for each in reversed(found)}
    return tuple(apart[at] for at in sorted(apart))


def _dusk(run: StationRun) -> datetime | None:
    first_day = run.trip.for_days(1)
    for at, name in sun_events(run.site, first_day):
        if name == "dusk":
            minutes = round(at.minute / TOLD_MIN) * TOLD_MIN - at.minute
            told = at.astimezone(UTC) + timedelta(minutes=minutes)
            return told.astimezone(at.tzinfo).replace(second=0, microsecond=0)
    return None


def _after_net(run: StationRun, evening: datetime, small_hours: datetime) -> Iterator[Noticed]:
    """Yield the end of the last block before the small hours in which something is transmitted."""
    ended = [
        (at, block)
        for block in run.plan
        if given_rf_w(run.station, block) > 0
        and (at := _next(_end_of(block), evening - EVENING)) < small_hours
    ]
    if ended:
        at, block = max(ended, key=lambda pair: pair[0])
        yield Noticed(
            "after the data" if block.activity in DATA_ACTIVITIES else "after the net", at
        )


def _end_of(block: Block) -> time:
    return time.fromisoformat(clock_of(block.minutes[1] % (24 * 60)))


def _next(wall: time, after: datetime) -> datetime:
    """Return the first moment after another at which the wall clock shows a time."""
    at = after.replace(hour=wall.hour, minute=wall.minute, second=0, microsecond=0, fold=0)
    if at.replace(tzinfo=None) <= after.replace(tzinfo=None):
        at += timedelta(days=1)
    # An hour that the clock skips is passed over.
    return at.astimezone(UTC).astimezone(after.tzinfo)


def told(noticed: Noticed) -> str:
    """Return a moment with its clock time, such as "at dusk, 20:55"."""
    clock = f"{noticed.at:%H:%M}"
    return noticed.words if clock in noticed.words else f"{noticed.words}, {clock}"
