"""Where the readings of a field check stand on the day's plot: as charge, or as panel power."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Literal

import numpy as np

from model.editing.units import InUnit
from model.field.causes import weighted_quantiles
from model.field.likelihood import Likelihood, between
from model.field.log_check import Check, FieldCheck
from model.field.meter_accuracy import charge_by_volts
from model.field.observations import step_of


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
        return _counted(check, each)
    if each.quantity == "load_a" or not credit.believable:
        return None
    volts_v = run.station.meters.volts_v
    span = charge_by_volts(run.station.battery, each.measured, volts_v)
    assert span is not None, "a voltage that fits no charge is not believed"
    ends = span.middle_fraction, span.low_fraction, span.high_fraction
    return Spot(each.at, "charge", *ends, is_believed=True)


def _counted(check: FieldCheck, each: Check) -> Spot:
    """Return a counter's reading as charge: of the battery, and from the start, that it tells."""
    run, found = check.predicted, check.found
    assert found is not None, "a counter's reading observes something"
    place = next(
        at
        for at, one in enumerate(found.observed)
        if one.kind == "used_ah" and one.reading is each.reading
    )
    seen, courses = found.observed[place], found.posterior.courses
    likelihood = Likelihood(run, found.posterior.unknowns, found.observed)
    shown_ah = likelihood.expected(place, found.posterior.factor, courses)
    stored_ah = between(courses.stored_ah, seen.step_index) + shown_ah - each.measured
    fraction = np.clip(stored_ah / courses.full_ah, 0.0, 1.0)
    low, middle, high = weighted_quantiles(fraction, found.member_share, (0.025, 0.5, 0.975))
    doubt = each.credit.doubt_ah / float(np.median(courses.full_ah))
    return Spot(
        each.at, "charge", middle, max(low - doubt, 0.0), min(high + doubt, 1.0),
        each.credit.believable,
    )  # fmt: skip
