"""The parts a station is built from, each as an immutable value with its bounds.

A key that a file leaves out takes the neutral value here (no loss, no limit); believable values
for a new part come from the parts library, not from these defaults.
"""

from __future__ import annotations

from typing import Annotated, Literal, Self

from pydantic import BeforeValidator, Field, model_validator

from model.scenario.declare import (
    ClockTime,
    Flag,
    Line,
    Number,
    Value,
    Whole,
    choice,
    listed_up_to,
    quantity,
    text,
)
from model.scenario.part import (
    GUESS,
    KEY_DOWN_LIMIT,
    Hours,
    KeyDown,
    KeyDownPoint,
    Part,
    fuse_type_text,
    plug_text,
    polarity_text,
)
from model.scenario.power import Battery, Charger, Controller, Panel

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

AmplifierState = Literal["off", "standby", "operate"]
LEADS_LIMIT = 40
CHARGERS_LIMIT = 20
EXTRAS_LIMIT = 100
READINGS_LIMIT = 200
# A run of 14 days that starts after midnight ends on its fifteenth date.
DAYS_OF_LOG = 15

_KEY_DOWN_HELP = (
    "Pairs of RF watts and the DC amperes drawn with the key down. Two measured points fix the"
    " curve; nameplate maxima do not."
)


def _two_distinct_powers(points: KeyDown) -> None:
    if points and len({power for power, _ in points}) < 2:
        raise ValueError(
            "key_down: must hold at least two distinct powers, as [[rf_w, current_a], ...]"
        )


class Radio(Part):
    """A transceiver: what it draws in receive, when off and with the key down."""

    receive_a: Number = quantity(
        "Receive current",
        "A",
        ge=0,
        le=100,
        decimals=3,
        spread=0.2,
        help="Drawn on receive at the volume you use. It decides the night.",
    )
    off_a: Number = quantity(
        "Current when off",
        "A",
        default=0.0,
        ge=0,
        le=10,
        decimals=4,
        spread=0.5,
        help="Drawn with the power switched off and the lead connected.",
    )
    key_down: KeyDown = Field(
        default=(),
        max_length=KEY_DOWN_LIMIT,
        title="Key-down current",
        description=_KEY_DOWN_HELP,
        json_schema_extra={
            "unit": "W, A",
            "spread": 0.15,
            "columns": ["RF power", "Key-down current"],
        },
    )
    rf_min_w: Number | None = quantity(
        "Lowest RF power",
        "W",
        default=None,
        ge=0,
        le=5000,
        decimals=1,
        help="The lowest power the radio can be set to; left empty, the lowest measured.",
    )
    rf_max_w: Number | None = quantity(
        "Highest RF power",
        "W",
        default=None,
        gt=0,
        le=5000,
        decimals=1,
        help="Left empty, the highest measured.",
    )
    supply_min_v: Number | None = quantity(
        "Minimum voltage for full power",
        "V",
        default=None,
        ge=0,
        le=60,
        decimals=2,
        spread=0.03,
        help="Voltage at the radio below which full power ends. Real radios fade before the"
        " maker's limit: enter where full power truly ends.",
    )
    supply_max_v: Number | None = quantity(
        "Maximum supply voltage",
        "V",
        default=None,
        gt=0,
        le=80,
        decimals=2,
        spread=0.02,
        help="Above this the radio may be damaged.",
    )
    receive_min_v: Number | None = quantity(
        "Minimum voltage on receive",
        "V",
        default=None,
        ge=0,
        le=60,
        decimals=2,
        spread=0.03,
        help="Voltage at the radio below which it no longer receives.",
    )
    plug: Line = plug_text()
    polarity: Line = polarity_text()
    fuse_type: Line = fuse_type_text()

    @model_validator(mode="after")
    def _has_a_law(self) -> Self:
        _two_distinct_powers(self.key_down)
        return self

    @property
    def lowest_rf_w(self) -> float:
        """Lowest power the set can be turned down to [W]."""
        if self.rf_min_w is not None:
            return self.rf_min_w
        return min((power for power, _ in self.key_down if power > 0), default=0.0)

    @property
    def highest_rf_w(self) -> float:
        """Highest power the set can give [W]."""
        if self.rf_max_w is not None:
            return self.rf_max_w
        return max((power for power, _ in self.key_down), default=0.0)


class Amplifier(Part):
    """An external amplifier between radio and tuner."""

    key_down: KeyDown = Field(
        min_length=2,
        max_length=KEY_DOWN_LIMIT,
        title="Key-down current",
        description=_KEY_DOWN_HELP,
        json_schema_extra={
            "unit": "W, A",
            "spread": 0.15,
            "columns": ["RF power", "Key-down current"],
        },
    )
    gain_db: Number = quantity(
        "Gain",
        "dB",
        default=10.0,
        gt=0,
        le=40,
        decimals=1,
        help="Output over drive. The radio works at the output divided by this.",
    )
    rf_max_w: Number | None = quantity(
        "Highest RF power",
        "W",
        default=None,
        gt=0,
        le=5000,
        decimals=1,
        help="Left empty, the highest measured.",
    )
    standby_a: Number = quantity(
        "Standby current",
        "A",
        default=0.0,
        ge=0,
        le=50,
        decimals=3,
        spread=0.3,
        help="Powered, with the RF bypassed.",
    )
    operate_a: Number = quantity(
        "Operate current",
        "A",
        default=0.0,
        ge=0,
        le=50,
        decimals=3,
        spread=0.3,
        help="Powered and ready: idle current flows even when nobody speaks.",
    )
    in_session: Literal["standby", "operate"] = choice(
        "Between transmissions",
        default="standby",
        help="State between transmissions of a block that needs the amplifier.",
    )
    out_of_session: AmplifierState = choice(
        "Outside nets",
        default="off",
        help="State on watch and in blocks that the radio does alone. Left in operate all night"
        " it can undo the advantage of a small radio.",
    )
    supply_min_v: Number | None = quantity(
        "Minimum voltage for full power",
        "V",
        default=None,
        ge=0,
        le=60,
        decimals=2,
        spread=0.03,
        help="Voltage at the amplifier below which full power ends.",
    )

    @model_validator(mode="after")
    def _has_a_law(self) -> Self:
        _two_distinct_powers(self.key_down)
        return self

    @property
    def highest_rf_w(self) -> float:
        """Highest power the amplifier can give [W]."""
        if self.rf_max_w is not None:
            return self.rf_max_w
        return max(power for power, _ in self.key_down)


class Tuner(Part):
    """An antenna tuner: a latching one draws almost nothing between tunings."""

    idle_a: Number = quantity(
        "Idle current",
        "A",
        default=0.0,
        ge=0,
        le=10,
        decimals=4,
        spread=0.3,
        help="Drawn all the time, or held while tuned where the relays do not latch.",
    )
    tuning_a: Number = quantity(
        "Current while tuning",
        "A",
        default=0.0,
        ge=0,
        le=20,
        decimals=2,
        help="Drawn by the tuner itself while it tunes.",
    )
    tuning_s: Number = quantity(
        "Time to tune",
        "s",
        default=0.0,
        ge=0,
        le=120,
        decimals=1,
        help="Once at the start of each transmit block.",
    )
    loss_db: Number = quantity(
        "Loss",
        "dB",
        default=0.0,
        ge=0,
        le=10,
        decimals=2,
        help="Radio-frequency loss between radio and feed line.",
    )


class Antenna(Part):
    """The antenna and its feed line; they count for signal and exposure, not for the battery."""

    gain_dbi: Number = quantity(
        "Gain",
        "dBi",
        default=2.15,
        ge=-40,
        le=30,
        decimals=1,
        help="Over an isotropic radiator; a half-wave dipole in free space has 2.15 dBi.",
    )
    feed_loss_db: Number = quantity(
        "Feed line loss",
        "dB",
        default=0.0,
        ge=0,
        le=30,
        decimals=1,
        help="From set to antenna; 3 dB loses half of the power.",
    )


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
    plug: Line = plug_text()
    polarity: Line = polarity_text()
    fuse_type: Line = fuse_type_text()


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
    group: Line = text("Group", help="Heading on the carry list.")
    shared_by_all: Flag = choice(
        "All stations carry this",
        default=False,
        help="Such as a tent or food: listed once here, it counts with every station.",
    )


class FieldReading(Value):
    """What was read off the meters at one moment of the trip; what was not read is left out."""

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
        ge=0,
        le=100000,
        decimals=2,
        help="Counter reading: Ah out less Ah in since the battery was full.",
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
    note: Line = text("Note", max_length=200, help="Your own words on this reading.")


class Station(Value):
    """One portable station: a radio and a battery, and whatever goes with them."""

    name: Line = text("Name", help="Names the station in plots, tables and sentences.")
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
