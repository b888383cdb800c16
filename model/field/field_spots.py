"""Where the readings of a field check stand on the day's plot: as charge, or as panel power."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Literal

from model.editing.units import InUnit
from model.field.field_check import Check, FieldCheck, step_of
from model.field.meter_accuracy import charge_by_volts


@dataclass(frozen=True)
class Spot:
    """One reading on the plot.

    Attributes
    ----------
    on : whether the amounts are a state of charge [1] or the panel's power at the bus [W].
    amount, low, high : what was read, and the ends of the meter's own 95 % band.
    is_believed : whether the reading counts for what is left of the trip.
    """

    at: datetime
    on: Literal["charge", "panel"]
    amount: InUnit
    low: InUnit
    high: InUnit
    is_believed: bool


def spots(check: FieldCheck) -> tuple[Spot, ...]:
    """Return each reading that can be placed; volts that fit no one charge cannot."""
    return tuple(spot for each in check.checks if (spot := _spot(check, each)) is not None)


def _spot(check: FieldCheck, each: Check) -> Spot | None:
    run, credit = check.predicted, each.credit
    if each.quantity == "panel_a":
        step = step_of(run, each.reading)
        assert step is not None, "what was checked lies in the run"
        bus_v = float(run.flow.bus_v[step])
        ends_a = (each.measured, each.measured - credit.doubt_a, each.measured + credit.doubt_a)
        amount, low, high = (max(current_a, 0.0) * bus_v for current_a in ends_a)
        return Spot(each.at, "panel", amount, low, high, credit.believable)
    if each.quantity == "used_ah":
        full_ah = run.inputs.bounds.full_ah
        fraction, doubt = 1.0 - each.measured / full_ah, credit.doubt_ah / full_ah
        middle, low, high = (_held(fraction + part * doubt) for part in (0.0, -1.0, 1.0))
        return Spot(each.at, "charge", middle, low, high, credit.believable)
    span = charge_by_volts(run.station.battery, each.measured)
    if not credit.believable or span is None:
        return None
    ends = span.middle_fraction, span.low_fraction, span.high_fraction
    return Spot(each.at, "charge", *ends, is_believed=True)


def _held(fraction: float) -> float:
    return min(max(fraction, 0.0), 1.0)
