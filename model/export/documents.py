"""What ``run``, ``size`` and ``odds`` write as JSON: every key, its unit, and when it is null.

Their JSON Schema is made of this by ``model.export.document_schema``. Times are local, ISO 8601
with their offset; shares and charges go from 0 to 1; stations are counted from 0.
"""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import ConfigDict, Field, with_config
from typing_extensions import TypedDict

from model.engine.outcome import Because, Cause
from model.findings.finding import Level

CLOSED = ConfigDict(extra="forbid", strict=True)

Time = Annotated[str, Field(json_schema_extra={"format": "date-time"})]
Day = Annotated[str, Field(json_schema_extra={"format": "date"})]
Ah = Annotated[float, Field(json_schema_extra={"unit": "Ah"})]
Wh = Annotated[float, Field(json_schema_extra={"unit": "Wh"})]
Watts = Annotated[float, Field(json_schema_extra={"unit": "W"})]
Volts = Annotated[float, Field(json_schema_extra={"unit": "V"})]
Kg = Annotated[float, Field(json_schema_extra={"unit": "kg"})]
Hours = Annotated[float, Field(json_schema_extra={"unit": "h"})]
Share = Annotated[float, Field(json_schema_extra={"unit": "1"})]


@with_config(CLOSED)
class Finding(TypedDict):
    """A remark at a field."""

    level: Level
    path: str
    sentence: str
    remedy: str


@with_config(CLOSED)
class Lowest(TypedDict):
    """The least charge of the run, over tested capacity."""

    value: Share | None
    at: Time | None


@with_config(CLOSED)
class Moment(TypedDict):
    """When the charge first falls below the reserve; null where it never does."""

    at: Time | None


@with_config(CLOSED)
class Clock(TypedDict):
    """When a station first cannot do what the clock is named for; null where it always can."""

    until: Time | None
    cause: Cause | None
    because: Because | None
    drain: Annotated[str | None, Field(description="the use that took the most Ah")]
    back_at: Time | None
    hours: Annotated[Hours | None, Field(description="from the start of the run")]
    next_transmit: Time | None


@with_config(CLOSED)
class Clocks(TypedDict):
    """The three clocks of a station."""

    full_power: Clock
    reduced_power: Clock
    receive: Clock


@with_config(CLOSED)
class PanelWh(TypedDict):
    """Where the panel's energy went: available = used + mismatch + spilled."""

    available: Wh | None
    used: Wh | None
    mismatch: Wh | None
    spilled: Wh | None


@with_config(CLOSED)
class BatteryWh(TypedDict):
    """What went through the battery's terminals."""

    into: Wh | None
    out: Wh | None


@with_config(CLOSED)
class TransmitVolts(TypedDict):
    """Voltage at the radio while it transmits at planned power."""

    first: Volts | None
    lowest: Volts | None
    at: Time | None


@with_config(CLOSED)
class RunStation(TypedDict):
    """One station of a run; the outcome is null where an error finding withholds it."""

    name: str
    mass_kg: Kg
    boxes: Annotated[int, Field(description="items carried but for leads")]
    cables: Annotated[int, Field(description="leads carried")]
    cost: Annotated[float, Field(description="in the currency of the file")]
    rf_w: Annotated[Watts, Field(description="highest planned power it can give")]
    lowest_fraction: Lowest
    end_fraction: Share | None
    reserve_crossed: Moment
    clocks: Clocks
    hours_on_battery: Annotated[
        Hours | None, Field(description="receiving from full without sun; null beyond 30 days")
    ]
    load_ah: Ah | None
    load_wh: Wh | None
    by_use_ah: dict[str, Ah | None]
    panel_wh: PanelWh
    charger_wh: Wh | None
    battery_wh: BatteryWh
    losses_wh: dict[str, Wh | None]
    transmit_volts: TransmitVolts
    guess_share: Annotated[Share | None, Field(description="of load_ah, from guesses")]
    ledger_residual: Annotated[
        Share | None, Field(description="energy not accounted for, over that which went through")
    ]
    findings: list[Finding]


@with_config(CLOSED)
class ClockHours(TypedDict):
    """By how many hours the clocks of two stations differ; null where one does not end."""

    full_power: Hours | None
    reduced_power: Hours | None
    receive: Hours | None


@with_config(CLOSED)
class Difference(TypedDict):
    """Another station less the first."""

    stations: list[int]
    power_db: Annotated[float | None, Field(json_schema_extra={"unit": "dB"})]
    mass_kg: Kg
    boxes: int
    cables: int
    cost: float
    load_ah: Ah | None
    lowest_fraction: Share | None
    end_fraction: Share | None
    hours: ClockHours


@with_config(CLOSED)
class Flip(TypedDict):
    """The value of one number at which the first two stations to end come out even."""

    path: str
    unit: str
    now: float
    value: float
    stations: list[int]
    both_last: bool


@with_config(CLOSED)
class Cure(TypedDict):
    """What helps the station that ends first; gained_h is null where it then lasts."""

    station: int
    key: str
    words: str
    loses: str
    gained_h: Hours | None
    lasts: bool


@with_config(CLOSED)
class Head(TypedDict):
    """What stands at the head of every document."""

    format: Annotated[Literal[1], Field(description="of this document, not of the scenario")]
    program: Annotated[str, Field(description="version of the program")]
    file: Annotated[str, Field(description="as it was given; - is standard input")]
    changes: Annotated[
        dict[str, Any], Field(description="made by --set and --sweep, by their paths")
    ]
    input_mark: Annotated[str, Field(description="changes with anything in what was run")]
    title: str


class RunDocument(Head):
    """What ``counterpoise run --json`` writes: all results of one comparison."""

    kind: Literal["run"]
    variant: str | None
    start: Time
    days: int
    stations: list[RunStation]
    differences: list[Difference]
    flips: Annotated[list[Flip] | None, Field(description="null in brief")]
    cures: Annotated[list[Cure] | None, Field(description="null in brief")]
    findings: list[Finding]


@with_config(CLOSED)
class Failure(TypedDict):
    """What fails, and when."""

    at: Time
    why: str
    words: str


@with_config(CLOSED)
class SizeStation(TypedDict):
    """Smallest sizes of a station, and those to take; null where none would do, with the reason."""

    name: str
    smallest_battery_ah: Ah | None
    smallest_battery_wh: Wh | None
    smallest_battery_kg: Kg | None
    station_kg_with_smallest_battery: Kg | None
    battery_proof: Annotated[Failure | None, Field(description="one step smaller")]
    why_no_battery: str | None
    battery_to_take_ah: Ah | None
    battery_to_take_kg: Kg | None
    station_kg_with_battery_to_take: Kg | None
    battery_to_take_under: Annotated[
        dict[str, Failure | None] | None, Field(description="by the word for the sky")
    ]
    battery_words: list[str]
    smallest_panel_for_the_trip_w: Watts | None
    smallest_panel_for_the_trip_kg: Kg | None
    station_kg_with_smallest_panel_for_the_trip: Kg | None
    panel_for_the_trip_proof: Failure | None
    why_no_panel_for_the_trip: str | None
    panel_for_the_trip_to_take_w: Watts | None
    panel_for_the_trip_to_take_kg: Kg | None
    station_kg_with_panel_for_the_trip_to_take: Kg | None
    panel_for_the_trip_to_take_under: dict[str, Failure | None] | None
    panel_for_the_trip_words: list[str]
    smallest_panel_w: Annotated[Watts | None, Field(description="to go on after the trip")]
    smallest_panel_kg: Kg | None
    station_kg_with_smallest_panel: Kg | None
    panel_proof: Failure | None
    why_no_panel: str | None
    panel_to_take_w: Watts | None
    panel_to_take_kg: Kg | None
    station_kg_with_panel_to_take: Kg | None
    panel_to_take_under: dict[str, Failure | None] | None
    panel_words: list[str]


@with_config(CLOSED)
class SizeDocument(Head):
    """What ``counterpoise size --json`` writes."""

    kind: Literal["size"]
    stations: list[SizeStation]
