"""The three clocks, tested in every step whether anything is sent in it or not."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from math import inf

import numpy as np

from model.engine.flows import Flows
from model.engine.inputs import Inputs
from model.engine.outcome import USES, Cause, Clock, Clocks, TransmitVolts, Use
from model.engine.step_values import Trace
from model.engine.sub_rules import key_down
from model.scenario.scenario import Block
from model.sky.timeline import Timeline
from model.station.chemistry import Floats
from model.station.plan_steps import Agenda
from model.station.transmit_path import SendingWay, alone, highest_planned_w, way_for

# Words for the causes the step rule counts.
CAUSES: tuple[Cause | None, ...] = (None, "empty", "cutoff", "sag", "board", "over-volts")

# A battery counts as full from here on when the drain since the last full charge is named.
FULL_FRACTION = 0.99


@dataclass(frozen=True, eq=False)
class Abilities:
    """What held in each step, shape (steps,); peak_v is the radio's at planned power [V]."""

    full_power: np.ndarray
    reduced_power: np.ndarray
    receive: np.ndarray
    board_trips: np.ndarray
    peak_v: Floats


def abilities(
    inputs: Inputs, flow: Flows, plan: tuple[Block, ...], judged_from: int = 0
) -> Abilities:
    """Test every step at the highest power planned, at the lowest, and in receive.

    Where no power is planned, the highest the station can give stands in. Before the step from
    which a run is judged, everything counts as able.

    Parameters
    ----------
    inputs, flow : of the run, shape (steps,).
    plan : what is worked.
    judged_from : first step that is judged.

    Returns
    -------
    What holds in each step, and the radio's volts [V], shape (steps,) each.
    """
    station = inputs.station
    highest_w = highest_planned_w(station, plan) or able_w(inputs)
    way, rf_w = way_for(station, highest_w)
    full, trips, peak_v = _holds(inputs, flow, way, rf_w)
    bare = alone(station)
    reduced, _, _ = _holds(inputs, flow, bare, min(bare.lowest_w, rf_w))
    past = np.arange(inputs.steps) < judged_from
    receive = flow.radio_on | past
    full = (full & receive) | past
    return Abilities(full, ((reduced | full) & receive) | past, receive, trips, peak_v)


def able_w(inputs: Inputs) -> float:
    """Return the highest power a station can give, planned or not.

    Parameters
    ----------
    inputs : of the run.

    Returns
    -------
    Power, before the tuner [W].
    """
    return way_for(inputs.station, inf)[1]


def _holds(
    inputs: Inputs, flow: Flows, way: SendingWay, rf_w: float
) -> tuple[np.ndarray, np.ndarray, Floats]:
    """Return where a power holds, where the board would trip, and the radio's volts."""
    bounds, loads = inputs.bounds, inputs.loads
    radio_a, amplifier_a = way.radio.current_a(rf_w), way.amplifier.current_a(rf_w)
    beside_a = loads.other_a - flow.panel_source_a - flow.charger_able_a
    holds, trips, radio_v, carried = key_down(
        bounds,
        radio_a,
        amplifier_a,
        amplified=way.amplified,
        rest_v=flow.rest_v,
        ohm=flow.resistance_ohm + bounds.battery_lead_ohm,
        beside_a=beside_a if way.amplified else beside_a + loads.amplifier_out_a,
        power_w=loads.other_w + flow.laptop_supply_w - flow.panel_source_w,
        ceiling_v=flow.ceiling_v,
    )
    at_radio_v = np.where(carried, np.maximum(radio_v, 0.0), 0.0)
    return holds, np.broadcast_to(trips, holds.shape), at_radio_v


def read_clocks(
    inputs: Inputs,
    flow: Flows,
    trace: Trace,
    able: Abilities,
    plan: tuple[Block, ...],
    laid: Agenda,
    clock: Timeline,
) -> Clocks:
    """Read the three clocks off a run."""
    reason = _reason_of_silence(inputs, trace)
    sends = highest_planned_w(inputs.station, plan) > 0

    def read(holds: np.ndarray) -> Clock:
        ends = np.flatnonzero(~holds)
        if not ends.size:
            return Clock()
        step = int(ends[0])
        back = np.flatnonzero(holds[step:])
        cause = reason[step] or ("board" if able.board_trips[step] else "sag")
        return Clock(
            until=clock.at(step),
            cause=cause,
            drain=drain(inputs, flow, step),
            back_at=clock.at(step + int(back[0])) if back.size else None,
            hours=step * clock.step_h,
            next_transmit=_next_transmit(inputs, laid, clock, step),
        )

    nothing = Clock()
    return Clocks(
        read(able.full_power) if sends else nothing,
        read(able.reduced_power) if sends else nothing,
        read(able.receive),
    )


def _reason_of_silence(inputs: Inputs, trace: Trace) -> list[Cause | None]:
    """Return for each step why the radio was off, None where it was on."""
    reason: list[Cause | None] = [None] * inputs.steps
    drops = iter(trace.drops)
    upcoming = next(drops, None)
    present = 0
    for step in trace.loads_off:
        while upcoming is not None and upcoming[0] <= step:
            present, upcoming = upcoming[1], next(drops, None)
        reason[step] = CAUSES[present]
    for step, cause in trace.radio_off:
        reason[step] = CAUSES[cause]
    return reason


def drain(inputs: Inputs, flow: Flows, step: int) -> Use | None:
    """Return the use that took most Ah since the battery was last full, up to a step."""
    full = np.flatnonzero(flow.stored_ah[:step] >= FULL_FRACTION * inputs.bounds.full_ah)
    since = int(full[-1]) if full.size else 0
    taken = {use: float(flow.use_a[use][since:step].sum()) for use in USES}
    most = max(USES, key=lambda use: taken[use])
    return most if taken[most] > 0 else None


def _next_transmit(inputs: Inputs, laid: Agenda, clock: Timeline, step: int) -> datetime | None:
    sendings = inputs.loads.sendings
    for minute, row in laid.starts:
        if minute >= step * clock.step_min and sendings[row].way is not None:
            return clock.at(minute / clock.step_min)
    return None


def board_limits(inputs: Inputs, flow: Flows) -> np.ndarray:
    """Return where the power planned in a step would open the battery's protection.

    Parameters
    ----------
    inputs, flow : of the run, shape (steps,).

    Returns
    -------
    Booleans, shape (steps,).
    """
    rows = inputs.loads.send_row
    trips = np.zeros(rows.size, dtype=bool)
    for row in np.unique(rows[rows >= 0]):
        how = inputs.loads.sendings[row]
        if how.way is not None:
            _, at_row, _ = _holds(inputs, flow, how.way, how.rf_w)
            trips |= (rows == row) & at_row
    return trips


def transmit_volts(
    inputs: Inputs, flow: Flows, able: Abilities, clock: Timeline, plan: tuple[Block, ...]
) -> TransmitVolts:
    """Return the radio's volts with the key down at planned power, while sending.

    Each step counts at the power planned for it.

    Parameters
    ----------
    inputs, flow : of the run, shape (steps,).
    able : what held in each step.
    clock : of the run.
    plan : what is worked.

    Returns
    -------
    First and lowest, and when [V]; None where nothing is sent.
    """
    rows = inputs.loads.send_row
    sending = (rows >= 0) & flow.radio_on
    if not sending.any():
        return TransmitVolts()
    volts = np.full(rows.size, np.nan)
    for row in np.unique(rows[sending]):
        how = inputs.loads.sendings[row]
        assert how.way is not None
        _, _, at_row = _holds(inputs, flow, how.way, how.rf_w)
        volts = np.where(rows == row, at_row, volts)
    steps = np.flatnonzero(sending)
    lowest = int(steps[np.argmin(volts[steps])])
    return TransmitVolts(float(volts[steps[0]]), float(volts[lowest]), clock.at(lowest))
