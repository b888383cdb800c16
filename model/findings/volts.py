"""Rules about volts and amperes: whether battery, board and sets fit one another."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from model.findings.finding import Finding, Subject
from model.scenario.station import Battery
from model.station.chemistry import absorption_v, interpolate


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
            "Where full power ends is not stated: full power is taken to hold until the battery"
            " is empty or cut off.",
            "Turn the supply down on the bench until the power falls, and enter those volts;"
            " many sets stop between 11.5 and 12.6 V.",
        )
    if planned.way.amplified and station.amplifier and station.amplifier.supply_min_v is None:
        yield Finding(
            "hint",
            "amplifier.supply_min_v",
            "Where the amplifier's full power ends is not stated: it is taken to hold until the"
            " battery is empty or cut off.",
            "Enter the volts at which its power falls.",
        )


def _supply_window(subject: Subject) -> Iterator[Finding]:
    radio = subject.station.radio
    low, high, least = radio.supply_min_v, radio.supply_max_v, radio.receive_min_v
    if low is not None and high is not None and low >= high:
        yield Finding(
            "error",
            "radio.supply_min_v",
            f"Full power ends at {low:g} V, but no more than {high:g} V may be supplied: no volts"
            " fit.",
            "13.8 V ± 15 % is usual: 11.7 to 15.9 V.",
        )
    elif least is not None and high is not None and least >= high:
        yield Finding(
            "error",
            "radio.receive_min_v",
            f"Receive needs {least:g} V, but no more than {high:g} V may be supplied: no volts"
            " fit.",
        )
    if low and least is not None and least > low:
        yield Finding(
            "warning",
            "radio.receive_min_v",
            f"Receive is said to end at {least:g} V, sooner than full power at {low:g} V.",
            "Receive usually goes on to lower volts than sending.",
        )


def _too_high(subject: Subject) -> Iterator[Finding]:
    station = subject.station
    limit_v = station.radio.supply_max_v
    if limit_v is None:
        return
    battery = station.battery
    full_v, charging_v = _resting_v(battery, 1.0), absorption_v(battery)
    charges = station.panel is not None or bool(station.chargers)
    pack = f"{battery.cells_in_series} {battery.chemistry} cells"
    if full_v > limit_v:
        yield Finding(
            "warning",
            "battery.cells",
            f"{pack} stand at {full_v:.1f} V when full, up to {charging_v:.1f} V from the charger;"
            f" this radio bears {limit_v:g} V.",
            "Use a regulator, another pack, or start below full; check with a meter before you"
            " connect.",
        )
    elif charges and charging_v > limit_v:
        yield Finding(
            "warning",
            "battery.cells",
            f"While {pack} charge they reach {charging_v:.1f} V; this radio bears {limit_v:g} V.",
            "Set the charge volts lower, or do not operate while charging.",
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
            yield Finding(
                "warning",
                path,
                f"{what} needs {needed_v:g} V, but {pack} rest at {volts:.1f} V: too low {when}.",
                "Choose a pack with more cells in series or another chemistry.",
            )


def _board(subject: Subject) -> Iterator[Finding]:
    planned, battery = subject.planned, subject.station.battery
    if planned is None or battery.discharge_limit_a is None:
        return
    limit_a = battery.discharge_limit_a * battery.count
    drawn_a = planned.key_down_a
    if drawn_a > limit_a:
        yield Finding(
            "warning",
            "battery.discharge_limit_a",
            f"With the key down at {planned.given_w:.3g} W the station draws {drawn_a:.1f} A; the"
            f" battery lets {limit_a:g} A through: its protection opens and all goes silent."
            " The run sends at less instead.",
            "Turn the power down, or take a battery with a higher limit.",
        )
    elif drawn_a > 0.9 * limit_a:
        yield Finding(
            "hint",
            "battery.discharge_limit_a",
            f"With the key down at {planned.given_w:.3g} W the radio draws {drawn_a:.1f} A of the"
            f" {limit_a:g} A that the battery lets through.",
            "Anything else switched on at that moment may trip the protection.",
        )


def _cut_off(subject: Subject) -> Iterator[Finding]:
    battery = subject.station.battery
    full_v = _resting_v(battery, 0.98)
    if battery.cutoff_v >= full_v:
        yield Finding(
            "warning",
            "battery.cutoff_v",
            f"The loads drop at {battery.cutoff_v:g} V, but this battery rests at {full_v:.1f} V"
            " when full.",
            "Enter lower volts.",
        )
    if battery.reconnect_v and battery.reconnect_v < battery.cutoff_v:
        yield Finding(
            "warning",
            "battery.reconnect_v",
            f"The loads drop at {battery.cutoff_v:g} V and would return at"
            f" {battery.reconnect_v:g} V already: they would come and go.",
            "Reconnect well above the cut-off.",
        )
    if battery.reconnect_v > _resting_v(battery, 1.0):
        yield Finding(
            "warning",
            "battery.reconnect_v",
            f"Once cut off the loads never return: {battery.reconnect_v:g} V is above the"
            f" {_resting_v(battery, 1.0):.1f} V of the full battery at rest.",
            "Enter lower volts.",
        )
    least_v = (battery.cell.harmed_below_cell_v or 0.0) * battery.cells_in_series
    if battery.cutoff_v < least_v - 0.01:
        given = f"at {battery.cutoff_v:g} V" if battery.cutoff_v else "at no volts"
        yield Finding(
            "hint",
            "battery.cutoff_v",
            f"The loads are dropped {given}: below {least_v:g} V a {battery.cell.family} battery is"
            " harmed, and the last ampere-hours counted here cost its life.",
            f"Cut off at {least_v:g} V or above.",
        )


RULES = (_not_stated, _supply_window, _too_high, _too_low, _board, _cut_off)
