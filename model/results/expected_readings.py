"""What the meter should read: expected values with the band in which they still agree."""

from __future__ import annotations

from dataclasses import dataclass
from math import hypot

import numpy as np

from model.editing.field_facts import field_at
from model.engine.run import StationRun
from model.results.voltage_drop import chain_at_charge
from model.scenario.station import Battery, Part
from model.station.chemistry import TABLE_STEPS, rest_v
from model.station.transmit_path import highest_planned_w, way_for
from model.support.figures import amount, entered

# A meter in the field and a plug or two: common practice, no source.
METER_SPREAD = 0.05
METER_DOUBT_V = 0.1
# A rest reading agrees if the charge behind it is within this of what was planned.
REST_CHARGE_DOUBT = 0.05
# Charge between which volts with the key down are expected to be read.
LOW_CHARGE, HIGH_CHARGE = 0.3, 0.98


@dataclass(frozen=True)
class Reading:
    """One thing to measure: what, how, the value expected and the band that still agrees.

    ``predicted`` says that the value comes from a run, not from what the part is said to draw.
    """

    what: str
    how: str
    unit: str
    decimals: int
    expected: float  # in ``unit``
    low: float
    high: float
    predicted: bool = False


@dataclass(frozen=True)
class DoubtBand:
    """What resting volts cannot tell: any charge between the two fractions reads alike [1]."""

    reading_v: float
    low_fraction: float
    high_fraction: float


def readings(run: StationRun, clear: StationRun) -> tuple[Reading, ...]:
    """Return what can be measured before and during the run, in the order it is done."""
    return tuple(
        reading
        for reading in (
            _rest_volts(run),
            _off_current(run),
            _receive_current(run),
            _watch_current(run),
            *_transmitting(run),
            _panel_current(clear),
        )
        if reading is not None
    )


def _rest_volts(run: StationRun) -> Reading:
    battery, start = run.station.battery, run.station.start_fraction
    ends = np.clip([start - REST_CHARGE_DOUBT, start, start + REST_CHARGE_DOUBT], 0.0, 1.0)
    low, expected, high = rest_v(battery.chemistry, battery.cells_in_series, ends)
    return Reading(
        "Battery voltage", f"{entered(30, 'min')} at rest", "V", 2,
        float(expected), float(low), float(high),
    )  # fmt: skip


def _off_current(run: StationRun) -> Reading | None:
    radio = run.station.radio
    if radio.off_a <= 0:
        return None
    return _current("Radio off", "", radio, "off_a", radio.off_a, 3)


def _receive_current(run: StationRun) -> Reading:
    radio = run.station.radio
    return _current("Radio alone", "receiving", radio, "receive_a", radio.receive_a)


def _watch_current(run: StationRun) -> Reading | None:
    """Return what the whole station draws in its first watch."""
    watching = run.inputs.loads.receive_a > 0
    calm = watching & (run.inputs.loads.send_share == 0) & run.flow.radio_on
    steps = np.flatnonzero(calm)
    if not steps.size:
        return None
    # A watch kept by the clock is averaged: what a meter shows is the draw while listening.
    listening = steps[run.inputs.loads.receive_a[steps] >= run.station.radio.receive_a * 0.999]
    if not listening.size:
        return None
    drawn_a = float(np.median(run.flow.load_a[listening]))
    spread = spread_of(run.station.radio, "receive_a")
    return Reading(
        "Whole station", "receiving", "A", 2,
        drawn_a, drawn_a * (1 - spread), drawn_a * (1 + spread),
    )  # fmt: skip


def _transmitting(run: StationRun) -> list[Reading]:
    station = run.station
    planned_w = highest_planned_w(station, run.plan)
    if planned_w <= 0:
        return []
    way, rf_w = way_for(station, planned_w)
    drawn_a = way.current_a(rf_w)
    keyed: Part = station.amplifier if way.amplified and station.amplifier else station.radio
    found = [
        _current(f"Key down {amount(rf_w, 'W')}", "dummy load", keyed, "key_down", drawn_a, 1)
    ]  # fmt: skip
    # At that power, without sun: as charged at the start, and from nearly empty to nearly full.
    low_v, expected_v, high_v = sorted(
        chain_at_charge(run, fraction).at_set_v("radio")[1]
        for fraction in (LOW_CHARGE, min(run.station.start_fraction, HIGH_CHARGE), HIGH_CHARGE)
    )
    found.append(
        Reading(
            "Voltage at the radio", "key down", "V", 2, expected_v, low_v, high_v, predicted=True
        )
    )
    return found


def _panel_current(clear: StationRun) -> Reading | None:
    panel = clear.station.panel
    if clear.station.controller is None:
        # Such a panel is not connected, so that there is nothing to read.
        return None
    # A battery too cold to be charged takes nothing, whatever the panel could give.
    able_a = np.where(clear.inputs.climate.may_charge, clear.flow.panel_able_a, 0.0)
    if panel is None or able_a.max() <= 0:
        return None
    best = int(np.argmax(able_a))
    losses = panel.other_losses
    spread = hypot(
        spread_of(panel, "rated_w"), spread_of(panel, "other_losses") * losses / (1 - losses)
    )
    amperes = float(able_a[best])
    return Reading(
        f"Panel {clear.clock.at(best):%H:%M}", "clear, low battery",
        "A", 1, amperes, amperes * (1 - spread), amperes * (1 + spread), predicted=True,
    )  # fmt: skip


def _current(
    what: str, how: str, part: Part, field: str, expected_a: float, decimals: int = 2
) -> Reading:
    spread = spread_of(part, field)
    return Reading(
        what, how, "A", decimals, expected_a, expected_a * (1 - spread), expected_a * (1 + spread)
    )


def spread_of(part: Part, field: str) -> float:
    """Return the half-width of the band round a part's number, over the number [1].

    As the file says; otherwise that of a guess for the field, and a meter's own where the number
    was measured.
    """
    source = part.source_of(field)
    if source.spread is not None:
        return source.spread
    if source.origin == "measured":
        return METER_SPREAD
    slot = type(part).__name__.lower()
    return field_at(f"stations.0.{slot}.{field}").spread or METER_SPREAD


def doubt_band(battery: Battery) -> DoubtBand:
    """Return which charges look alike to a meter at the middle of the battery's rest volts."""
    charge = np.linspace(0.0, 1.0, TABLE_STEPS + 1)
    volts = rest_v(battery.chemistry, battery.cells_in_series, charge)
    middle_v = float(volts[TABLE_STEPS // 2])
    alike = charge[np.abs(volts - middle_v) <= METER_DOUBT_V]
    return DoubtBand(middle_v, float(alike.min()), float(alike.max()))
