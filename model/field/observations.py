"""What a log of readings observes of a run: where, how much, and how far it may be off."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, datetime, time, timedelta
from math import hypot
from typing import Literal
from zoneinfo import ZoneInfo

from model.editing.units import InUnit
from model.engine.comparison import COARSE_STEP_MIN
from model.engine.run import StationRun
from model.scenario.declare import minutes_of
from model.scenario.station import FieldReading

Kind = Literal["used_ah", "battery_v", "panel_a", "load_a", "off", "back", "on"]

# Half-widths of 95 % bands are two standard deviations here.
HALF_BAND_SD = 2.0
# What else parts a reading from a run that is right: the sky of a moment from that of its day;
# rested volts of one battery from those of its kind; a use from its mean; a run of ten-minute
# steps from the minute. Common practice, no source.
SKY_OF_MOMENT_SHARE = 0.15
REST_SD_V = 0.02
LEAST_CURRENT_SD_A = 0.02
COUNTER_SD_FRACTION = 0.003
END_SD_H, BACK_SD_H = 0.15, 0.5


@dataclass(frozen=True)
class Observation:
    """One thing observed.

    Attributes
    ----------
    kind : what; ``on`` that it was on the air.
    step_index : steps of the fleet since the start, with their part [1].
    amount : what was read, in its unit; 0 for events.
    sd : standard deviation, in the same unit; hours for events.
    reading : where it was read.
    """

    kind: Kind
    step_index: float
    amount: InUnit
    sd: InUnit
    reading: FieldReading


def step_of(run: StationRun, reading: FieldReading) -> int | None:
    """Return the step a reading was taken in; None where the run has no such minute."""
    zone = ZoneInfo(run.site.timezone)
    midnight = datetime.combine(run.trip.date + timedelta(days=reading.day - 1), time())
    wall = midnight + timedelta(minutes=minutes_of(reading.at))
    elapsed = wall.replace(tzinfo=zone).astimezone(UTC) - run.clock.start.astimezone(UTC)
    step = round(elapsed.total_seconds() / 60 / run.clock.step_min)
    return step if 0 <= step < run.clock.steps else None


def observations(run: StationRun, log: tuple[FieldReading, ...]) -> tuple[Observation, ...]:
    """Return what a log observes, in order of time; readings outside the run observe nothing."""
    inside = sorted(
        ((step, entry) for entry in log if (step := step_of(run, entry)) is not None),
        key=lambda pair: pair[0],
    )
    return tuple(each for step, entry in inside for each in _observed(run, step, entry))


def _observed(run: StationRun, step: int, entry: FieldReading) -> Iterator[Observation]:
    at = step * run.clock.step_min / COARSE_STEP_MIN
    hours, meters = step * run.clock.step_h, run.station.meters
    if entry.used_ah is not None:
        full_ah = run.inputs.bounds.full_ah
        doubt_ah = meters.counter_share * abs(entry.used_ah) + meters.counter_offset_a * hours
        sd_ah = hypot(doubt_ah / HALF_BAND_SD, COUNTER_SD_FRACTION * full_ah)
        yield Observation("used_ah", at, entry.used_ah, sd_ah, entry)
    if entry.battery_v is not None and entry.at_rest:
        sd_v = hypot(meters.volts_v / HALF_BAND_SD, REST_SD_V)
        yield Observation("battery_v", at, entry.battery_v, sd_v, entry)
    if entry.panel_a is not None and run.station.panel is not None:
        able_a = max(entry.panel_a, float(run.flow.panel_able_a[step]))
        share = hypot(meters.current_share, SKY_OF_MOMENT_SHARE) / HALF_BAND_SD
        yield Observation(
            "panel_a", at, entry.panel_a, hypot(share * able_a, LEAST_CURRENT_SD_A), entry
        )
    if entry.load_a is not None:
        share = meters.current_share / HALF_BAND_SD
        sd_a = hypot(share * entry.load_a, LEAST_CURRENT_SD_A)
        yield Observation("load_a", at, entry.load_a, sd_a, entry)
    if entry.event == "off":
        yield Observation("off", at, 0.0, END_SD_H, entry)
    elif entry.event == "back":
        yield Observation("back", at, 0.0, BACK_SD_H, entry)
    elif entry.event == "no change":
        yield Observation("on", at, 0.0, END_SD_H, entry)
