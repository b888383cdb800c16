"""The bench sheet: which guesses of a station to measure in half an hour, and what readings change.

Readings make a new station whose numbers say that they were measured, and when.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from datetime import date
from typing import Any, cast

import numpy as np
from pydantic import ValidationError

from model.editing.faults import Fault, ScenarioError, faults_of
from model.editing.field_facts import FieldFacts, field_at
from model.results.two_load_test import LoadReading
from model.scenario.declare import Provenance, Source
from model.scenario.kinds import KINDS
from model.scenario.station import Battery, KeyDown, Lead, Meters, Part, Station
from model.station.chemistry import interpolate
from model.station.conductors import path_ohm
from model.station.key_down_law import fit
from model.station.part_loads import LOADS

ROOM_C = 20.0
# What ages or is turned: measured every year. Common practice, no source.
YEARLY = ("battery.tested_fraction", "radio.receive_a")
DUE_DAYS = 365


@dataclass(frozen=True)
class BenchItem:
    """One number to measure: where it stands, what is held now, and where that comes from.

    ``measured_on`` is the day of a number that was measured before.
    """

    path: str
    part: str
    label: str
    unit: str
    decimals: int
    held: Any
    origin: Provenance
    measured_on: date | None = None


@dataclass(frozen=True)
class BenchStep:
    """One piece of work at the bench; ``another_day`` marks what takes longer than the rest."""

    title: str
    how: str
    minutes: int
    items: tuple[BenchItem, ...]
    another_day: bool = False


@dataclass(frozen=True)
class KeyDownReading:
    """One power with the key down: amperes, and volts at the radio and the battery if read."""

    rf_w: float
    current_a: float
    radio_v: float | None = None
    battery_v: float | None = None


@dataclass(frozen=True)
class Discharge:
    """A full battery emptied by a steady current until it cut off."""

    load_a: float
    hours: float


@dataclass(frozen=True)
class BenchReadings:
    """What was read at the bench, in the units of the fields.

    Attributes
    ----------
    on : the day.
    numbers : path from the station on, such as ``radio.receive_a``, and its value.
    key_down : readings of the radio, and of the amplifier, by slot.
    loads : a light and a heavy load of the battery, read at its terminals.
    discharge : of all batteries together.
    room_c : temperature at the bench, and of the battery [°C].
    meters : how far the meters may be off, which the numbers then bear as their spread; None where
        that was not entered.
    """

    on: date
    numbers: tuple[tuple[str, float], ...] = ()
    key_down: tuple[tuple[str, tuple[KeyDownReading, ...]], ...] = ()
    loads: tuple[LoadReading, LoadReading] | None = None
    discharge: Discharge | None = None
    room_c: float = field(default=ROOM_C)
    meters: Meters | None = None


def bench_sheet(
    station: Station, on: date | None = None, *, again: bool = False
) -> tuple[BenchStep, ...]:
    """Return the work in its order; numbers that were measured already are left out.

    Parameters
    ----------
    on : the day at the bench: capacity and receive current are due again a year after they were
        measured, or where nobody wrote down when.
    again : ask for everything, measured or not.
    """
    steps = []
    for title, how, minutes, paths, another_day in _WORK:
        items = tuple(
            item
            for path in _held_paths(station, paths)
            if (item := _item(station, path)).held is not None
            and (again or item.origin != "measured" or _is_due(item, on))
        )
        if items:
            steps.append(BenchStep(title, how, minutes, items, another_day))
    return tuple(steps)


def _is_due(item: BenchItem, on: date | None) -> bool:
    if on is None or item.path not in YEARLY:
        return False
    return item.measured_on is None or (on - item.measured_on).days >= DUE_DAYS


# What draws besides the parts that have a place of their own on the sheet.
_OTHERS = tuple(
    f"{kind.slot}{'.*' if kind.is_list else ''}.{number}"
    for kind in KINDS
    if kind.key in LOADS and kind.key not in ("tuner", "laptop", "controller")
    for number in kind.uses[0].numbers
)
# Title, how, minutes, numbers (an asterisk stands for every entry), and whether it takes too long.
_WORK: tuple[tuple[str, str, int, tuple[str, ...], bool], ...] = (
    (
        "Weigh", "each thing with its case, plugs and leads", 5,
        tuple(f"{kind.slot}{'.*' if kind.is_list else ''}.mass_kg" for kind in KINDS),
        False,
    ),
    (
        "Switched off", "lead connected, power button off", 2, ("radio.off_a",), False,
    ),
    (
        "Listening", "radio alone, at your usual volume and display light", 3, ("radio.receive_a",),
        False,
    ),
    (
        "Amplifier idle", "meter in its own lead, without transmitting", 2,
        ("amplifier.standby_a", "amplifier.operate_a"), False,
    ),
    (
        "Key down", "into a dummy load, 10\N{NO-BREAK SPACE}s each, at two or more powers; read the"
        " voltage at the radio and at the battery at the same time", 6,
        ("radio.key_down", "amplifier.key_down"), False,
    ),
    (
        "Battery, two loads", "at its terminals: voltage with a light load, then with a heavy one",
        2, ("battery.resistance_ohm",), False,
    ),
    (
        "Tuner", "at rest, and while it tunes; time one tuning", 2,
        ("tuner.idle_a", "tuner.tuning_a", "tuner.tuning_s"), False,
    ),
    (
        "Computer", "its own battery full; a meter at the converter's input, then unplug the"
        " computer from it", 4,
        ("laptop.power_w", "laptop.sleep_w", "laptop.converter_idle_a"), False,
    ),
    (
        "All other loads", "one at a time", 3,
        ("controller.own_a", *_OTHERS), False,
    ),
    (
        "Battery, full to cut-off", "a steady known load, at room temperature; note the hours",
        300, ("battery.tested_fraction",), True,
    ),
)  # fmt: skip


def _held_paths(station: Station, paths: tuple[str, ...]) -> Iterator[str]:
    for path in paths:
        slot, _, rest = path.partition(".")
        held = getattr(station, slot)
        if rest.startswith("*."):
            yield from (f"{slot}.{index}.{rest[2:]}" for index in range(len(held)))
        elif held is not None:
            yield path


def part_at(station: Station, path: str) -> tuple[Part, str]:
    """Return the part that a path from the station leads into, and the name of its field."""
    slot, *place, name = path.split(".")
    held = getattr(station, slot)
    return (held[int(place[0])] if place else held), name


def facts_of(path: str) -> FieldFacts:
    """Return the facts of the field at a path from a station on."""
    return field_at(f"stations.0.{path}")


def _item(station: Station, path: str) -> BenchItem:
    part, name = part_at(station, path)
    facts = facts_of(path)
    held = getattr(part, name)
    source = part.source_of(name)
    on = source.on if source.origin == "measured" else None
    return BenchItem(
        path, part.name, facts.label, facts.unit, facts.decimals, held, source.origin, on
    )


def apply_readings(station: Station, readings: BenchReadings) -> Station:
    """Return the station with what was measured, each number marked with its source and day.

    Raises
    ------
    ScenarioError
        When a reading cannot be right; carries every fault, with paths from the station on.
    """
    faults: list[Fault] = []
    changes: dict[str, dict[str, Any]] = {}
    for path, value in _changes(station, readings, faults):
        where, _, name = path.rpartition(".")
        changes.setdefault(where, {})[name] = value
    changed = station
    source = Source.model_validate({"from": "measured", "on": readings.on})
    if readings.meters is not None:
        changed = changed.model_copy(update={"meters": readings.meters})
    for where, values in changes.items():
        for names, each in _by_spread(values, source, readings.meters):
            try:
                changed = with_measured(changed, where, names, each)
            except ScenarioError as error:
                faults += error.faults
    if faults:
        raise ScenarioError(tuple(faults))
    return changed


def _by_spread(
    values: dict[str, Any], source: Source, meters: Meters | None
) -> Iterator[tuple[dict[str, Any], Source]]:
    """Yield what an ammeter of known accuracy read, with that as its spread, then the rest."""
    by_ammeter = {
        name: value
        for name, value in values.items()
        if meters is not None and (name.endswith("_a") or name in ("key_down", "tested_fraction"))
    }
    others = {name: value for name, value in values.items() if name not in by_ammeter}
    if by_ammeter and meters is not None:
        yield by_ammeter, source.model_copy(update={"spread": meters.current_share})
    if others:
        yield others, source


def _changes(
    station: Station, readings: BenchReadings, faults: list[Fault]
) -> Iterator[tuple[str, Any]]:
    """Yield every number the readings give, with its path; what they cannot give is a fault."""
    yield from readings.numbers
    for slot, points in readings.key_down:
        if len({point.rf_w for point in points}) < 2:
            faults.append(Fault(f"{slot}.key_down", "needs readings at two or more powers"))
        else:
            yield f"{slot}.key_down", tuple((point.rf_w, point.current_a) for point in points)
    yield from _joints(station, dict(readings.key_down).get("radio", ()), faults)
    if readings.loads:
        ohm = bank_resistance_ohm(*readings.loads)
        if ohm is None or ohm < 0:
            words = "needs two different currents, and a lower voltage at the higher one"
            faults.append(Fault("battery.resistance_ohm", words))
        else:
            yield "battery.resistance_ohm", _one_battery_ohm(station.battery, ohm, readings.room_c)
    if readings.discharge:
        tested = fraction_tested(station.battery, readings.discharge, readings.room_c)
        yield "battery.tested_fraction", tested


def bank_resistance_ohm(light: LoadReading, heavy: LoadReading) -> float | None:
    """Return the resistance that two loads show; None where their currents are the same [ohm].

    The volts at rest are the same under both: ``(V1 - V2) / (I2 - I1)``.
    """
    step_a = heavy.current_a - light.current_a
    return (light.read_v - heavy.read_v) / step_a if step_a else None


def _one_battery_ohm(battery: Battery, bank_ohm: float, room_c: float) -> float:
    """Return the resistance of one of the batteries at 25 °C [ohm]."""
    curve = battery.cell.resistance_by_c
    warmth = float(interpolate(curve, np.array([room_c]))[0])
    return bank_ohm * battery.count / warmth


def fraction_tested(battery: Battery, discharge: Discharge, room_c: float = ROOM_C) -> float:
    """Return what a discharge test gave over what the labels say [1].

    Notes
    -----
    What the cold holds back is counted as there; what lead loses to a load above its 20-hour
    current is given back by the same exponent that the run takes it with.
    """
    chemistry = battery.cell
    rated_ah = battery.capacity_ah * battery.count
    over_rate = max(discharge.load_a / (rated_ah / 20), 1.0) ** (battery.peukert_exponent - 1)
    usable = float(interpolate(chemistry.usable, np.array([room_c]))[0])
    drawn_ah = discharge.load_a * discharge.hours * float(over_rate)
    return drawn_ah / (rated_ah * usable)


def _joints(
    station: Station, points: tuple[KeyDownReading, ...], faults: list[Fault]
) -> Iterator[tuple[str, Any]]:
    """Yield the joints of the radio's lead, from the volts lost between battery and radio."""
    drops = [
        (point.current_a, point.battery_v - point.radio_v)
        for point in points
        if point.battery_v is not None and point.radio_v is not None and point.current_a > 0
    ]
    leads = [index for index, lead in enumerate(station.leads) if lead.feeds == "radio"]
    if not drops or not leads:
        return
    if any(drop_v < 0 for _, drop_v in drops):
        faults.append(
            Fault("radio.key_down", "the voltage at the radio is above that at the battery")
        )
        return
    # Least squares through the origin: the greater currents say more.
    measured_ohm = sum(a * v for a, v in drops) / sum(a * a for a, _ in drops)
    held_ohm = path_ohm(station, "radio") + path_ohm(station, "battery")
    lead: Lead = station.leads[leads[0]]
    joints_mohm = lead.joints_mohm + (measured_ohm - held_ohm) * 1000
    yield f"leads.{leads[0]}.joints_mohm", max(round(joints_mohm, 3), 0.0)


def misses(points: KeyDown) -> tuple[tuple[float, float, float], ...]:
    """Return each key-down point's power, its current by the law and how far that misses it.

    [W], [A] and the fraction of the point; the miss has the sign of law less reading.
    """
    law = fit(points)
    return tuple(
        (rf_w, law.current_a(rf_w), (law.current_a(rf_w) - read_a) / read_a if read_a else 0.0)
        for rf_w, read_a in points
    )


def with_measured(station: Station, where: str, values: dict[str, Any], source: Source) -> Station:
    """Return the station with other numbers in one part, each bearing its source.

    Parameters
    ----------
    where : the part, from the station on, such as ``radio`` or ``extras.1``.
    values : by the names a file uses.

    Raises
    ------
    ScenarioError
        When a value is refused; carries every fault, with paths from the station on.
    """
    part, _ = part_at(station, f"{where}.name")
    names = {info.alias or name: name for name, info in type(part).model_fields.items()}
    sources = dict(part.sources) | dict.fromkeys(values, source)
    table = {key: getattr(part, name) for key, name in names.items()} | values
    table["sources"] = tuple(sorted(sources.items()))
    try:
        made = type(part).model_validate(table, by_alias=True, by_name=False)
    except ValidationError as error:
        inside = "stations.0."
        raise ScenarioError(
            tuple(
                replace(fault, path=fault.path.removeprefix(inside))
                for fault in faults_of(error, table, inside + where)
            )
        ) from None
    return _with(station, where, made)


def _with(station: Station, where: str, part: Part) -> Station:
    slot, _, place = where.partition(".")
    if not place:
        return station.model_copy(update={slot: part})
    held = cast(tuple[Part, ...], getattr(station, slot))
    index = int(place)
    return station.model_copy(update={slot: (*held[:index], part, *held[index + 1 :])})
