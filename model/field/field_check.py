"""The field check: readings against the prediction, and the rest of the trip run from there."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from math import hypot
from typing import Any, Literal
from zoneinfo import ZoneInfo

import numpy as np

from model.editing.field_facts import in_sentence
from model.editing.units import InUnit
from model.engine.outcome import USES, Use
from model.engine.run import StationRun, restarted
from model.field.bench_sheet import facts_of, part_at, with_measured
from model.field.calibration import (
    Factors,
    Observed,
    corrected,
    learn,
    predicted,
    prediction_spread,
    prior_spreads,
)
from model.field.meter_accuracy import (
    Credit,
    charge_by_volts,
    credit_of_counter,
    credit_of_panel,
    credit_of_volts,
)
from model.results.expected_readings import METER_DOUBT_V
from model.results.provenance import bases
from model.scenario.declare import Source, minutes_of
from model.scenario.kinds import KINDS, kind_of
from model.scenario.station import FieldReading, Station
from model.station.chemistry import rest_v
from model.support.figures import entered, percent

Quantity = Literal["used_ah", "battery_v", "panel_a"]
UNITS: dict[Quantity, str] = {"used_ah": "Ah", "battery_v": "V", "panel_a": "A"}
ROOM_FRACTION = 0.05
# A part whose number seems off by less than this is left alone.
LEAST_OFFER = 0.05
# And one of which the readings say next to nothing: the band must have narrowed this far.
NARROWED = 0.85


@dataclass(frozen=True)
class Check:
    """One thing read against what was predicted for that minute.

    ``low`` and ``high`` bound where the prediction lies with its 95 % band; ``agrees`` also
    allows for the meter.
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


@dataclass(frozen=True)
class Offer:
    """A number of a part that the readings would have otherwise, with the sentence that says so."""

    path: str
    before: Any
    after: Any
    spread: float
    sentence: str


@dataclass(frozen=True, eq=False)
class FieldCheck:
    """What a log of readings says.

    Attributes
    ----------
    predicted : the run as it was planned.
    checks : each reading against it, in order of time.
    outside : readings whose minute is not in the run.
    factors : what the readings say of loads and sun.
    outlook : the run with those, taken up from the last charge that can be believed.
    last_step : the step of that charge; None where there is none.
    offers : numbers to update.
    """

    predicted: StationRun
    checks: tuple[Check, ...]
    outside: tuple[FieldReading, ...]
    factors: Factors
    outlook: StationRun
    last_step: int | None
    offers: tuple[Offer, ...]


def field_check(run: StationRun, readings: tuple[FieldReading, ...] | None = None) -> FieldCheck:
    """Check a run against readings, by default the station's own log, and run on from them."""
    log = run.station.readings if readings is None else readings
    inside = sorted(
        ((step, entry) for entry in log if (step := step_of(run, entry)) is not None),
        key=lambda pair: pair[0],
    )
    outside = tuple(entry for entry in log if step_of(run, entry) is None)
    checks = tuple(check for step, entry in inside for check in _checks(run, step, entry))
    observed = tuple(each for step, entry in inside for each in observed_in(run, step, entry))
    factors = learn(run, observed)
    outlook = corrected(run, factors) if observed else run
    last = max((each for each in observed if each.quantity == "stored_ah"),
               key=lambda each: each.step, default=None)  # fmt: skip
    if last is not None:
        outlook = restarted(outlook, last.step, _charge(outlook, last))
    return FieldCheck(
        run, checks, outside, factors, outlook, last.step if last else None,
        tuple(_offers(run, factors)),
    )  # fmt: skip


def check_reading(run: StationRun, reading: FieldReading) -> tuple[Check, ...]:
    """Return one reading against the prediction; nothing where the run has no such minute."""
    step = step_of(run, reading)
    return () if step is None else tuple(_checks(run, step, reading))


def step_of(run: StationRun, reading: FieldReading) -> int | None:
    """Return the step a reading was taken in; None where the run has no such minute."""
    zone = ZoneInfo(run.site.timezone)
    midnight = datetime.combine(run.trip.date + timedelta(days=reading.day - 1), time())
    wall = midnight + timedelta(minutes=minutes_of(reading.at))
    elapsed = wall.replace(tzinfo=zone).astimezone(UTC) - run.clock.start.astimezone(UTC)
    step = round(elapsed.total_seconds() / 60 / run.clock.step_min)
    return step if 0 <= step < run.clock.steps else None


def observed_in(run: StationRun, step: int, reading: FieldReading) -> Iterator[Observed]:
    """Yield what can be believed of a reading."""
    for quantity, credit in _credits(run, step, reading):
        if not credit.believable:
            continue
        if quantity == "panel_a":
            yield Observed(step, "panel_a", reading.panel_a or 0.0, credit.doubt_a)
        else:
            yield Observed(step, "stored_ah", _stored_ah(run, quantity, reading), credit.doubt_ah)


def _credits(
    run: StationRun, step: int, reading: FieldReading
) -> Iterator[tuple[Quantity, Credit]]:
    if reading.used_ah is not None:
        yield "used_ah", credit_of_counter(reading.used_ah, step * run.clock.step_h)
    if reading.battery_v is not None:
        volts = credit_of_volts(run.station.battery, reading.battery_v, at_rest=reading.at_rest)
        yield "battery_v", volts
    if reading.panel_a is not None:
        room = _has_room(run, reading)
        yield "panel_a", credit_of_panel(run, step, reading.panel_a, has_room=room)


def _has_room(run: StationRun, reading: FieldReading) -> bool | None:
    """Whether the counter shows a battery that takes all the sun there is; None without one."""
    if reading.used_ah is None:
        return None
    return reading.used_ah > ROOM_FRACTION * run.inputs.bounds.full_ah


def _stored_ah(run: StationRun, quantity: Quantity, reading: FieldReading) -> float:
    full_ah = run.inputs.bounds.full_ah
    if quantity == "used_ah":
        return full_ah - (reading.used_ah or 0.0)
    span = charge_by_volts(run.station.battery, reading.battery_v or 0.0)
    assert span is not None, "a voltage that fits no charge is not counted"
    return span.middle_fraction * full_ah


def _charge(outlook: StationRun, last: Observed) -> float:
    """Return the charge to go on from: the reading, as far as it is better than the run."""
    run_ah = float(outlook.fraction[last.step] * outlook.inputs.bounds.full_ah)
    # What the corrected run still misses by, beyond its numbers: common practice, no source.
    run_doubt_ah = 0.05 * outlook.inputs.bounds.full_ah
    weight = run_doubt_ah**2 / (run_doubt_ah**2 + last.doubt**2)
    return float(run_ah + weight * (last.amount - run_ah))


def _checks(run: StationRun, step: int, reading: FieldReading) -> Iterator[Check]:
    for quantity, credit in _credits(run, step, reading):
        low, expected, high = _band(run, step, quantity, has_room=_has_room(run, reading))
        measured = getattr(reading, quantity)
        side = high - expected if measured >= expected else expected - low
        meter = {"used_ah": credit.doubt_ah, "panel_a": credit.doubt_a, "battery_v": METER_DOUBT_V}
        agrees = abs(measured - expected) <= hypot(side, meter[quantity])
        yield Check(
            reading, run.clock.at(step), quantity, measured, expected, low, high, agrees, credit
        )


def _band(
    run: StationRun, step: int, quantity: Quantity, *, has_room: bool | None
) -> tuple[float, float, float]:
    """Return the ends of the 95 % band of a prediction with what is predicted between them."""
    if quantity == "panel_a":
        doubt_a = prediction_spread(run, Observed(step, "panel_a", 0.0, 0.0))
        flow_a = run.flow.panel_able_a if has_room else run.flow.panel_a
        expected_a = float(flow_a[step])
        return max(expected_a - doubt_a, 0.0), expected_a, expected_a + doubt_a
    full_ah, charge = run.inputs.bounds.full_ah, Observed(step, "stored_ah", 0.0, 0.0)
    stored_ah, doubt_ah = predicted(run, charge), prediction_spread(run, charge)
    ends_ah = [min(max(stored_ah + part * doubt_ah, 0.0), full_ah) for part in (-1, 0, 1)]
    if quantity == "used_ah":
        most, expected, least = (full_ah - each for each in ends_ah)
        return least, expected, most
    battery = run.station.battery
    volts = rest_v(battery.chemistry, battery.cells_in_series, np.array(ends_ah) / full_ah)
    return float(volts[0]), float(volts[1]), float(volts[2])


def _offers(run: StationRun, factors: Factors) -> Iterator[Offer]:
    before = dict(zip(USES, prior_spreads(run), strict=False))
    rows = bases(run)
    for use in USES:
        factor, left = factors.use_factor[use], factors.use_spread[use]
        paths = {path for row in rows if row.use == use for path in row.paths}
        if _is_worth_saying(factor, left, float(before[use])):
            for path in sorted(paths & _offered_paths(use, run.station)):
                yield _offer(run.station, path, factor, left)
    panel, sun = run.station.panel, factors.sun_factor
    if panel and _is_worth_saying(sun, factors.sun_spread, float(prior_spreads(run)[len(USES)])):
        losses = round(min(max(1 - (1 - panel.other_losses) * sun, 0.0), 0.95), 3)
        words = (
            f"If the sky was as entered, the panel gives {_more_or_less(sun)} than predicted: other"
            f" losses would be {percent(losses)}, not {percent(panel.other_losses)}."
        )
        spread = min(factors.sun_spread * (1 - losses) / max(losses, 0.05), 2.0)
        yield Offer("panel.other_losses", panel.other_losses, losses, spread, words)


def _is_worth_saying(factor: float, left: float, before: float) -> bool:
    """Whether a factor is off by something, and the readings know of it more than was known."""
    off = abs(factor - 1)
    return off >= LEAST_OFFER and off > left / 2 and left < NARROWED * before


def _offered_paths(use: Use, station: Station) -> set[str]:
    """Return the numbers that the factor of a use may change; the efficiencies are not."""
    return {
        f"{path}.{name}"
        for kind in KINDS
        for path, _ in kind.held_by(station)
        for each in kind.uses
        for name in each.numbers
        if each.key == use
    }


def _offer(station: Station, path: str, factor: float, left: float) -> Offer:
    part, name = part_at(station, path)
    facts, before = facts_of(path), getattr(part, name)
    label = in_sentence(facts.label)
    if facts.kind == "points":
        after: Any = tuple((rf_w, _rounded(each * factor)) for rf_w, each in before)
        change = "each point by as much"
    else:
        after = _rounded(before * factor)
        change = f"{entered(after, facts.unit)} instead of {entered(before, facts.unit)}"
    of_what = part.name or kind_of(part).label.lower()
    words = f"{of_what}: {label} seems to be {_more_or_less(factor)} than entered; {change}."
    return Offer(path, before, after, min(left / factor, 2.0), words)


def _rounded(number: float) -> float:
    """Return a number to three digits: readings do not know more."""
    return float(f"{number:.3g}")


def _more_or_less(factor: float) -> str:
    return f"{percent(abs(factor - 1))} {'more' if factor > 1 else 'less'}"


def accepted(station: Station, offer: Offer, on: date) -> Station:
    """Return the station with an offered number, marked as measured in the field that day.

    Raises
    ------
    ScenarioError
        When the number is beyond what its field may hold.
    """
    where, _, name = offer.path.rpartition(".")
    source = Source.model_validate(
        {
            "from": "measured",
            "on": on,
            "spread": round(offer.spread, 3),
            "note": "worked out from field readings",
        }
    )
    return with_measured(station, where, {name: offer.after}, source)
