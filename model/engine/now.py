"""A comparison taken up again now, with the charge that an operator reads."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime

from model.engine.comparison import STEP_MIN, Comparison
from model.engine.run import StationRun, restarted, run_station
from model.scenario.scenario import Scenario
from model.sky.trip import planned
from model.station.carried_mass import shared_extras


def from_now(
    scenario: Scenario, index: int, at: datetime, ah_left: float, *, step_min: float = STEP_MIN
) -> StationRun:
    """Run a station on from a moment with the charge read there.

    What was before stays on the curve as it was planned; clocks, lowest charge and reserve are
    those from then on, and their hours still count from the start of the run.

    Parameters
    ----------
    scenario : the question.
    index : place of the station in it.
    at : the moment, with its offset; it lies within the run.
    ah_left : charge left in the battery, held to what it can store [Ah].
    step_min : length of a step [min].

    Returns
    -------
    The run, judged from that moment on.

    Raises
    ------
    ValueError
        When the moment is before the run or at its end or later.
    """
    run = run_station(
        scenario.site,
        planned(scenario),
        scenario.plan,
        scenario.stations[index],
        shared_extras(scenario, index),
        step_min=step_min,
    )
    clock = run.clock
    step = clock.minutes_to(at) / step_min
    if not 0 <= step < clock.steps:
        raise ValueError("the moment is outside the run")
    step = min(round(step), clock.steps - 1)
    return replace(restarted(run, step, ah_left), judged_from=step)


def comparison_from_now(
    comparison: Comparison, index: int, at: datetime, ah_left: float
) -> Comparison:
    """Return the comparison with one station run on from what was read; see ``from_now``.

    The others stay as planned.

    Parameters
    ----------
    comparison : the runs as planned.
    index : place of the station in it.
    at : the moment, with its offset; it lies within the run.
    ah_left : charge left in the battery, held to what it can store [Ah].

    Returns
    -------
    All runs, one of them from that moment on.

    Raises
    ------
    ValueError
        When the moment is before the run or at its end or later.
    """
    run = from_now(comparison.scenario, index, at, ah_left, step_min=comparison.step_min)
    runs = (*comparison.runs[:index], run, *comparison.runs[index + 1 :])
    return replace(comparison, runs=runs)
