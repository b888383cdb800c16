"""Rules about reserve and start, and about extras, chargers and the computer."""

from __future__ import annotations

from collections.abc import Iterator

from model.findings.finding import Finding, Subject
from model.scenario.chemistries import CHEMISTRIES
from model.support.figures import entered, number, percent

DATA = ("slots", "arq")


def _reserve(subject: Subject) -> Iterator[Finding]:
    station = subject.station
    battery, reserve = station.battery, station.reserve_fraction
    usual = battery.cell.reserve_fraction
    measured = battery.source_of("tested_fraction").origin == "measured"
    if reserve == 0:
        yield Finding(
            "hint",
            "reserve_fraction",
            "No reserve is kept: coming home with an empty battery counts as meeting the plan.",
            f"{_usual_reserves()} are usual.",
        )
    elif usual >= 0.4 and reserve >= 0.4 and battery.tested_fraction <= 0.6 and not measured:
        left_ah = battery.full_ah * (1 - reserve)
        yield Finding(
            "hint",
            "battery.tested_fraction",
            f"Both a tested capacity of {percent(battery.tested_fraction)} and a reserve of"
            f" {percent(reserve)} are taken off: {number(left_ah)} of"
            f" {entered(battery.capacity_ah * battery.count, 'Ah')} count.",
            "Right if a discharge test gave that capacity. The depth to which a battery may be"
            " discharged is the reserve already.",
        )
    elif reserve >= 0.5 > usual:
        yield Finding(
            "hint",
            "reserve_fraction",
            f"{percent(reserve)} of a {battery.cell.family} battery is kept as reserve;"
            f" {percent(usual)} is usual.",
        )
    if station.start_fraction < reserve:
        yield Finding(
            "warning",
            "start_fraction",
            f"The run starts at {percent(station.start_fraction)}, below the reserve of"
            f" {percent(reserve)}.",
            "Charge before you leave.",
        )


def _usual_reserves() -> str:
    """Return each reserve that is usual, with the first family of which it is."""
    families: dict[float, str] = {}
    for each in CHEMISTRIES.values():
        families.setdefault(each.reserve_fraction, each.family)
    *others, last = (f"{share:g} for {families[share]}" for share in sorted(families))
    return f"{', '.join(others)} and {last}"


def _extras(subject: Subject) -> Iterator[Finding]:
    for index, extra in enumerate(subject.station.extras):
        draws = extra.power_w or extra.current_a
        if extra.power_w and extra.current_a:
            yield Finding(
                "warning",
                f"extras.{index}.current_a",
                f"Both {entered(extra.power_w, 'W')} and {entered(extra.current_a, 'A')} are given,"
                " and both are"
                " counted.",
                "Enter one of the two.",
            )
        elif not draws and not extra.mass_kg and not extra.cost:
            yield Finding(
                "hint",
                f"extras.{index}",
                "This extra has no power, current, mass or cost: it changes nothing.",
            )
        if draws and not extra.hours:
            yield Finding(
                "hint",
                f"extras.{index}.hours",
                "No hours are given: it is never switched on.",
                'Enter hours, or "always".',
            )


def _chargers(subject: Subject) -> Iterator[Finding]:
    for index, charger in enumerate(subject.station.chargers):
        if not charger.hours:
            yield Finding(
                "hint",
                f"chargers.{index}.hours",
                "No hours are given: it never charges.",
                'Enter hours, or "always".',
            )


def _laptop(subject: Subject) -> Iterator[Finding]:
    laptop, station = subject.station.laptop, subject.station
    data = any(block.activity in DATA for block in subject.setting.plan)
    if laptop is None:
        if data:
            yield Finding(
                "hint",
                "laptop",
                "The plan has data blocks, but this station has no computer to run them.",
                "Add one, unless the radio or an extra does it.",
            )
        return
    if laptop.runs == "data" and not data:
        yield Finding(
            "hint", "laptop.runs", "The plan has no data block: the computer sleeps all day."
        )
    if laptop.charge_w and station.panel is None and not station.chargers:
        yield Finding(
            "hint",
            "laptop.charge_w",
            "The computer is recharged from spare sun, and this station has no panel or charger.",
        )
    if laptop.charge_w and not laptop.own_battery_wh:
        yield Finding(
            "hint",
            "laptop.charge_w",
            "The computer has no battery of its own that could be recharged.",
            "Enter the watt-hours of its own battery.",
        )


RULES = (_reserve, _extras, _chargers, _laptop)
