"""Frost as the reason of an end: charge that was refused because the cells were too cold."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np

from model.engine.flows import Flows
from model.engine.inputs import Inputs
from model.engine.outcome import Clock, Clocks
from model.scenario.station import Battery

if TYPE_CHECKING:
    from model.engine.batch_notes import Booleans

# No cells are met that are colder.
NEVER_REFUSED_C = -60.0
# A night: what the refused charge must have been worth where even with it the clock ends.
WORTH_H = 12.0
_OF_CHARGE = ("empty", "cutoff", "sag")


def thawed(battery: Battery) -> Battery:
    """Return a battery that takes charge however cold its cells are."""
    return battery.model_copy(update={"charge_min_c": NEVER_REFUSED_C})


def charge_refused(inputs: Inputs, flow: Flows) -> Booleans:
    """Return whether panel or charger had current for cells too cold for it, shape (steps,)."""
    offered = (flow.panel_able_a + flow.charger_able_a) > 0
    refused: Booleans = offered & ~inputs.climate.may_charge
    return refused


def may_be_frost(inputs: Inputs, flow: Flows, clocks: Clocks) -> bool:
    """Return whether charge was on offer to cells too cold for it before a clock ended."""
    ends_h = [clock.hours for clock in vars(clocks).values() if _is_of_charge(clock)]
    if not ends_h:
        return False
    before = round(max(hour for hour in ends_h if hour is not None) * 60 / inputs.step_min)
    return bool(np.any(charge_refused(inputs, flow)[:before]))


def with_frost(clocks: Clocks, without_refusal: Clocks) -> Clocks:
    """Return the clocks with frost named where refused charge is what ended them.

    Parameters
    ----------
    without_refusal : of the same run with a battery that refuses no charge.

    Notes
    -----
    Refused charge is the reason where, had it been taken, the clock would not end within the run,
    or would end later by a night of twelve hours or more. Twelve hours: a convention of ours.
    """
    return Clocks(
        **{
            name: _named(clock, getattr(without_refusal, name))
            for name, clock in vars(clocks).items()
        }
    )


def _named(clock: Clock, freed: Clock) -> Clock:
    if not _is_of_charge(clock) or clock.hours is None:
        return clock
    if freed.hours is not None and freed.hours < clock.hours + WORTH_H:
        return clock
    return replace(clock, because="frost")


def _is_of_charge(clock: Clock) -> bool:
    """Return whether more charge could have kept a clock from ending."""
    return clock.cause in _OF_CHARGE
