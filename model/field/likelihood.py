"""How well each member of a fleet explains what was observed."""

from __future__ import annotations

from collections.abc import Sequence
from math import ceil

import numpy as np
from numpy.typing import NDArray

from model.engine.comparison import COARSE_STEP_MIN
from model.engine.run import StationRun
from model.field.course_fleet import Courses
from model.field.observations import Observation
from model.field.unknowns import Unknown
from model.station.chemistry import Floats, rest_v

# Tails of Student's distribution: one reading that was mistyped does not outweigh all others.
FREEDOM = 8.0
# Rested volts of one battery are those of its kind at a charge this near. Common practice, no
# source.
REST_FRACTION = 0.03
# Where a course holds no such event at all.
NEVER_H = 12.0
# So much further a member may come back after the station was seen to.
BACK_STEPS = 36
LEAST_LOAD_A = 0.02


def steps_looked_at(observed: Sequence[Observation]) -> frozenset[int]:
    """Return the steps whose currents the observations ask for."""
    kinds = ("panel_a", "load_a", "off", "back", "on")
    return frozenset(int(each.step_index) for each in observed if each.kind in kinds)


def steps_needed(observed: Sequence[Observation]) -> int:
    """Return how many steps from the start on the observations are about."""
    more = {"back": BACK_STEPS}
    return max((ceil(each.step_index) + 1 + more.get(each.kind, 0) for each in observed), default=1)


def counter_start_ah(run: StationRun) -> float:
    """Return what an Ah counter showed at the start: as entered, or what was missing then [Ah]."""
    start_ah = run.station.meters.counter_start_ah
    if start_ah is not None:
        return start_ah
    return (1.0 - run.station.start_fraction) * run.inputs.bounds.full_ah


class Likelihood:
    """Compares courses of one run's fleets with what was observed."""

    def __init__(
        self, run: StationRun, unknowns: Sequence[Unknown], observed: Sequence[Observation]
    ) -> None:
        self._run, self._unknowns, self.observed = run, tuple(unknowns), tuple(observed)
        self._counter_start_ah = counter_start_ah(run)
        self._listening = [self._listening_a(each) for each in observed]

    def log_of(self, factors: Floats, courses: Courses) -> Floats:
        """Return the logarithm of the likelihood of each member but for a constant.

        Parameters
        ----------
        factors : of each unknown, shape (members, unknowns) [1].
        courses : what became of them.

        Returns
        -------
        Shape (members,) [1].
        """
        total = np.zeros(courses.members)
        for place, each in enumerate(self.observed):
            if each.kind == "battery_v":
                off = self._volts_off(each, courses) / each.sd
            else:
                off = (self.expected(place, factors, courses) - each.amount) / each.sd
            total -= (FREEDOM + 1) / 2 * np.log1p(off**2 / FREEDOM)
        return total

    def expected(self, place: int, factors: Floats, courses: Courses) -> Floats:
        """Return what each member would have shown for one observation.

        Parameters
        ----------
        place : of the observation.
        factors : of each unknown, shape (members, unknowns) [1].
        courses : what became of them.

        Returns
        -------
        In the unit of the observation, hours off for events; shape (members,) [its unit].
        """
        each = self.observed[place]
        if each.kind == "used_ah":
            # A counter was set by what was believed: it knows neither capacity nor charge.
            used_ah = courses.stored_ah[0] - between(courses.stored_ah, each.step_index)
            shown_ah: Floats = self._counter_start_ah + used_ah
            return shown_ah
        if each.kind == "battery_v":
            return self._rest_v(between(courses.stored_ah, each.step_index) / courses.full_ah)
        if each.kind == "panel_a":
            return courses.panel_a[int(each.step_index)]
        if each.kind == "load_a":
            on = courses.receives[int(each.step_index)]
            return np.where(
                on, factors @ self._listening[place][:-1] + self._listening[place][-1], 0.0
            )
        return _hours_off(each, courses)

    def _rest_v(self, fraction: Floats) -> Floats:
        battery = self._run.station.battery
        return rest_v(battery.chemistry, battery.cells_in_series, np.clip(fraction, 0.0, 1.0))

    def _volts_off(self, each: Observation, courses: Courses) -> Floats:
        """Return by how much rested volts lie outside those of charges about a member's [V].

        Below the knee a little charge is many volts: batteries of one kind differ by that.
        """
        fraction = between(courses.stored_ah, each.step_index) / courses.full_ah
        low_v = self._rest_v(fraction - REST_FRACTION)
        high_v = self._rest_v(fraction + REST_FRACTION)
        off: Floats = np.clip(each.amount, low_v, high_v) - each.amount
        return off

    def _listening_a(self, each: Observation) -> Floats:
        """Return the current of each unknown's use while listening, and of all others last [A]."""
        if each.kind != "load_a":
            return np.zeros(0)
        run = self._run
        step = int(each.step_index * COARSE_STEP_MIN / run.clock.step_min)
        # Where the planned run is off the air, what its loads draw in the middle of those on it.
        on = run.flow.loads_on
        use_a = {
            use: float(values[step] if on[step] else np.median(values[on]))
            for use, values in run.flow.use_a.items()
            if on.any()
        }
        use_a["receive"], use_a["transmit"] = run.station.radio.receive_a, 0.0
        mine = [
            use_a.pop(each.key, 0.0) if each.group == "load" else 0.0 for each in self._unknowns
        ]
        return np.array([*mine, sum(use_a.values())])


def between(values: Floats, step: float) -> Floats:
    """Return the row at a step and its part.

    Parameters
    ----------
    values : at step boundaries, shape (steps + 1, members) [any unit].
    step : whole steps and a part.

    Returns
    -------
    Shape (members,) [the same unit].
    """
    at = min(int(step), len(values) - 2)
    part = step - at
    found: Floats = values[at] * (1 - part) + values[at + 1] * part
    return found


def _hours_off(each: Observation, courses: Courses) -> Floats:
    """Return by how many hours each member's event is later than the one that was seen [h].

    A member that is still on when the station was seen to go off is late by as long as its charge
    would go on to carry the load of that moment.
    """
    at, step_h = int(each.step_index), courses.step_h
    on = courses.receives[at]
    past = courses.receives[: at + 1][::-1]
    if each.kind == "back":
        begun = _steps_since_change(past) * step_h
        was_off = ~courses.receives[: at + 1].all(axis=0)
        early = np.where(was_off, np.maximum(-begun, -NEVER_H), -NEVER_H)
        return np.where(on, early, _hours_until_on(courses, at))
    steps_off = _steps_since_change(past)
    borne = courses.part_borne(at - steps_off)
    since_off = -np.maximum(steps_off + (each.step_index - at) - borne, 0.0) * step_h
    if each.kind == "on":
        return np.where(on, 0.0, since_off)
    left_ah = between(courses.stored_ah, each.step_index) - courses.floor_ah[at]
    left_h = left_ah / np.maximum(courses.drawn_a[at], LEAST_LOAD_A)
    return np.where(on, np.minimum(left_h, NEVER_H), since_off)


def _steps_since_change(past: np.ndarray) -> NDArray[np.int64]:
    """Return for how many steps before this each member has been as it is in the first row."""
    changed = past != past[0]
    count = np.where(changed.any(axis=0), changed.argmax(axis=0), len(past))
    since: NDArray[np.int64] = count.astype(np.int64) - 1
    return since


def _hours_until_on(courses: Courses, at: int) -> Floats:
    """Return when each member next receives [h]."""
    later = courses.receives[at:]
    return np.where(later.any(axis=0), later.argmax(axis=0) * courses.step_h, NEVER_H)
