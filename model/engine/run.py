"""One station through the days: the step rule, its flows, its clocks and its ledger."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import datetime
from functools import cached_property, partial

import numpy as np
import pandas as pd

from model.engine.clocks import Abilities, abilities, read_clocks, transmit_volts
from model.engine.flows import Flows, flows
from model.engine.frost import may_be_frost, thawed, with_frost
from model.engine.inputs import Inputs, station_inputs
from model.engine.kept_runs import KeptRuns
from model.engine.ledger import sums
from model.engine.outcome import Clocks, Lowest, Sums, TransmitVolts
from model.engine.restart import resumed
from model.engine.step import advance
from model.engine.step_values import State, Trace
from model.scenario.kinds import KINDS
from model.scenario.scenario import Block, Site
from model.scenario.station import Extra, Station
from model.sky.timeline import Timeline, timeline
from model.sky.trip import Trip
from model.station.chemistry import Floats
from model.station.plan_steps import agenda

ALONE_LIMIT_DAYS = 30
# Most low batteries end within hours: no more is run at once than four of them.
ALONE_STRETCH_STEPS = 240
# Ten runs of two days; a step takes about 0.6 kB. Advice tries a hundred runs and asks for few
# of them again: to keep four times as many spares none.
KEPT_STEPS = 10 * 2 * 1440


@dataclass(frozen=True, eq=False)
class StationRun:
    """What became of one station.

    Attributes
    ----------
    station, site, trip, plan, shared : what was run; shared are extras all stations carry.
    clock : the steps.
    inputs, trace, flow : how it went.
    end : the state after the last step.
    judged_from : first step that clocks, lowest charge and reserve look at.
    """

    station: Station
    site: Site
    trip: Trip
    plan: tuple[Block, ...]
    shared: tuple[Extra, ...]
    clock: Timeline
    inputs: Inputs
    trace: Trace
    flow: Flows
    end: State
    judged_from: int = 0

    @cached_property
    def fraction(self) -> Floats:
        """Charge at the step boundaries over tested capacity, shape (steps + 1,). [1]"""
        return np.append(self.flow.stored_ah, self.end.stored_ah) / self.inputs.bounds.full_ah

    @cached_property
    def abilities(self) -> Abilities:
        """What held in each step."""
        return abilities(self.inputs, self.flow, self.plan, self.judged_from)

    @cached_property
    def clock_ends(self) -> Clocks:
        """The three clocks with their electrical causes alone: what needs no rerun."""
        laid = agenda(self.site, self.trip, self.plan, self.clock.step_min)
        return read_clocks(
            self.inputs, self.flow, self.trace, self.abilities, self.plan, laid, self.clock
        )

    @cached_property
    def clocks(self) -> Clocks:
        """The three clocks; frost is named by a rerun in which no charge is refused."""
        if not may_be_frost(self.inputs, self.flow, self.clock_ends):
            return self.clock_ends
        freed = run_station.__wrapped__(
            self.site,
            self.trip,
            self.plan,
            self.station.model_copy(update={"battery": thawed(self.station.battery)}),
            self.shared,
            step_min=self.clock.step_min,
        )
        if self.judged_from:
            stored_ah = float(self.flow.stored_ah[self.judged_from])
            freed = restarted(freed, self.judged_from, stored_ah)
            freed = replace(freed, judged_from=self.judged_from)
        return with_frost(self.clock_ends, freed.clock_ends)

    @cached_property
    def sums(self) -> Sums:
        """Totals of the run."""
        return sums(self.inputs, self.flow, self.end.stored_ah)

    @cached_property
    def transmit_volts(self) -> TransmitVolts:
        """Volts at the radio with the key down."""
        return transmit_volts(self.inputs, self.flow, self.abilities, self.clock, self.plan)

    @cached_property
    def lowest(self) -> Lowest:
        """The least charge and when it is reached."""
        step = self.judged_from + int(np.argmin(self.fraction[self.judged_from :]))
        return Lowest(float(self.fraction[step]), self.clock.at(step))

    @property
    def end_fraction(self) -> float:
        """Charge at the end [1]."""
        return float(self.fraction[-1])

    @cached_property
    def reserve_crossed_at(self) -> datetime | None:
        """When the charge first falls below the reserve; it switches nothing."""
        below = np.flatnonzero(
            self.fraction[self.judged_from :] < self.station.reserve_fraction - 1e-12
        )
        return self.clock.at(int(below[0]) + self.judged_from) if below.size else None

    @cached_property
    def usable_ah(self) -> Floats:
        """Charge that can be drawn at this cold, at each step's start, shape (steps,). [Ah]"""
        floor = self.inputs.climate.cold_floor_fraction * self.inputs.bounds.full_ah
        return np.maximum(self.flow.stored_ah - floor, 0.0)

    @cached_property
    def hours_on_battery(self) -> float | None:
        """Hours of receive from full without sun or charger; None beyond 30 days."""
        return hours_on_battery(self.site, self.trip, self.plan, self.station, self.shared)

    def minutes(self) -> pd.DataFrame:
        """Return every step as a table; battery current is positive into the battery here."""
        flow = self.flow
        return pd.DataFrame(
            {
                "time": self.clock.starts_local(),
                "station": self.station.name,
                "load_a": flow.load_a,
                "panel_w": flow.panel_a * flow.bus_v,
                "battery_a": -flow.battery_a + 0.0,
                "fraction": self.fraction[:-1],
                "battery_v": flow.battery_v,
                "radio_v": flow.radio_v,
                "cell_c": self.inputs.climate.cell_c,
                "panel_irradiance_w_m2": self.inputs.irradiance_w_m2,
            }
        )


@partial(KeptRuns, limit_steps=KEPT_STEPS)
def run_station(
    site: Site,
    trip: Trip,
    plan: tuple[Block, ...],
    station: Station,
    shared: tuple[Extra, ...] = (),
    *,
    step_min: float = 1.0,
    as_able: bool = True,
) -> StationRun:
    """Run one station; the same values in give the same run, to the bit.

    Parameters
    ----------
    site : the place.
    trip : date, start hour, days and weather.
    plan : what is worked.
    station : what is run.
    shared : extras of other stations that all carry.
    step_min : length of a step [min].
    as_able : lower the power where the planned one does not hold; otherwise send regardless.

    Returns
    -------
    How it went, and what follows from it.
    """
    inputs = station_inputs(site, trip, plan, station, shared, step_min)
    trace, end = advance(inputs.course, inputs.bounds, inputs.start, step_min / 60, as_able=as_able)
    return StationRun(
        station,
        site,
        trip,
        plan,
        shared,
        timeline(site, trip, step_min),
        replace(inputs, course=inputs.kept_course),
        trace,
        flows(inputs, trace),
        end,
    )


def restarted(run: StationRun, step: int, stored_ah: float) -> StationRun:
    """Return a run with another charge at the start of a step; see ``restart.resumed``.

    Parameters
    ----------
    run : as it was.
    step : where the charge is another.
    stored_ah : charge there, held to what the battery can store [Ah].

    Returns
    -------
    The run with that charge; what was before stays.
    """
    trace, end = resumed(run.inputs, step, stored_ah)
    return replace(run, trace=trace, flow=flows(run.inputs, trace), end=end)


def hours_on_battery(
    site: Site,
    trip: Trip,
    plan: tuple[Block, ...],
    station: Station,
    shared: tuple[Extra, ...] = (),
) -> float | None:
    """Return hours of receive from full, without sun or charger, from the plan's start hour.

    The weather of the last date goes on.

    Parameters
    ----------
    site : the place.
    trip : date, start hour and weather.
    plan : what is worked.
    station : whose battery.
    shared : extras of other stations that all carry.

    Returns
    -------
    Time, None where it lasts beyond 30 days [h].
    """
    # A full battery may stand above what the radio bears: that says nothing of how long it lasts.
    radio = station.radio.model_copy(update={"supply_max_v": None})
    alone = without_sources(station).model_copy(update={"start_fraction": 1.0, "radio": radio})
    return hours_within(site, trip, plan, alone, shared, days=(2, 6, ALONE_LIMIT_DAYS))


def without_sources(station: Station) -> Station:
    """Return a station with neither sun nor charger.

    Parameters
    ----------
    station : with whatever charges it.

    Returns
    -------
    The station without any part that is a source.
    """
    none = {kind.slot: kind.none for kind in KINDS if kind.role == "source"}
    return station.model_copy(update=none)


def hours_within(
    site: Site,
    trip: Trip,
    plan: tuple[Block, ...],
    station: Station,
    shared: tuple[Extra, ...] = (),
    *,
    days: tuple[int, ...],
) -> float | None:
    """Return hours of receive; longer and longer runs are tried until it ends in one.

    Parameters
    ----------
    site : the place.
    trip : date, start hour and weather; that of the last date goes on.
    plan : what is worked.
    station : what is run.
    shared : extras of other stations that all carry.
    days : length of each run that is tried [d].

    Returns
    -------
    Time, None where it lasts beyond the longest [h].
    """
    for length in days:
        silent_h = hours_of_receive(site, trip.for_days(length), plan, station, shared)
        if silent_h is not None:
            return silent_h
    return None


def hours_of_receive(
    site: Site,
    trip: Trip,
    plan: tuple[Block, ...],
    station: Station,
    shared: tuple[Extra, ...] = (),
) -> float | None:
    """Return when a station first goes off the air, without working out anything else of its run.

    Parameters
    ----------
    site : the place.
    trip : date, start hour, days and weather.
    plan : what is worked.
    station : what is run.
    shared : extras of other stations that all carry.

    Returns
    -------
    Time from the start, None where it receives to the end [h].
    """
    step = _first_silent_step(station_inputs(site, trip, plan, station, shared))
    return None if step is None else step / 60


def _first_silent_step(inputs: Inputs) -> int | None:
    """Return the first step without loads or without the radio, None where there is none."""
    state = inputs.start
    for first in range(0, inputs.steps, ALONE_STRETCH_STEPS):
        course = inputs.course.part(first, first + ALONE_STRETCH_STEPS)
        trace, state = advance(course, inputs.bounds, state, 1 / 60)
        silent = [*trace.loads_off[:1], *(step for step, _ in trace.radio_off[:1])]
        if silent:
            return first + min(silent)
    return None
