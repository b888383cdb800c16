"""Rules about volts and amperes: whether battery, board and sets fit one another."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

import numpy as np

from model.findings.finding import Finding, Subject
from model.scenario.station import Battery, Station
from model.station.chemistry import absorption_v, interpolate
from model.support.figures import amount, apart, entered


def _resting_v(battery: Battery, fraction: float) -> float:
    cell_v = interpolate(battery.cell.rest_v, np.array([fraction]))
    return float(cell_v[0]) * battery.cells_in_series


def _not_stated(subject: Subject) -> Iterator[Finding]:
    planned, station = subject.planned, subject.station
    if planned is None or planned.given_w <= 0:
        return
    if station.radio.supply_min_v is None:
        yield Finding(
            "hint",
            "radio.supply_min_v",
            "No minimum voltage for full power is entered: the run takes full power to last until"
            " the battery is empty or cut off.",
            "Turn the supply down on the bench until the power falls, and enter that voltage;"
            " for many radios it is between 11.5 and 12.6 V.",
        )
    if planned.way.amplified and station.amplifier and station.amplifier.supply_min_v is None:
        yield Finding(
            "hint",
            "amplifier.supply_min_v",
            "No minimum voltage for the amplifier's full power is entered: the run takes full power"
            " to last until the battery is empty or cut off.",
            "Enter the voltage at which its power falls.",
        )


def _supply_window(subject: Subject) -> Iterator[Finding]:
    radio = subject.station.radio
    low, high, least = radio.supply_min_v, radio.supply_max_v, radio.receive_min_v
    if low is not None and high is not None and low >= high:
        yield Finding(
            "error",
            "radio.supply_min_v",
            f"Full power needs {entered(low, 'V')}, but the radio is rated for no more than"
            f" {entered(high, 'V')}: no voltage suits it.",
            "13.8 V ± 15 % is usual: 11.7 to 15.9 V.",
        )
    elif least is not None and high is not None and least >= high:
        yield Finding(
            "error",
            "radio.receive_min_v",
            f"Receive needs {entered(least, 'V')}, but the radio is rated for no more than"
            f" {entered(high, 'V')}: no voltage suits it.",
        )
    if low and least is not None and least > low:
        yield Finding(
            "warning",
            "radio.receive_min_v",
            f"Receive ends at {entered(least, 'V')}, above the {entered(low, 'V')} at which full"
            " power"
            " ends.",
            "Receive usually goes on to a lower voltage than full power.",
        )


@dataclass(frozen=True)
class OverVoltage:
    """A battery above what the radio is rated for: at rest when full, or only while charging [V].

    ``reached_v`` is what it reaches there, ``limit_v`` the radio's maximum.
    """

    when: Literal["full", "charging"]
    reached_v: float
    limit_v: float


def over_voltage(station: Station) -> OverVoltage | None:
    """Return how a station's battery can stand above its radio's maximum; None if it cannot."""
    limit_v, battery = station.radio.supply_max_v, station.battery
    if limit_v is None:
        return None
    full_v, charging_v = _resting_v(battery, 1.0), absorption_v(battery)
    if full_v > limit_v:
        return OverVoltage("full", full_v, limit_v)
    if charging_v > limit_v and (station.panel is not None or station.chargers):
        return OverVoltage("charging", charging_v, limit_v)
    return None


def _too_high(subject: Subject) -> Iterator[Finding]:
    battery, found = subject.station.battery, over_voltage(subject.station)
    if found is None:
        return
    pack = f"{battery.cells_in_series} {battery.chemistry} cells"
    charging, limit = apart((absorption_v(battery), found.limit_v), "V")
    if found.when == "full":
        full, limit = apart((found.reached_v, found.limit_v), "V")
        yield Finding(
            "warning",
            "battery.cells",
            f"{pack} reach {full} when full, up to {charging} on the charger; this radio is rated"
            f" for {limit}.",
            "Do not connect it. Use a regulator, another pack, or start below full; check the"
            " voltage with a meter first.",
        )
    else:
        yield Finding(
            "warning",
            "battery.cells",
            f"While charging, {pack} reach {charging}; this radio is rated for {limit}.",
            "Lower the charge voltage, or disconnect the radio while charging.",
        )


def _too_low(subject: Subject) -> Iterator[Finding]:
    station, planned = subject.station, subject.planned
    battery, radio = station.battery, station.radio
    full_v, half_v = _resting_v(battery, 0.98), _resting_v(battery, 0.5)
    pack = f"{battery.cells_in_series} {battery.chemistry} cells"
    needs = [("Receive", "radio.receive_min_v", radio.receive_min_v)]
    if planned is not None and planned.given_w > 0:
        needs.append(("Full power", "radio.supply_min_v", radio.supply_min_v))
        if planned.way.amplified and station.amplifier is not None:
            path = "amplifier.supply_min_v"
            needs.append(("The amplifier's full power", path, station.amplifier.supply_min_v))
    for what, path, needed_v in needs:
        if needed_v is not None and half_v < needed_v:
            when = (
                "even when full" if full_v < needed_v else "from half charge on, without any load"
            )
            volts = full_v if full_v < needed_v else half_v
            needed, rests = apart((needed_v, volts), "V")
            yield Finding(
                "warning",
                path,
                f"{what} needs {needed}, but {pack} rest at {rests}: too low {when}.",
                "Choose a pack with more cells in series, or another chemistry.",
            )


def _board(subject: Subject) -> Iterator[Finding]:
    planned, battery = subject.planned, subject.station.battery
    if planned is None or battery.discharge_limit_a is None:
        return
    limit_a = battery.discharge_limit_a * battery.count
    drawn_a = planned.key_down_a
    drawn, limit = apart((drawn_a, limit_a), "A")
    if drawn_a > limit_a:
        yield Finding(
            "warning",
            "battery.discharge_limit_a",
            f"With the key down at {amount(planned.given_w, 'W')} the station draws {drawn}; the"
            f" battery lets {limit} through: its protection opens and the station is off the air."
            " The run transmits at less power instead.",
            "Turn the power down, or use a battery with a higher discharge limit.",
        )
    elif drawn_a > 0.9 * limit_a:
        yield Finding(
            "hint",
            "battery.discharge_limit_a",
            f"With the key down at {amount(planned.given_w, 'W')} the station draws {drawn} of the"
            f" {limit} that the battery lets through.",
            "Anything else switched on at that moment may trip the protection.",
        )


def _cut_off(subject: Subject) -> Iterator[Finding]:
    battery = subject.station.battery
    full_v = _resting_v(battery, 0.98)
    if battery.cutoff_v >= full_v:
        yield Finding(
            "warning",
            "battery.cutoff_v",
            f"The loads are cut off at {entered(battery.cutoff_v, 'V')}, but this battery rests at"
            f" {amount(full_v, 'V')}"
            " when full.",
            "Enter a lower voltage.",
        )
    if battery.reconnect_v and battery.reconnect_v < battery.cutoff_v:
        yield Finding(
            "warning",
            "battery.reconnect_v",
            f"The loads are cut off at {entered(battery.cutoff_v, 'V')} and return at"
            f" {entered(battery.reconnect_v, 'V')} already: they would switch on and off again and"
            " again.",
            "Reconnect well above the cut-off voltage.",
        )
    if battery.reconnect_v > _resting_v(battery, 1.0):
        yield Finding(
            "warning",
            "battery.reconnect_v",
            f"Once cut off, the loads never return: {entered(battery.reconnect_v, 'V')} is above"
            f" the {amount(_resting_v(battery, 1.0), 'V')} of the full battery at rest.",
            "Enter a lower voltage.",
        )
    least_v = (battery.cell.harmed_below_cell_v or 0.0) * battery.cells_in_series
    if battery.cutoff_v < least_v - 0.01:
        given = f"at {entered(battery.cutoff_v, 'V')}" if battery.cutoff_v else "at no voltage"
        yield Finding(
            "hint",
            "battery.cutoff_v",
            f"The loads are cut off {given}: below {entered(least_v, 'V')} a {battery.cell.family}"
            " battery is damaged; the last ampere-hours counted here shorten its life.",
            f"Cut off at {entered(least_v, 'V')} or above.",
        )


RULES = (_not_stated, _supply_window, _too_high, _too_low, _board, _cut_off)
