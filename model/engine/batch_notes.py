"""What a batch run keeps of every member: lowest charge, days' ends, and when each clock fails."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from model.engine.fleet import Fleet
from model.station.chemistry import Floats

Booleans = NDArray[np.bool_]
Steps = NDArray[np.int64]
NEVER = -1
# The reserve counts as crossed below this; the same rounding as in model.run.
RESERVE_ROUNDING = 1e-12


@dataclass(frozen=True, eq=False)
class Outcomes:
    """What became of each member; arrays of shape (members,) unless said otherwise.

    Attributes
    ----------
    step_h : length of a step [h].
    lowest_fraction, lowest_step : least charge over tested capacity [1], and the step boundary.
    end_fraction : at the end of the run [1].
    day_fraction : at the start and at each day's end, shape (days + 1, members) [1].
    peak_fraction, trough_fraction : greatest and least in each day, shape (days, members) [1].
    full_power, reduced_power, receive : step in which each clock first fails, NEVER if none.
    loads_off : step in which the loads are first off, NEVER if none.
    off_steps : in how many steps they are off.
    reserve : step boundary at which the charge is first below the reserve, NEVER if none.
    """

    step_h: float
    lowest_fraction: Floats
    lowest_step: Steps
    end_fraction: Floats
    day_fraction: Floats
    peak_fraction: Floats
    trough_fraction: Floats
    full_power: Steps
    reduced_power: Steps
    receive: Steps
    loads_off: Steps
    off_steps: Steps
    reserve: Steps

    def hours(self, first_step: Steps) -> Floats:
        """Return when something first happens, inf where it never does, shape (members,). [h]"""
        return np.where(first_step == NEVER, np.inf, first_step * self.step_h)

    @property
    def first_end_h(self) -> Floats:
        """When the first of the three clocks ends, inf where none does, shape (members,). [h]"""
        clocks = (self.full_power, self.reduced_power, self.receive)
        full, reduced, receive = (self.hours(clock) for clock in clocks)
        return np.minimum(np.minimum(full, reduced), receive)


class Notes:
    """Takes notes while a fleet is run."""

    def __init__(self, fleet: Fleet) -> None:
        members = fleet.members
        full_ah = fleet.limits["full_ah"]
        self._fleet, self._full_ah = fleet, full_ah
        self._reserve_ah = (fleet.reserve_fraction - RESERVE_ROUNDING) * full_ah
        self._lowest_ah = np.full(members, np.inf)
        self._lowest_step = np.zeros(members, dtype=np.int64)
        self._day_steps = round(24 / fleet.step_h)
        self._days: list[Floats] = []
        self._peaks: list[Floats] = []
        self._troughs: list[Floats] = []
        names = ("full_power", "reduced_power", "receive", "loads_off", "reserve")
        self._first = {name: np.full(members, NEVER, dtype=np.int64) for name in names}
        # For whom it has not happened yet: kept, as to compare all in every step costs more.
        self._open = {name: np.ones(members, dtype=bool) for name in names}
        self._off_steps = np.zeros(members, dtype=np.int64)

    def boundary(self, step: int, stored_ah: Floats) -> None:
        """Note the charge at the start of a step, or after the last."""
        lower = stored_ah < self._lowest_ah
        if lower.any():
            self._lowest_ah = np.minimum(stored_ah, self._lowest_ah)
            self._lowest_step[lower] = step
            below = stored_ah < self._reserve_ah
            if below.any():
                self._note("reserve", step, below)
        if self._peaks:
            np.maximum(self._peaks[-1], stored_ah, out=self._peaks[-1])
            np.minimum(self._troughs[-1], stored_ah, out=self._troughs[-1])
        if step % self._day_steps == 0:
            self._days.append(stored_ah / self._full_ah)
            self._peaks.append(stored_ah.copy())
            self._troughs.append(stored_ah.copy())

    def step(
        self,
        step: int,
        on: Booleans | None,
        receives: Booleans | None,
        full_fails: Callable[[Booleans], Booleans | None],
        reduced_fails: Callable[[Booleans], Booleans | None],
    ) -> None:
        """Note whose loads are off, who receives, and who could send; None stands for all.

        The two tests of sending are asked about those for whom they can still change something,
        and return who fails; None where nobody of them does.
        """
        if on is not None:
            off = ~on
            self._note("loads_off", step, off)
            self._off_steps += off
        silent = None if receives is None else ~receives
        if silent is not None:
            self._note("receive", step, silent)
        if self._fleet.full_power is None:
            return
        # Whoever has lost reduced power has lost full power as well.
        asked = self._open["reduced_power"]
        if not asked.any():
            return
        fails = _either(full_fails(asked), silent)
        if fails is None:
            return
        self._note("full_power", step, fails)
        fails = fails & asked
        if fails.any():
            lost = _either(reduced_fails(fails), silent)
            if lost is not None:
                self._note("reduced_power", step, fails & lost)

    def _note(self, name: str, step: int, happens: Booleans) -> None:
        new = happens & self._open[name]
        if new.any():
            self._first[name][new] = step
            self._open[name] &= ~new

    def outcomes(self, stored_ah: Floats) -> Outcomes:
        """Return the notes after the last step."""
        self.boundary(self._fleet.steps, stored_ah)
        return Outcomes(
            step_h=self._fleet.step_h,
            lowest_fraction=self._lowest_ah / self._full_ah,
            lowest_step=self._lowest_step,
            end_fraction=stored_ah / self._full_ah,
            day_fraction=np.array(self._days),
            peak_fraction=self._of_days(self._peaks),
            trough_fraction=self._of_days(self._troughs),
            off_steps=self._off_steps,
            **self._first,
        )

    def _of_days(self, kept: list[Floats]) -> Floats:
        """Return what was kept of each whole day; a run may be shorter than one."""
        days: Floats = np.array(kept[:-1]).reshape(-1, self._fleet.members) / self._full_ah
        return days


def _either(one: Booleans | None, other: Booleans | None) -> Booleans | None:
    """Return where either flag is up; None stands for nowhere."""
    if one is None or other is None:
        return other if one is None else one
    return one | other
