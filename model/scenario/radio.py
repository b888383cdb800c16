"""What makes RF: radio, amplifier, tuner and antenna, each as an immutable value."""

from __future__ import annotations

from typing import Literal, Self

from pydantic import Field, model_validator

from model.scenario.declare import (
    Number,
    OneLine,
    choice,
    quantity,
)
from model.scenario.part import (
    KEY_DOWN_LIMIT,
    KeyDown,
    Part,
    fuse_type_text,
    plug_text,
    polarity_text,
)

AmplifierState = Literal["off", "standby", "operate"]

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
    plug: OneLine = plug_text()
    polarity: OneLine = polarity_text()
    fuse_type: OneLine = fuse_type_text()

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
