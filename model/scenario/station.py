"""The parts a station is built from, each as an immutable value with its bounds.

A key that a file leaves out takes the neutral value here (no loss, no limit); believable values
for a new part come from the parts library, not from these defaults.
"""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import BeforeValidator, Field

from model.scenario.declare import (
    ClockTime,
    Flag,
    Number,
    OneLine,
    Value,
    Whole,
    choice,
    listed_up_to,
    quantity,
    text,
)
from model.scenario.part import (
    GUESS,
    Hours,
    KeyDown,
    KeyDownPoint,
    Part,
    fuse_type_text,
    plug_text,
    polarity_text,
)
from model.scenario.power import Battery, Charger, Controller, Panel
from model.scenario.radio import Amplifier, AmplifierState, Antenna, Radio, Tuner

__all__ = [
    "GUESS",
    "Amplifier",
    "AmplifierState",
    "Antenna",
    "Battery",
    "Charger",
    "Controller",
    "Extra",
    "FieldReading",
    "Hours",
    "KeyDown",
    "KeyDownPoint",
    "Laptop",
    "Lead",
    "Panel",
    "Part",
    "Radio",
    "Station",
    "Tuner",
]

LEADS_LIMIT = 40
CHARGERS_LIMIT = 20
EXTRAS_LIMIT = 100
READINGS_LIMIT = 200
# A run of 14 days that starts after midnight ends on its fifteenth date.
DAYS_OF_LOG = 15


class Laptop(Part):
    """A computer for data modes, fed through a converter, with a battery of its own."""

    power_w: Number = quantity(
        "Power in use",
        "W",
        ge=0,
        le=500,
        decimals=1,
        spread=0.3,
        help="What the computer itself takes, not the label of its adapter.",
    )
    sleep_w: Number = quantity(
        "Power asleep",
        "W",
        default=0.0,
        ge=0,
        le=100,
        decimals=2,
        spread=0.5,
        help="What the computer takes with its lid shut.",
    )
    converter_efficiency: Number = quantity(
        "Converter efficiency",
        default=1.0,
        gt=0,
        le=1,
        decimals=2,
        spread=0.05,
        help="A DC converter keeps about 0.9; an inverter with the mains adapter about 0.65.",
    )
    converter_idle_a: Number = quantity(
        "Converter idle current",
        "A",
        default=0.0,
        ge=0,
        le=10,
        decimals=3,
        spread=0.3,
        help="Drawn by the converter even with no load.",
    )
    own_battery_wh: Number = quantity(
        "Own battery",
        "Wh",
        default=0.0,
        ge=0,
        le=1000,
        decimals=0,
        help="Starts full and is used first.",
    )
    charge_w: Number = quantity(
        "Recharge from spare sun",
        "W",
        default=0.0,
        ge=0,
        le=500,
        decimals=0,
        help="Taken only from sun that would go unused.",
    )
    runs: Literal["always", "data", "never"] = choice(
        "Runs",
        default="always",
        help="Always, only in data blocks (asleep otherwise), or never.",
    )


class Lead(Part):
    """A pair of conductors, out and back, with its joints and its fuse."""

    feeds: Literal["radio", "amplifier", "panel", "battery"] = choice(
        "Feeds",
        alias="for",
        help="What the lead feeds. Leads to the same part are in series; the battery lead"
        " carries all currents.",
    )
    size_mm2: Number | None = quantity(
        "Conductor",
        "mm²",
        default=None,
        gt=0,
        le=500,
        decimals=2,
        spread=0.05,
        help="Copper cross-section. Give this or the AWG number.",
    )
    awg: Whole | None = Field(
        default=None,
        ge=0,
        le=40,
        title="Conductor, AWG",
        description="American wire gauge: the lower the number, the thicker. 12 is 3.3 mm².",
    )
    one_way_m: Number = quantity(
        "Length one way",
        "m",
        ge=0,
        le=500,
        decimals=2,
        spread=0.05,
        help="The current goes out and back: the sum counts twice this length.",
    )
    joints_mohm: Number = quantity(
        "Joints",
        "mΩ",
        default=0.0,
        ge=0,
        le=5000,
        decimals=1,
        spread=0.5,
        help="All plugs, clamps and crimps of this lead together. A good two-pole plug has under"
        " 1, a spring clamp can have tens.",
    )
    fuse_a: Number | None = quantity(
        "Fuse",
        "A",
        default=None,
        gt=0,
        le=1000,
        decimals=1,
        help="Printed on the fuse; left empty, none. It guards the lead, so it is never above"
        " what the conductor is rated for.",
    )
    insulation_c: Literal[60, 75, 80, 90, 105, 125, 200] = choice(
        "Insulation rating", default=75, help="Temperature printed on the insulation [°C]."
    )
    plug: OneLine = plug_text()
    polarity: OneLine = polarity_text()
    fuse_type: OneLine = fuse_type_text()


class Extra(Part):
    """Anything else carried: a light, a router, a meter, food, water."""

    power_w: Number | None = quantity(
        "Power",
        "W",
        default=None,
        ge=0,
        le=2000,
        decimals=1,
        spread=0.3,
        help="For loads behind a converter: the power at its input.",
    )
    current_a: Number | None = quantity(
        "Current",
        "A",
        default=None,
        ge=0,
        le=200,
        decimals=3,
        spread=0.3,
        help="For loads fed straight from the battery: current while it is on.",
    )
    hours: Hours = Field(
        default="always",
        title="Hours",
        description="When it is on, by the local wall clock, each day.",
        json_schema_extra={"columns": ["From", "To"]},
    )
    group: OneLine = text("Group", help="Heading on the carry list.")
    shared_by_all: Flag = choice(
        "All stations carry this",
        default=False,
        help="Such as a tent or food: listed once here, it counts with every station.",
    )


FieldEvent = Literal["none", "off", "back", "no change"]


class FieldReading(Value):
    """What was read or seen at one moment of the trip; what was not read is left out."""

    day: Whole = Field(
        default=1,
        ge=1,
        le=DAYS_OF_LOG,
        title="Day",
        description="Counted from 1, the date of the start; the next midnight begins day 2.",
    )
    at: ClockTime = Field(title="Time", description="Local wall clock.")
    used_ah: Number | None = quantity(
        "Used since full",
        "Ah",
        default=None,
        ge=-100000,
        le=100000,
        decimals=2,
        help="Counter reading: Ah out less Ah in since the battery was full. A negative one says"
        " that more went in than was missing.",
    )
    battery_v: Number | None = quantity(
        "Battery voltage",
        "V",
        default=None,
        ge=0,
        le=100,
        decimals=2,
        help="At the battery's own terminals.",
    )
    at_rest: Flag = choice(
        "At rest for 30 minutes",
        default=False,
        help="Nothing drawn and nothing charged: otherwise voltage does not indicate charge.",
    )
    panel_a: Number | None = quantity(
        "Panel current",
        "A",
        default=None,
        ge=0,
        le=1000,
        decimals=2,
        help="On the battery side of the controller.",
    )
    load_a: Number | None = quantity(
        "Load current",
        "A",
        default=None,
        ge=0,
        le=1000,
        decimals=2,
        help="Of the whole station while it listens and does not transmit.",
    )
    event: FieldEvent = choice(
        "Seen",
        default="none",
        help="Off the air from this time, back at this time, or on the air as before.",
    )
    note: OneLine = text("Note", max_length=200, help="Your own words on this reading.")


class Meters(Value):
    """How far what a station is read with may be off: half-widths of 95 % bands.

    Common practice, no source, where nothing is entered: a counter in line, a clamp, a pocket
    meter.
    """

    counter_share: Number = quantity(
        "Ah counter, of the reading", default=0.02, ge=0, le=1, decimals=3,
        help="Half-width of the 95 % band.",
    )  # fmt: skip
    counter_offset_a: Number = quantity(
        "Ah counter, current it misses", "A", default=0.01, ge=0, le=1, decimals=3,
        help="A cheap counter misses small currents: what it may be off by in each hour.",
    )  # fmt: skip
    current_share: Number = quantity(
        "Ammeter, of the reading", default=0.05, ge=0, le=1, decimals=3,
        help="Half-width of the 95 % band.",
    )  # fmt: skip
    volts_v: Number = quantity(
        "Voltmeter", "V", default=0.1, ge=0, le=5, decimals=2,
        help="Half-width of the 95 % band, of any reading.",
    )  # fmt: skip
    counter_start_ah: Number | None = quantity(
        "Ah counter at the start", "Ah", default=None, ge=-100000, le=100000, decimals=2,
        help="What it showed when the trip began. Left out: what was missing from full then, by"
        " the charge entered.",
    )  # fmt: skip


class Station(Value):
    """One portable station: a radio and a battery, and whatever goes with them."""

    name: OneLine = text("Name", help="Names the station in plots, tables and sentences.")
    reserve_fraction: Number = quantity(
        "Reserve",
        default=0.0,
        ge=0,
        lt=1,
        decimals=2,
        spread=0.0,
        help="Charge you mean to come home with. It is the only margin: nothing else is added.",
    )
    start_fraction: Number = quantity(
        "Charge at the start",
        default=1.0,
        ge=0,
        le=1,
        decimals=2,
        spread=0.03,
        help="State of charge when the run begins, of the tested capacity.",
    )
    radio: Radio
    amplifier: Amplifier | None = None
    tuner: Tuner | None = None
    antenna: Antenna | None = None
    laptop: Laptop | None = None
    battery: Battery
    controller: Controller | None = None
    panel: Panel | None = None
    leads: Annotated[tuple[Lead, ...], BeforeValidator(listed_up_to(LEADS_LIMIT))] = Field(
        default=(), max_length=LEADS_LIMIT
    )
    chargers: Annotated[tuple[Charger, ...], BeforeValidator(listed_up_to(CHARGERS_LIMIT))] = Field(
        default=(), max_length=CHARGERS_LIMIT
    )
    extras: Annotated[tuple[Extra, ...], BeforeValidator(listed_up_to(EXTRAS_LIMIT))] = Field(
        default=(), max_length=EXTRAS_LIMIT
    )
    readings: Annotated[tuple[FieldReading, ...], BeforeValidator(listed_up_to(READINGS_LIMIT))] = (
        Field(default=(), max_length=READINGS_LIMIT, title="Field readings")
    )
    meters: Meters = Field(default_factory=Meters, title="Meters")
