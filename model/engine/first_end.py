"""When a station first ends, without what becomes of it afterwards: for trials in great number."""

from __future__ import annotations

from functools import lru_cache
from math import inf
from typing import Literal

from model.engine.clocks import abilities
from model.engine.flows import flows
from model.engine.inputs import station_inputs
from model.engine.restart import joined
from model.engine.step import advance
from model.engine.step_values import Trace
from model.scenario.scenario import Block, Site
from model.scenario.station import Extra, Station
from model.sky.trip import Trip
from model.station.transmit_path import highest_planned_w

ClockName = Literal["full_power", "reduced_power", "receive"]
CLOCK_NAMES: tuple[ClockName, ...] = ("full_power", "reduced_power", "receive")
# A run stops after the stretch in which it ends; shorter ones would cost more than they save.
STRETCH_STEPS = 480


# Searches come back to values they have tried.
@lru_cache(maxsize=256)
def hours_to_first_end(
    site: Site,
    trip: Trip,
    plan: tuple[Block, ...],
    station: Station,
    shared: tuple[Extra, ...] = (),
    *,
    step_min: float = 1.0,
    clock: ClockName | None = None,
) -> float:
    """Return when a clock first ends, as a run of the station has it.

    Parameters
    ----------
    site : the place.
    trip : date, start hour, days and weather.
    plan : what is worked.
    station : what is run.
    shared : extras of other stations that all carry.
    step_min : length of a step [min].
    clock : which of the three; None takes whichever ends first.

    Returns
    -------
    Time from the start, inf where it never does [h].
    """
    names = CLOCK_NAMES if clock is None else (clock,)
    # Without any sending there is no end but that of receiving.
    if highest_planned_w(station, plan) <= 0:
        names = tuple(name for name in names if name == "receive")
    inputs = station_inputs(site, trip, plan, station, shared, step_min)
    trace, state, done = Trace(), inputs.start, 0
    while names and done < inputs.steps:
        course = inputs.course.part(done, done + STRETCH_STEPS)
        more, state = advance(course, inputs.bounds, state, step_min / 60)
        trace = joined(trace, more, done)
        done = min(done + STRETCH_STEPS, inputs.steps)
        # Every step is tested, in which something is sent or not, but that is done once: at the
        # first of which it is known that something did not hold in it, or at the end.
        if done < inputs.steps and not (more.reduced or more.radio_off or more.loads_off):
            continue
        part = inputs if done == inputs.steps else inputs.part(0, done)
        held = abilities(part, flows(part, trace), plan)
        each = (getattr(held, name) for name in names)
        failed = [int(holds.argmin()) for holds in each if not holds.all()]
        if failed:
            return min(failed) * (step_min / 60)
    return inf
