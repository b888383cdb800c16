"""The parts a station is built from, each as an immutable value with its bounds.

A key that a file leaves out takes the neutral value here (no loss, no limit); believable values
for a new part come from the parts library, not from these defaults.
"""

from __future__ import annotations

from typing import Annotated, Any, Literal, Self

from pydantic import BeforeValidator, Discriminator, Field, Tag, model_validator

from model.quantity import (
    ClockTime,
    Flag,
    Line,
    Number,
    Source,
    Sources,
    Value,
    Whole,
    choice,
    listed_up_to,
    quantity,
    text,
)

AmplifierState = Literal["off", "standby", "operate"]
Chemistry = Literal["LFP", "Li-ion", "AGM", "flooded", "NiMH"]
KEY_DOWN_LIMIT = 20
STRETCHES_LIMIT = 48
LEADS_LIMIT = 40
CHARGERS_LIMIT = 20
EXTRAS_LIMIT = 100
READINGS_LIMIT = 200
# A run of 14 days that starts after midnight ends on its fifteenth date.
DAYS_OF_LOG = 15

KeyDownPoint = tuple[
    Annotated[Number, Field(ge=0, le=5000)],
    Annotated[Number, Field(ge=0, le=1000)],
]
KeyDown = Annotated[tuple[KeyDownPoint, ...], BeforeValidator(listed_up_to(KEY_DOWN_LIMIT))]
def _always_or_stretches(value: Any) -> str | None:
    if value == "always":
        return "always"
    return "stretches" if isinstance(value, tuple) else None


Hours = Annotated[
    Annotated[tuple[tuple[ClockTime, ClockTime], ...], Tag("stretches")]
    | Annotated[Literal["always"], Tag("always")],
    Discriminator(
        _always_or_stretches,
        custom_error_type="always_or_stretches",
        custom_error_message='must be "always" or pairs of times such as [["18:00", "23:00"]]',
    ),
    BeforeValidator(listed_up_to(STRETCHES_LIMIT)),
]

_KEY_DOWN_HELP = (
    "Pairs of RF watts and the DC amperes drawn with the key down. Two measured points fix the"
    " curve; nameplate maxima do not."
)


def _two_distinct_powers(points: KeyDown) -> None:
    if points and len({power for power, _ in points}) < 2:
        raise ValueError(
            "key_down: must hold at least two distinct powers, as [[rf_w, current_a], ...]"
        )


class Part(Value):
    """What every part has: a name, a mass, a cost and the sources of its numbers."""

    name: Line = text("Name")
    mass_kg: Number = quantity(
        "Mass", "kg", default=0.0, ge=0, le=500, decimals=3, spread=0.05,
        help="Weighed with its case and plugs.",
    )
    cost: Number = quantity(
        "Cost", default=0.0, ge=0, le=1e7, decimals=2, help="In your own currency."
    )
    sources: Sources = Field(default=(), title="Sources")

    @model_validator(mode="after")
    def _sources_name_fields(self) -> Self:
        if not self.sources:
            return self
        known = {info.alias or name for name, info in type(self).model_fields.items()}
        strangers = [" ".join(key.split()) for key, _ in self.sources if key not in known]
        if strangers:
            raise ValueError(
                "\n".join(f"sources.{key}: names no field of this part" for key in strangers)
            )
        return self

    def source_of(self, field: str) -> Source:
        """Return where the number in ``field`` comes from; a guess unless said otherwise."""
        return dict(self.sources).get(field, GUESS)


GUESS = Source.model_validate({"from": "guess"})


class Radio(Part):
    """A transceiver: what it draws in receive, when off and with the key down."""

    receive_a: Number = quantity(
        "Receive current", "A", ge=0, le=100, decimals=3, spread=0.2,
        help="Drawn while listening at the volume you use. It decides the night.",
    )
    off_a: Number = quantity(
        "Current when off", "A", default=0.0, ge=0, le=10, decimals=4, spread=0.5,
        help="Drawn with the power button off but the lead connected.",
    )
    key_down: KeyDown = Field(
        default=(), max_length=KEY_DOWN_LIMIT, title="Key-down current",
        description=_KEY_DOWN_HELP,
        json_schema_extra={
            "unit": "W, A", "spread": 0.15, "columns": ["RF power", "Key-down current"]
        },
    )
    rf_min_w: Number | None = quantity(
        "Lowest RF power", "W", default=None, ge=0, le=5000, decimals=1,
        help="The lowest power the set can be turned down to; left empty, the lowest measured.",
    )
    rf_max_w: Number | None = quantity(
        "Highest RF power", "W", default=None, gt=0, le=5000, decimals=1,
        help="Left empty, the highest measured.",
    )
    supply_min_v: Number | None = quantity(
        "Full power down to", "V", default=None, ge=0, le=60, decimals=2, spread=0.03,
        help="Volts at the radio below which full power ends. Real sets fade earlier than the"
        " maker says: put here where full power truly ends.",
    )
    supply_max_v: Number | None = quantity(
        "Highest supply volts", "V", default=None, gt=0, le=80, decimals=2, spread=0.02,
        help="Above this the set may be damaged.",
    )
    receive_min_v: Number | None = quantity(
        "Receives down to", "V", default=None, ge=0, le=60, decimals=2, spread=0.03,
        help="Volts at the radio below which it no longer receives.",
    )

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
        min_length=2, max_length=KEY_DOWN_LIMIT, title="Key-down current",
        description=_KEY_DOWN_HELP,
        json_schema_extra={
            "unit": "W, A", "spread": 0.15, "columns": ["RF power", "Key-down current"]
        },
    )
    gain_db: Number = quantity(
        "Gain", "dB", default=10.0, gt=0, le=40, decimals=1,
        help="Output over drive. The radio works at the output divided by this.",
    )
    rf_max_w: Number | None = quantity(
        "Highest RF power", "W", default=None, gt=0, le=5000, decimals=1,
        help="Left empty, the highest measured.",
    )
    standby_a: Number = quantity(
        "Standby current", "A", default=0.0, ge=0, le=50, decimals=3, spread=0.3,
        help="Powered, with RF passing by.",
    )
    operate_a: Number = quantity(
        "Operate current", "A", default=0.0, ge=0, le=50, decimals=3, spread=0.3,
        help="Powered and ready: idle current flows even when nobody speaks.",
    )
    in_session: Literal["standby", "operate"] = choice(
        "Between transmissions", default="standby",
        help="State in the gaps of a block that needs the amplifier.",
    )
    out_of_session: AmplifierState = choice(
        "Outside nets", default="off",
        help="State in watch and in blocks the radio can do alone. Left in operate all night it"
        " can undo the whole advantage of a small radio.",
    )
    supply_min_v: Number | None = quantity(
        "Full power down to", "V", default=None, ge=0, le=60, decimals=2, spread=0.03,
        help="Volts at the amplifier below which full power ends.",
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
        "Idle current", "A", default=0.0, ge=0, le=10, decimals=4, spread=0.3,
        help="Drawn all the time, or held while tuned where the relays do not latch.",
    )
    tuning_a: Number = quantity("Current while tuning", "A", default=0.0, ge=0, le=20, decimals=2)
    tuning_s: Number = quantity(
        "Time to tune", "s", default=0.0, ge=0, le=120, decimals=1,
        help="Once at the start of each transmit block.",
    )
    loss_db: Number = quantity(
        "Loss", "dB", default=0.0, ge=0, le=10, decimals=2,
        help="Radio-frequency loss between radio and feed line.",
    )


class Antenna(Part):
    """The antenna and its feed line; they count for signal and exposure, not for the battery."""

    gain_dbi: Number = quantity(
        "Gain", "dBi", default=2.15, ge=-40, le=30, decimals=1,
        help="Over an isotropic radiator; a half-wave dipole in free space has 2.15 dBi.",
    )
    feed_loss_db: Number = quantity("Feed line loss", "dB", default=0.0, ge=0, le=30, decimals=1)


class Laptop(Part):
    """A computer for data modes, fed through a converter, with a battery of its own."""

    power_w: Number = quantity(
        "Power in use", "W", ge=0, le=500, decimals=1, spread=0.3,
        help="What the computer itself takes, not the label of its adapter.",
    )
    sleep_w: Number = quantity(
        "Power asleep", "W", default=0.0, ge=0, le=100, decimals=2, spread=0.5
    )
    converter_efficiency: Number = quantity(
        "Converter efficiency", default=1.0, gt=0, le=1, decimals=2, spread=0.05,
        help="A DC converter keeps about 0.9; an inverter with the mains adapter about 0.65.",
    )
    converter_idle_a: Number = quantity(
        "Converter idle current", "A", default=0.0, ge=0, le=10, decimals=3, spread=0.3
    )
    own_battery_wh: Number = quantity(
        "Own battery", "Wh", default=0.0, ge=0, le=1000, decimals=0,
        help="Starts full and is used first.",
    )
    charge_w: Number = quantity(
        "Recharge from spare sun", "W", default=0.0, ge=0, le=500, decimals=0,
        help="Taken only from sun that would go unused.",
    )
    runs: Literal["always", "data", "never"] = choice(
        "Runs", default="always", help="Always, only in data blocks (asleep otherwise), or never.",
    )


class Battery(Part):
    """The station battery, or several alike in parallel."""

    chemistry: Chemistry = choice("Chemistry")
    capacity_ah: Number = quantity(
        "Rated capacity", "Ah", gt=0, le=5000, decimals=1, spread=0.03,
        help="Printed on one battery; lead at its 20-hour rate.",
    )
    cells: Whole | None = Field(
        default=None, ge=1, le=40, title="Cells in series",
        description="Left empty: 4 for lithium, 6 for lead, 10 for NiMH.",
    )
    count: Whole = Field(
        default=1, ge=1, le=50, title="In parallel",
        description="Batteries alike, plus to plus and minus to minus.",
    )
    tested_fraction: Number = quantity(
        "Tested capacity", default=1.0, gt=0, le=1.2, decimals=2, spread=0.1,
        help="What a discharge test gave over what the label says. A five-year-old lead battery"
        " may give half.",
    )
    resistance_ohm: Number = quantity(
        "Internal resistance", "ohm", default=0.0, ge=0, le=10, decimals=4, spread=0.3,
        help="Of one battery at 25 °C, with its protection board and terminals.",
    )
    charge_efficiency: Number = quantity(
        "Charge efficiency", default=1.0, gt=0, le=1, decimals=3, spread=0.02,
        help="Ah that come out for each Ah put in: lithium 0.99, lead about 0.85.",
    )
    charge_limit_a: Number | None = quantity(
        "Charge limit", "A", default=None, gt=0, le=1000, decimals=1, help="Of one battery."
    )
    discharge_limit_a: Number | None = quantity(
        "Discharge limit", "A", default=None, gt=0, le=5000, decimals=1,
        help="Of one battery: what its protection board lets through.",
    )
    cutoff_v: Number = quantity(
        "Cut-off", "V", default=0.0, ge=0, le=100, decimals=2, spread=0.02,
        help="Loads drop when the mean over a minute falls below this.",
    )
    reconnect_v: Number = quantity(
        "Reconnect", "V", default=0.0, ge=0, le=100, decimals=2,
        help="Resting volts at which the loads return, once 1 % has been charged.",
    )
    charge_min_c: Number | None = quantity(
        "No charge below", "°C", default=None, ge=-60, le=60, decimals=0,
        help="Temperature of the cells, not of the air. Left empty: lithium and NiMH 0 °C,"
        " lead -20 °C.",
    )
    kept: Literal["open", "insulated", "warm"] = choice(
        "Kept", default="open",
        help="In the open the cells follow the air in about 2 h, insulated in about 8 h; warm"
        " means a place that never falls below the set temperature.",
    )
    warm_c: Number = quantity("Kept at least at", "°C", default=10.0, ge=-20, le=40, decimals=0)

    @property
    def cells_in_series(self) -> int:
        """Cells in series, by chemistry where the file is silent."""
        return self.cells if self.cells is not None else _USUAL_CELLS[self.chemistry]

    @property
    def lowest_charge_c(self) -> float:
        """Cell temperature below which charging is refused [°C]."""
        if self.charge_min_c is not None:
            return self.charge_min_c
        return -20.0 if self.is_lead else 0.0

    @property
    def is_lead(self) -> bool:
        """Whether the battery is lead-acid."""
        return self.chemistry in ("AGM", "flooded")

    @property
    def full_ah(self) -> float:
        """Tested capacity of all batteries in parallel [Ah]."""
        return self.capacity_ah * self.count * self.tested_fraction


_USUAL_CELLS: dict[str, int] = {"LFP": 4, "Li-ion": 4, "AGM": 6, "flooded": 6, "NiMH": 10}


class Controller(Part):
    """The charge controller between panel and battery."""

    kind: Literal["mppt", "pwm"] = choice(
        "Kind",
        help="mppt seeks the panel's best point; pwm ties the panel to the battery.",
    )
    efficiency: Number = quantity(
        "Efficiency", default=1.0, gt=0, le=1, decimals=2, spread=0.03,
        help="Of an mppt controller.",
    )
    own_a: Number = quantity("Own draw", "A", default=0.0, ge=0, le=5, decimals=4, spread=0.5)
    output_limit_a: Number | None = quantity(
        "Output limit", "A", default=None, gt=0, le=500, decimals=1
    )
    input_limit_v: Number | None = quantity(
        "Highest panel volts", "V", default=None, gt=0, le=1000, decimals=0
    )
    start_margin_v: Number = quantity(
        "Starts at battery volts plus", "V", default=0.0, ge=0, le=50, decimals=1,
        help="How far the panel's open-circuit volts must exceed the battery's.",
    )
    starts_from_dead: Flag = choice(
        "Starts from a dead battery", default=False,
        help="Whether the panel alone can carry the loads while the battery is cut off.",
    )


class Panel(Part):
    """The solar panel, or several alike."""

    rated_w: Number = quantity(
        "Rated power", "W", gt=0, le=20000, decimals=0, spread=0.1,
        help="Of one panel at 1000 W/m² and 25 °C cells: a laboratory figure.",
    )
    vmp_v: Number = quantity("Volts at best point", "V", default=18.0, gt=0, le=500, decimals=1)
    voc_v: Number = quantity("Open-circuit volts", "V", default=22.0, gt=0, le=600, decimals=1)
    power_per_c: Number = quantity(
        "Power per °C", "1/°C", default=-0.004, ge=-0.02, le=0, decimals=4, spread=0.15
    )
    voc_per_c: Number = quantity(
        "Open-circuit volts per °C", "1/°C", default=-0.003, ge=-0.02, le=0, decimals=4
    )
    other_losses: Number = quantity(
        "Other losses", default=0.0, ge=0, le=0.95, decimals=2, spread=0.5,
        help="Dirt, age, a label that flatters, a shaded corner. Field reports give 0.15 to 0.3.",
    )
    count: Whole = Field(default=1, ge=1, le=50, title="Panels")
    wiring: Literal["parallel", "series"] = choice("Wired in", default="parallel")
    mount: Literal["flat", "fixed", "re-aimed"] = choice(
        "Mount", default="flat", help="Flat on the ground, fixed, or turned to the sun at times."
    )
    tilt_deg: Number = quantity(
        "Tilt", "°", default=0.0, ge=0, le=90, decimals=0, spread=0.0, help="0 lies flat."
    )
    azimuth_deg: Number = quantity(
        "Faces", "°", default=180.0, ge=0, le=360, decimals=0, spread=0.0,
        help="True bearing the panel looks to: 180 is south.",
    )
    re_aim_hours: Number = quantity(
        "Re-aimed every", "h", default=3.0, ge=0.25, le=24, decimals=1, spread=0.0
    )


class Lead(Part):
    """A pair of conductors, out and back, with its joints and its fuse."""

    feeds: Literal["radio", "amplifier", "panel", "battery"] = choice("Leads to", alias="for")
    size_mm2: Number | None = quantity(
        "Conductor", "mm²", default=None, gt=0, le=500, decimals=2, spread=0.05,
        help="Copper cross-section. Give this or the AWG number.",
    )
    awg: Whole | None = Field(default=None, ge=0, le=40, title="Conductor, AWG")
    one_way_m: Number = quantity(
        "Length one way", "m", ge=0, le=500, decimals=2, spread=0.05,
        help="The current goes out and back: the sum counts twice this length.",
    )
    joints_mohm: Number = quantity(
        "Joints", "mΩ", default=0.0, ge=0, le=5000, decimals=1, spread=0.5,
        help="All plugs, clamps and crimps of this lead together. A good two-pole plug has under"
        " 1; a spring clamp was measured at 83.",
    )
    fuse_a: Number | None = quantity("Fuse", "A", default=None, gt=0, le=1000, decimals=1)
    insulation_c: Literal[60, 75, 80, 90, 105, 125, 200] = choice(
        "Insulation rated", default=75, help="Temperature printed on the insulation [°C]."
    )


class Charger(Part):
    """A vehicle, mains or generator charger that runs in set hours."""

    current_a: Number = quantity("Current", "A", gt=0, le=500, decimals=1)
    hours: Hours = Field(
        default="always", title="Hours", json_schema_extra={"columns": ["From", "To"]}
    )


class Extra(Part):
    """Anything else carried: a light, a router, a meter, food, water."""

    power_w: Number | None = quantity(
        "Power", "W", default=None, ge=0, le=2000, decimals=1, spread=0.3,
        help="For things behind a converter: the watts at its input.",
    )
    current_a: Number | None = quantity(
        "Current", "A", default=None, ge=0, le=200, decimals=3, spread=0.3
    )
    hours: Hours = Field(
        default="always", title="Hours", json_schema_extra={"columns": ["From", "To"]}
    )
    group: Line = text("Group", help="Heading on the carry list.")
    shared_by_all: Flag = choice("All stations carry this", default=False)


class FieldReading(Value):
    """What was read off the meters at one moment of the trip; what was not read is left out."""

    day: Whole = Field(
        default=1, ge=1, le=DAYS_OF_LOG, title="Day",
        description="Counted from 1, the date of the start; the next midnight begins day 2.",
    )
    at: ClockTime = Field(title="Time", description="Local wall clock.")
    used_ah: Number | None = quantity(
        "Used since full", "Ah", default=None, ge=0, le=100000, decimals=2,
        help="What the counter says has gone out, less what came back, since the battery was full.",
    )
    battery_v: Number | None = quantity(
        "Battery volts", "V", default=None, ge=0, le=100, decimals=2
    )
    at_rest: Flag = choice(
        "At rest for 30 minutes", default=False,
        help="Nothing drawn and nothing charged: otherwise volts say nothing of the charge.",
    )
    panel_a: Number | None = quantity(
        "Panel current", "A", default=None, ge=0, le=1000, decimals=2,
        help="Into the battery's side of the controller.",
    )
    note: Line = text("Note", max_length=200)


class Station(Value):
    """One portable station: a radio and a battery, and whatever goes with them."""

    name: Line = text("Name")
    reserve_fraction: Number = quantity(
        "Reserve", default=0.0, ge=0, lt=1, decimals=2, spread=0.0,
        help="Charge you mean to come home with. It is the only margin: nothing else is added.",
    )
    start_fraction: Number = quantity(
        "Charge at the start", default=1.0, ge=0, le=1, decimals=2, spread=0.03
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
    readings: Annotated[
        tuple[FieldReading, ...], BeforeValidator(listed_up_to(READINGS_LIMIT))
    ] = Field(default=(), max_length=READINGS_LIMIT, title="Field readings")
