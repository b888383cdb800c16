"""One minute of a run, and the stretches in which a station keeps the same abilities."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from itertools import pairwise
from typing import Literal

import numpy as np

from model.engine.outcome import USES, Use
from model.engine.run import StationRun
from model.station.chemistry import Floats
from model.station.transmit_path import highest_planned_w
from model.support.cache import kept_while_it_lives

Phase = Literal["full power", "reduced power", "receive", "silent"]
PHASES: tuple[Phase, ...] = ("full power", "reduced power", "receive", "silent")


@dataclass(frozen=True)
class Moment:
    """What a station does in one step.

    Attributes
    ----------
    at : when the step begins, local.
    fraction : charge over tested capacity at that instant [1].
    usable_ah : what can be drawn at this cold [Ah].
    battery_v, radio_v : means over the step [V].
    load_a, load_w : all loads, at the bus.
    use_a : current of each use that draws any, largest first [A].
    irradiance_w_m2 : light that enters the panel.
    panel_w, panel_able_w : used, and what the panel could have given at these volts [W].
    phase : what the station is able to do.
    """

    at: datetime
    fraction: float
    usable_ah: float
    battery_v: float
    radio_v: float
    load_a: float
    load_w: float
    use_a: tuple[tuple[Use, float], ...]
    irradiance_w_m2: float
    panel_w: float
    panel_able_w: float
    phase: Phase


@dataclass(frozen=True)
class Stretch:
    """Steps from begin to before end in which the phase stays the same."""

    phase: Phase
    begin_step: int
    end_step: int


def moment(run: StationRun, step: int) -> Moment:
    """Return what a station does in one step of its run, counted from 0."""
    flow = run.flow
    drawn = [(use, float(flow.use_a[use][step])) for use in USES]
    bus_v = float(flow.bus_v[step])
    load_a = float(flow.load_a[step])
    return Moment(
        at=run.clock.at(step),
        fraction=float(run.fraction[step]),
        usable_ah=float(run.usable_ah[step]),
        battery_v=float(flow.battery_v[step]),
        radio_v=float(flow.radio_v[step]),
        load_a=load_a,
        load_w=load_a * bus_v,
        use_a=tuple(sorted((pair for pair in drawn if pair[1] > 0.0), key=_falling)),
        irradiance_w_m2=float(run.inputs.irradiance_w_m2[step]),
        panel_w=float(flow.panel_a[step]) * bus_v,
        panel_able_w=float(flow.panel_able_a[step]) * bus_v,
        phase=PHASES[int(_phase_of_step(run)[step])],
    )


def load_w(run: StationRun) -> Floats:
    """Return the power of all loads at the bus, shape (steps,). [W]"""
    return run.flow.load_a * run.flow.bus_v


def panel_w(run: StationRun) -> Floats:
    """Return the power used of the panel at the bus, shape (steps,). [W]"""
    return run.flow.panel_a * run.flow.bus_v


def panel_able_w(run: StationRun) -> Floats:
    """Return the power the panel could have given at the bus, shape (steps,). [W]"""
    return run.flow.panel_able_a * run.flow.bus_v


@kept_while_it_lives
def stretches(run: StationRun) -> tuple[Stretch, ...]:
    """Return the run cut where the station gains or loses an ability."""
    phase = _phase_of_step(run)
    cuts = [0, *(int(step) + 1 for step in np.flatnonzero(np.diff(phase))), phase.size]
    return tuple(Stretch(PHASES[int(phase[begin])], begin, end) for begin, end in pairwise(cuts))


@kept_while_it_lives
def _phase_of_step(run: StationRun) -> np.ndarray:
    """Return the index into PHASES; where nothing is to be sent, receive is all there is."""
    able = run.abilities
    sends = highest_planned_w(run.station, run.plan) > 0
    full, reduced = able.full_power & sends, able.reduced_power & sends
    return np.where(full, 0, np.where(reduced, 1, np.where(able.receive, 2, 3)))


def _falling(pair: tuple[Use, float]) -> float:
    return -pair[1]
