"""Rules about power: what the plan asks for against what radio and amplifier give and draw."""

from __future__ import annotations

from collections.abc import Iterator

from model.findings.finding import Finding, Subject
from model.scenario.station import KeyDown
from model.station.decibels import S_UNIT_DB, decibels
from model.station.key_down_law import NOTABLE_MISS, fit, misses
from model.station.transmit_path import amplified
from model.support.figures import amount, entered, number, percent, span

# How far past the measured points a current is still worth no more than a hint.
FAR_PAST = 1.5


def _no_law(subject: Subject) -> Iterator[Finding]:
    radio = subject.station.radio
    if subject.planned is None or radio.key_down:
        return
    if radio.rf_max_w is not None or subject.station.amplifier is not None:
        yield Finding(
            "error",
            "radio.key_down",
            "The plan transmits, but no key-down current is entered: what transmitting takes cannot"
            " be worked out.",
            "Enter the current at two or more powers.",
        )
    else:
        yield Finding(
            "warning",
            "radio.key_down",
            "The plan transmits, but this radio has no key-down current: it only receives.",
            "Enter the current at two powers; leave it empty for a receiver.",
        )


def _gives_less(subject: Subject) -> Iterator[Finding]:
    planned, station = subject.planned, subject.station
    if planned is None or not 0 < planned.given_w < planned.asked_w:
        return
    less_db = decibels(planned.asked_w, planned.given_w)
    yield Finding(
        "hint",
        "amplifier.rf_max_w" if station.amplifier and planned.way.amplified else "radio.rf_max_w",
        f"The plan asks for {entered(planned.asked_w, 'W')}; this station transmits"
        f" {amount(planned.given_w, 'W')}, {amount(less_db, 'dB', 2)} less"
        f" ({number(less_db / S_UNIT_DB, 2)} S-units).",
        "Compare at the same RF power, or allow for the difference.",
    )


def _below_lowest(subject: Subject) -> Iterator[Finding]:
    station = subject.station
    floor_w = station.radio.rf_min_w
    if floor_w is None or subject.planned is None:
        return
    boosted = amplified(station) if station.amplifier else None
    asked = sorted({block.rf_w for block in subject.setting.plan if block.sends})
    for asked_w in asked:
        drive_w = asked_w
        if boosted is not None and asked_w > station.radio.highest_rf_w:
            drive_w = asked_w * floor_w / boosted.lowest_w if boosted.lowest_w else asked_w
        if drive_w < floor_w:
            through = f", which takes {amount(drive_w, 'W')} of drive" if drive_w != asked_w else ""
            yield Finding(
                "warning",
                "radio.rf_min_w",
                f"The plan asks for {entered(asked_w, 'W')}{through}; this radio cannot be turned"
                " below"
                f" {entered(floor_w, 'W')}.",
                "Plan more power, or choose a radio that can be turned lower.",
            )
            return


def _missed_points(subject: Subject) -> Iterator[Finding]:
    station = subject.station
    yield from _missed("radio.key_down", station.radio.key_down)
    if station.amplifier is not None:
        yield from _missed("amplifier.key_down", station.amplifier.key_down)


def _missed(path: str, points: KeyDown) -> Iterator[Finding]:
    if not points:
        return
    law = fit(points)
    for (power_w, current_a), miss in zip(points, misses(points), strict=True):
        if abs(miss) > NOTABLE_MISS:
            yield Finding(
                "warning",
                path,
                f"The curve through the points gives {amount(law.current_a(power_w), 'A')} at"
                f" {entered(power_w, 'W')} where {entered(current_a, 'A')} is entered,"
                f" {percent(abs(miss))} off.",
                "Measure that point again; current follows the square root of power.",
            )
    if law.root_a == 0:
        yield Finding(
            "warning",
            path,
            "By these points more power takes no more current, which no radio does.",
            "Measure again at two powers far apart.",
        )


def _past_the_points(subject: Subject) -> Iterator[Finding]:
    planned, station = subject.planned, subject.station
    if planned is None or not station.radio.key_down or planned.given_w <= 0:
        return
    drive_w = planned.given_w
    if planned.way.amplified and station.amplifier is not None:
        drive_w /= 10 ** (station.amplifier.gain_db / 10)
        yield from _past("amplifier.key_down", station.amplifier.key_down, planned.given_w)
    yield from _past("radio.key_down", station.radio.key_down, drive_w)


def _past(path: str, points: KeyDown, at_w: float) -> Iterator[Finding]:
    powers = [power for power, _ in points]
    low_w, high_w = min(powers), max(powers)
    if low_w <= at_w * (1 + 1e-9) and at_w <= high_w * (1 + 1e-9):
        return
    far = at_w > FAR_PAST * high_w or at_w < low_w / FAR_PAST**2
    yield Finding(
        "warning" if far else "hint",
        path,
        f"At {amount(at_w, 'W')} the current of {amount(fit(points).current_a(at_w), 'A')} is"
        " extrapolated"
        f" beyond the points entered, {span(low_w, high_w, 'W')}.",
        f"Measure the current at {amount(at_w, 'W')}.",
    )


def _powers_crossed(subject: Subject) -> Iterator[Finding]:
    radio = subject.station.radio
    if radio.rf_min_w is not None and radio.rf_min_w > radio.highest_rf_w > 0:
        yield Finding(
            "error",
            "radio.rf_min_w",
            f"The lowest power of {entered(radio.rf_min_w, 'W')} is above the highest of"
            f" {entered(radio.highest_rf_w, 'W')}.",
            "Swap or correct them.",
        )


def _drive(subject: Subject) -> Iterator[Finding]:
    amplifier, radio = subject.station.amplifier, subject.station.radio
    if amplifier is None or radio.highest_rf_w <= 0:
        return
    gain = 10 ** (amplifier.gain_db / 10)
    reach_w = radio.highest_rf_w * gain
    if reach_w < 0.95 * amplifier.highest_rf_w:
        yield Finding(
            "hint",
            "amplifier.gain_db",
            f"Driven with all {entered(radio.highest_rf_w, 'W')} of this radio the amplifier gives"
            f" {amount(reach_w, 'W')} of its {entered(amplifier.highest_rf_w, 'W')}.",
        )
    elif reach_w > 1.2 * amplifier.highest_rf_w:
        yield Finding(
            "hint",
            "amplifier.gain_db",
            f"{amount(amplifier.highest_rf_w / gain, 'W')} drives this amplifier to full power; the"
            " radio can give"
            f" {entered(radio.highest_rf_w, 'W')}.",
            "Turn the radio down before you switch the amplifier in: overdrive splatters and can"
            " destroy the amplifier.",
        )


def _amplifier_unused(subject: Subject) -> Iterator[Finding]:
    amplifier, plan = subject.station.amplifier, subject.setting.plan
    if amplifier is None or not plan:
        return
    bare_w = subject.station.radio.highest_rf_w
    if not any(block.sends and block.rf_w > bare_w for block in plan):
        mass = f" of {amount(amplifier.mass_kg, 'kg')}" if amplifier.mass_kg else ""
        yield Finding(
            "hint",
            "amplifier",
            f"No block asks for more than the radio's own {entered(bare_w, 'W')}: the"
            f" amplifier{mass} is"
            " never used.",
            "It could stay at home.",
        )


def _amplifier_left_on(subject: Subject) -> Iterator[Finding]:
    amplifier, radio = subject.station.amplifier, subject.station.radio
    if amplifier is None or amplifier.out_of_session == "off":
        return
    state = amplifier.out_of_session
    drawn_a = amplifier.operate_a if state == "operate" else amplifier.standby_a
    hours = 0.0
    for block in subject.setting.plan:
        start, end = block.minutes
        if block.activity != "off" and not (block.sends and block.rf_w > radio.highest_rf_w):
            hours += (end - start) / 60
    taken_ah = drawn_a * hours
    if taken_ah >= 0.5:
        yield Finding(
            "warning" if state == "operate" else "hint",
            "amplifier.out_of_session",
            f"Left in {state} outside nets the amplifier draws {entered(drawn_a, 'A')} for"
            f" {amount(hours, 'h')},"
            f" {amount(taken_ah, 'Ah')} a day; the radio takes {entered(radio.receive_a, 'A')} to"
            " receive.",
            "Switch it off outside nets.",
        )


RULES = (
    _no_law,
    _gives_less,
    _below_lowest,
    _missed_points,
    _past_the_points,
    _powers_crossed,
    _drive,
    _amplifier_unused,
    _amplifier_left_on,
)
