"""The rest of the trip by what is held after a log: its middle, its band and a cautious end."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil

import numpy as np

from model.field.causes import weighted_quantiles
from model.field.course_fleet import Courses
from model.field.observations import Observation
from model.station.chemistry import Floats

# Of a hundred such trips, two end sooner than the hour to plan by.
CAUTIOUS_SHARE = 0.02
BAND = (0.1, 0.9)
LONG_GAP_H = 1.0


@dataclass(frozen=True)
class EndOutlook:
    """When something ends; hours since the start of the run, inf where it lasts to the end.

    Attributes
    ----------
    cautious_h : the hour to plan by: only so few trips end sooner [h].
    middle_h, low_h, high_h : middle and 80 % interval [h].
    lasts_share : of trips in which it lasts to the end [1].
    """

    cautious_h: float
    middle_h: float
    low_h: float
    high_h: float
    lasts_share: float


@dataclass(frozen=True, eq=False)
class FieldOutlook:
    """What is left of the trip after a log.

    Attributes
    ----------
    from_step, step_h : first step that is foretold, and its length [h].
    is_off : whether the log says that the station is off the air now.
    receive, full_power : when each next ends.
    back_h : when a station that is off the air comes back, 80 % interval and middle; None where it
        is on the air [h].
    fraction, low_fraction, high_fraction : charge at step boundaries over the battery's own
        capacity: middle and 80 % interval, shape (steps + 1,) [1].
    end_h : length of the run [h].
    """

    from_step: int
    step_h: float
    is_off: bool
    receive: EndOutlook
    full_power: EndOutlook
    back_h: tuple[float, float, float] | None
    fraction: Floats
    low_fraction: Floats
    high_fraction: Floats
    end_h: float


def field_outlook(
    courses: Courses, weights: Floats, observed: Sequence[Observation]
) -> FieldOutlook:
    """Return what is left of the trip.

    Parameters
    ----------
    courses : of the members.
    weights : of the members, shape (members,) [1].
    observed : what the log says.

    Returns
    -------
    From the last reading on.
    """
    now = min(
        max((ceil(each.step_index) for each in observed), default=0), len(courses.receives) - 1
    )
    seen = [each.kind for each in observed if each.kind in ("off", "back", "on")]
    is_off = bool(seen) and seen[-1] == "off"
    back = first_h(courses.receives, now, courses.step_h) if is_off else None
    ends = end_h(courses, now, is_off=is_off)
    fraction = courses.stored_ah / courses.full_ah
    rows = np.array([weighted_quantiles(row, weights, (0.5, *BAND)) for row in fraction])
    power_h = np.where(courses.full_power_h < now * courses.step_h, ends, courses.full_power_h)
    return FieldOutlook(
        now, courses.step_h, is_off,
        _outlook(ends, weights), _outlook(np.minimum(power_h, ends), weights),
        _three(back, weights) if back is not None else None,
        rows[:, 0], rows[:, 1], rows[:, 2], len(courses.receives) * courses.step_h,
    )  # fmt: skip


def end_h(courses: Courses, now: int, *, is_off: bool) -> Floats:
    """Return when each member next goes off the air for an hour or longer.

    At dawn a station comes and goes by the minute while the sun is about what it draws: such gaps
    are no end.

    Parameters
    ----------
    now : step from which on it is asked.
    is_off : whether the station is off now: then it is the end after its return that is asked for.

    Returns
    -------
    Hours since the start, inf where it lasts to the end, shape (members,) [h].
    """
    later = courses.receives[now:]
    gone = ~later & np.maximum.accumulate(later, axis=0) if is_off else ~later
    length = round(LONG_GAP_H / courses.step_h)
    # A gap that the end of the run cuts short counts.
    padded = np.vstack([gone, np.ones((length, courses.members), dtype=bool)])
    sums = np.cumsum(np.vstack([np.zeros((1, courses.members)), padded]), axis=0)
    lasting = gone & (sums[length : length + len(gone)] - sums[: len(gone)] >= length)
    happens = lasting.any(axis=0)
    first = lasting.argmax(axis=0) + now
    ends: Floats = np.where(happens, (first + courses.part_borne(first)) * courses.step_h, np.inf)
    return ends


def first_h(happens: np.ndarray, now: int, step_h: float) -> Floats:
    """Return when something first happens from a step on.

    Parameters
    ----------
    happens : in each step, shape (steps, members).
    now : the first step looked at.
    step_h : length of a step [h].

    Returns
    -------
    Hours since the start, inf where it never does, shape (members,) [h].
    """
    later = happens[now:]
    found: Floats = np.where(later.any(axis=0), (later.argmax(axis=0) + now) * step_h, np.inf)
    return found


def _outlook(hours: Floats, weights: Floats) -> EndOutlook:
    shares = (CAUTIOUS_SHARE, BAND[0], 0.5, BAND[1])
    cautious, low, middle, high = weighted_quantiles(hours, weights, shares)
    lasts = float(weights[np.isinf(hours)].sum())
    return EndOutlook(cautious, middle, low, high, lasts)


def _three(hours: Floats, weights: Floats) -> tuple[float, float, float]:
    low, middle, high = weighted_quantiles(hours, weights, (BAND[0], 0.5, BAND[1]))
    return low, middle, high
