"""The field check: a log against the prediction, what explains it, and the rest of the trip."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from math import hypot
from typing import Literal

import numpy as np
from numpy.random import default_rng

from model.editing.units import InUnit
from model.engine.run import StationRun
from model.field.causes import (
    Cause,
    Explanation,
    Told,
    causes,
    explanations,
    held_weights,
    told,
    weighted_quantiles,
)
from model.field.course_fleet import Courses, FactorFleets
from model.field.field_outlook import FieldOutlook, field_outlook
from model.field.likelihood import Likelihood, counter_start_ah
from model.field.meter_accuracy import (
    Credit,
    credit_of_counter,
    credit_of_load,
    credit_of_panel,
    credit_of_volts,
)
from model.field.observations import Observation, observations, step_of
from model.field.offers import Offer, offers
from model.field.posterior import Posterior, search_posterior
from model.field.unknowns import unknowns
from model.scenario.station import FieldReading
from model.station.chemistry import Floats
from model.support.cache import kept_while_it_lives
from model.support.progress import Search, finish

Quantity = Literal["used_ah", "battery_v", "panel_a", "load_a"]
UNITS: dict[Quantity, str] = {"used_ah": "Ah", "battery_v": "V", "panel_a": "A", "load_a": "A"}
ROOM_FRACTION = 0.05
# A prediction's band comes from so many trips with ordinary errors only.
BAND_MEMBERS = 240
BAND_SEED = 7
BAND = (0.025, 0.975)


@dataclass(frozen=True)
class Check:
    """One thing read against what was predicted for that minute.

    ``low`` and ``high`` bound where the prediction lies with its 95 % band of ordinary errors;
    ``agrees`` also allows for the meter.
    """

    reading: FieldReading
    at: datetime
    quantity: Quantity
    measured: InUnit
    expected: InUnit
    low: InUnit
    high: InUnit
    agrees: bool
    credit: Credit


@dataclass(frozen=True, eq=False)
class Findings:
    """What a log with something in it says.

    Attributes
    ----------
    observed : what it observes, in order of time.
    posterior, member_share : trips that explain it, and the weight of each, shape (members,) [1].
    can_tell : what such readings can tell at all.
    causes : everything that may be off, the likeliest first.
    explanations : rival explanations, the likeliest first.
    outlook : the rest of the trip.
    offers : numbers to update.
    """

    observed: tuple[Observation, ...]
    posterior: Posterior
    member_share: Floats
    can_tell: Told
    causes: tuple[Cause, ...]
    explanations: tuple[Explanation, ...]
    outlook: FieldOutlook
    offers: tuple[Offer, ...]

    def cause(self, key: str) -> Cause:
        """Return what is held of one unknown."""
        return next(each for each in self.causes if each.unknown.key == key)


@dataclass(frozen=True, eq=False)
class FieldCheck:
    """A log against a run.

    Attributes
    ----------
    predicted : the run as it was planned.
    checks : each number against it, in order of time.
    outside : readings whose minute is not in the run.
    found : what the log says; None where it observes nothing.
    """

    predicted: StationRun
    checks: tuple[Check, ...]
    outside: tuple[FieldReading, ...]
    found: Findings | None

    @property
    def offers(self) -> tuple[Offer, ...]:
        """Numbers to update."""
        return self.found.offers if self.found is not None else ()


def field_check(run: StationRun, readings: tuple[FieldReading, ...] | None = None) -> FieldCheck:
    """Check a run against a log, by default the station's own; see ``search_field_check``."""
    return finish(search_field_check(run, readings))


def search_field_check(
    run: StationRun, readings: tuple[FieldReading, ...] | None = None
) -> Search[FieldCheck]:
    """Check a run against a log, find what explains it, and foretell the rest of the trip.

    Raises
    ------
    GeneratorExit
        When nobody asks on.
    """
    yield 0.0
    usual_courses(run)
    yield 0.05
    log = run.station.readings if readings is None else readings
    inside = sorted(
        ((step, entry) for entry in log if (step := step_of(run, entry)) is not None),
        key=lambda pair: pair[0],
    )
    outside = tuple(entry for entry in log if step_of(run, entry) is None)
    checks = tuple(check for step, entry in inside for check in _checks(run, step, entry))
    observed = observations(run, log)
    found = (yield from _search_findings(run, observed)) if observed else None
    return FieldCheck(run, checks, outside, found)


def _search_findings(run: StationRun, observed: tuple[Observation, ...]) -> Search[Findings]:
    posterior = yield from search_posterior(run, unknowns(run), observed)
    can_tell = told(run, observed, posterior)
    weights = held_weights(posterior, can_tell)
    off = causes(posterior, weights)
    return Findings(
        observed, posterior, weights, can_tell, off,
        explanations(posterior, weights, off),
        field_outlook(posterior.courses, weights, observed),
        offers(run, off, can_tell),
    )  # fmt: skip


def check_reading(run: StationRun, reading: FieldReading) -> tuple[Check, ...]:
    """Return one reading against the prediction; nothing where the run has no such minute."""
    step = step_of(run, reading)
    return () if step is None else tuple(_checks(run, step, reading))


def _credits(
    run: StationRun, step: int, reading: FieldReading
) -> Iterator[tuple[Quantity, Credit]]:
    meters = run.station.meters
    if reading.used_ah is not None:
        yield "used_ah", credit_of_counter(reading.used_ah, step * run.clock.step_h, meters)
    if reading.battery_v is not None:
        volts = credit_of_volts(
            run.station.battery, reading.battery_v, meters, at_rest=reading.at_rest
        )
        yield "battery_v", volts
    if reading.panel_a is not None:
        room = _has_room(run, reading)
        yield "panel_a", credit_of_panel(run, step, reading.panel_a, has_room=room)
    if reading.load_a is not None:
        yield "load_a", credit_of_load(reading.load_a, meters)


def _has_room(run: StationRun, reading: FieldReading) -> bool | None:
    """Whether the counter shows a battery that takes all the sun there is; None without one."""
    if reading.used_ah is None:
        return None
    return reading.used_ah > ROOM_FRACTION * run.inputs.bounds.full_ah


def _checks(run: StationRun, step: int, reading: FieldReading) -> Iterator[Check]:
    credit = dict(_credits(run, step, reading))
    if not credit:
        return
    at_rest = reading.model_copy(update={"at_rest": True, "event": "none"})
    observed = observations(run, (at_rest,))
    factors, courses = usual_courses(run)
    likelihood = Likelihood(run, unknowns(run), observed)
    even = np.full(len(factors) - 1, 1.0 / (len(factors) - 1))
    for place, each in enumerate(observed):
        quantity: Quantity = each.kind  # type: ignore[assignment]
        shown = likelihood.expected(place, factors, courses)
        expected = _planned(run, step, quantity, reading, float(shown[0]))
        # The fleet goes by steps of ten minutes: its band is laid about the planned value.
        ends = weighted_quantiles(shown[1:] - shown[0], even, BAND)
        low, high = expected + min(ends[0], 0.0), expected + max(ends[1], 0.0)
        if quantity in ("panel_a", "load_a"):
            low = max(low, 0.0)
        side = high - expected if each.amount >= expected else expected - low
        agrees = abs(each.amount - expected) <= hypot(side, 2 * each.sd)
        yield Check(
            reading, run.clock.at(step), quantity, each.amount, expected, low, high, agrees,
            credit[quantity],
        )  # fmt: skip


def _planned(
    run: StationRun, step: int, quantity: Quantity, reading: FieldReading, otherwise: float
) -> float:
    """Return what the planned run has at the minute of a reading, in the reading's unit."""
    flow = run.flow
    if quantity == "used_ah":
        return counter_start_ah(run) + float(flow.stored_ah[0] - flow.stored_ah[step])
    if quantity == "battery_v":
        return float(flow.rest_v[step])
    if quantity == "panel_a":
        return float((flow.panel_able_a if _has_room(run, reading) else flow.panel_a)[step])
    return otherwise


@kept_while_it_lives
def usual_courses(run: StationRun) -> tuple[Floats, Courses]:
    """Return trips with ordinary errors only, the first of them without any.

    They take a moment the first time: whoever shows readings as they are typed has them made
    beforehand.

    Returns
    -------
    Factors, shape (members, unknowns) [1], and what becomes of them.
    """
    chance, unknown = default_rng(BAND_SEED), unknowns(run)
    logs = np.stack([each.drawn(BAND_MEMBERS, chance, 0.0) for each in unknown], axis=1)
    logs[0] = 0.0
    fleets = FactorFleets(run, unknown)
    factors = np.exp(logs)
    return factors, fleets.run(factors, frozenset(range(fleets.steps)))
