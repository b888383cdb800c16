"""What to switch off first: every action rerun, ranked by the hours it gains."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache
from math import inf
from typing import Literal

from model.advice.actions import Action, habits
from model.advice.advice import rerun
from model.advice.kept_charge import charge_to_keep
from model.advice.minimum_watch import last_resorts
from model.engine.run import ALONE_LIMIT_DAYS, hours_on_battery
from model.results.tie_point import first_end_h
from model.scenario.scenario import Scenario
from model.sky.trip import planned
from model.station.carried_mass import shared_extras

Basis = Literal["first end", "battery alone"]


@dataclass(frozen=True)
class Rung:
    """One action with what it brings.

    Attributes
    ----------
    key, words, price : what is done, and what is given up by it.
    end_h : hours to the first end with it; the length of the run where nothing ends.
    gained_h : those less the hours without it.
    lasts : whether nothing ends any more, so that ``gained_h`` is a lower bound.
    """

    key: str
    words: str
    price: str
    end_h: float
    gained_h: float
    lasts: bool


@dataclass(frozen=True)
class Ladder:
    """The actions of one station, best first, and when to begin.

    Attributes
    ----------
    basis : hours to the first end of any clock; on the battery alone where no clock ends.
    base_h : those hours without any action.
    base_lasts : whether even those are only a lower bound.
    rungs : the actions.
    lean_night_ah : what the station takes in the longest night in the leanest way.
    keep_ah : charge to keep for that, above the reserve or what cold locks up.
    act_when_used_ah : Ah taken out since full at which only ``keep_ah`` is left; 0 is at once.
    """

    basis: Basis
    base_h: float
    base_lasts: bool
    rungs: tuple[Rung, ...]
    lean_night_ah: float
    keep_ah: float
    act_when_used_ah: float


@lru_cache(maxsize=64)
def ladder(scenario: Scenario, index: int) -> Ladder:
    """Rerun a station with each action, taken from the start of the run.

    Hours count to the first end of any of the three clocks. Where none ends, they are the hours
    of receive from full on the battery alone, so that the order still says what matters.

    Parameters
    ----------
    index : which station, from 0.
    """
    run = rerun(scenario, index)
    to_first_end = first_end_h(run)
    basis: Basis = "first end" if to_first_end < inf else "battery alone"
    limit_h = 24.0 * (scenario.day.days if basis == "first end" else ALONE_LIMIT_DAYS)
    hours = _first_end if basis == "first end" else _alone
    base_h = to_first_end if basis == "first end" else run.hours_on_battery or inf
    rungs = [
        _rung(action, index, hours, min(base_h, limit_h), limit_h)
        for action in (*habits(scenario, index), *last_resorts(scenario, index))
    ]
    # Of equals, the one that gives less away comes first: they stand in that order.
    rungs.sort(key=lambda rung: -rung.gained_h)
    kept = charge_to_keep(scenario, index, run)
    return Ladder(
        basis=basis,
        base_h=min(base_h, limit_h),
        base_lasts=base_h == inf,
        rungs=tuple(rungs),
        lean_night_ah=kept.lean_night_ah,
        keep_ah=kept.keep_ah,
        act_when_used_ah=max(run.station.battery.full_ah - kept.keep_ah, 0.0),
    )


def _first_end(scenario: Scenario, index: int) -> float:
    return first_end_h(rerun(scenario, index))


def _alone(scenario: Scenario, index: int) -> float:
    return hours_alone(scenario, index) or inf


def hours_alone(scenario: Scenario, index: int) -> float | None:
    """Return hours of receive from full without sun or charger; None beyond 30 days."""
    return hours_on_battery(
        scenario.site,
        planned(scenario),
        scenario.plan,
        scenario.stations[index],
        shared_extras(scenario, index),
    )


def _rung(
    action: Action,
    index: int,
    hours: Callable[[Scenario, int], float],
    base_h: float,
    limit_h: float,
) -> Rung:
    end_h = hours(action.changed, index)
    reached_h = min(end_h, limit_h)
    return Rung(action.key, action.words, action.loses, reached_h, reached_h - base_h, end_h == inf)
