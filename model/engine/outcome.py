"""What a run says of a station, as immutable values; times are local and carry their offset."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Literal

from model.scenario.kinds import USES as PART_USES

Cause = Literal["empty", "cutoff", "sag", "board", "over-volts"]
# What stands behind a cause; see ``model.engine.frost`` for when it is named.
Because = Literal["frost"]
# The key of one of ``model.scenario.kinds.USES``.
Use = str
USES: tuple[Use, ...] = tuple(use.key for use in PART_USES)


@dataclass(frozen=True)
class Clock:
    """How long one ability lasts; all members are None where it never ends or never applies.

    Attributes
    ----------
    until : when it first ends.
    cause : why.
    drain : the use that took most Ah since the battery was last full.
    back_at : when it first returns.
    hours : from the start of the run to ``until`` [h].
    next_transmit : the next planned block that sends, from ``until`` on.
    because : "frost" where charge refused by cold cells is what ended it.
    """

    until: datetime | None = None
    cause: Cause | None = None
    drain: Use | None = None
    back_at: datetime | None = None
    hours: float | None = None
    next_transmit: datetime | None = None
    because: Because | None = None


@dataclass(frozen=True)
class Clocks:
    """The three clocks: full power, reduced power, receive."""

    full_power: Clock
    reduced_power: Clock
    receive: Clock


@dataclass(frozen=True)
class Lowest:
    """The least charge and when it is reached.

    Attributes
    ----------
    value : charge over tested capacity [1].
    at : local time.
    """

    value: float
    at: datetime


@dataclass(frozen=True)
class PanelEnergy:
    """Where the panel's energy went: available = used + mismatch + spilled [Wh]."""

    available: float
    used: float
    mismatch: float
    spilled: float


@dataclass(frozen=True)
class Losses:
    """Energy lost on the way [Wh]; ``rate`` is what lead loses to high current."""

    battery: float
    leads: float
    converters: float
    controller: float
    rate: float


@dataclass(frozen=True)
class TransmitVolts:
    """Volts at the radio with the key down at planned power, while sending [V]."""

    first: float | None = None
    lowest: float | None = None
    at: datetime | None = None


@dataclass(frozen=True)
class Sums:
    """Totals of a run.

    Attributes
    ----------
    load_ah, load_wh : what the loads drew at the bus, and what reached them [Ah], [Wh].
    by_use_ah : load_ah by use [Ah].
    panel_wh, charger_wh, losses_wh : energy [Wh].
    battery_in_wh, battery_out_wh : at its terminals [Wh].
    ledger_residual : greatest relative failure of any balance [1].
    """

    load_ah: float
    load_wh: float
    by_use_ah: dict[Use, float]
    panel_wh: PanelEnergy
    charger_wh: float
    losses_wh: Losses
    battery_in_wh: float
    battery_out_wh: float
    ledger_residual: float
