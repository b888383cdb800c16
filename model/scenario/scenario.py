"""The whole of one question: a place, a day, a plan and the stations to be weighed."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import date as Date
from itertools import pairwise
from typing import Annotated, Any, Literal
from zoneinfo import ZoneInfo

from pydantic import AfterValidator, BeforeValidator, Field, PlainSerializer

from model.scenario.climate import HIGHEST_C, LOWEST_C, Climate
from model.scenario.daily import DAYS_LIMIT, Skies, by_date
from model.scenario.declare import (
    ClockTime,
    Flag,
    Number,
    OneLine,
    Prose,
    Value,
    Whole,
    choice,
    clock_of,
    listed,
    listed_up_to,
    minutes_of,
    quantity,
    text,
    too_long,
)
from model.scenario.station import Station

FORMAT = 2
HORIZON_LIMIT = 360
PLAN_LIMIT = 500
STATIONS_LIMIT = 4
VARIANTS_LIMIT = 20
CHANGES_LIMIT = 50
Activity = Literal["off", "watch", "voice", "morse", "fm", "slots", "arq"]

HorizonPoint = tuple[
    Annotated[float, Field(strict=True, ge=0, le=360, allow_inf_nan=False)],
    Annotated[float, Field(strict=True, ge=0, le=90, allow_inf_nan=False)],
]


def _known_zone(value: str) -> str:
    try:
        ZoneInfo(value)
    except (KeyError, OSError, ValueError):
        raise ValueError('must be a time zone of the IANA list, such as "Europe/Rome"') from None
    return value


class Site(Value):
    """Where the station stands."""

    name: OneLine = text("Place", help="What the place is called on screen and page.")
    latitude_deg: Number = quantity("Latitude", "°", ge=-90, le=90, decimals=4, help="North is +.")
    longitude_deg: Number = quantity(
        "Longitude", "°", ge=-180, le=180, decimals=4, help="East is +."
    )
    elevation_m: Number = quantity(
        "Elevation",
        "m",
        default=0.0,
        ge=-430,
        le=8850,
        decimals=0,
        help="Above sea level: the thinner the air, the stronger the sun.",
    )
    timezone: Annotated[OneLine, AfterValidator(_known_zone)] = text(
        "Time zone", default="UTC", max_length=64, help="A name of the IANA list."
    )
    albedo: Number = quantity(
        "Ground reflectivity (albedo)",
        default=0.2,
        ge=0,
        le=1,
        decimals=2,
        help="Share of light the ground reflects: grass 0.2, old snow 0.65, fresh snow 0.75.",
    )
    licence_max_w: Number | None = quantity(
        "Licence limit",
        "W",
        default=None,
        gt=0,
        le=5000,
        decimals=0,
        help="The most your licence allows here, on this band.",
    )
    horizon: Annotated[tuple[HorizonPoint, ...], BeforeValidator(listed_up_to(HORIZON_LIMIT))] = (
        Field(
            default=(),
            max_length=HORIZON_LIMIT,
            title="Horizon",
            description=(
                "Ridge and trees: pairs of azimuth (true) and elevation in degrees, linear between."
            ),
            json_schema_extra={"unit": "°, °", "columns": ["Azimuth (true)", "Elevation"]},
        )
    )


class Day(Value):
    """When it begins, how long it lasts, and the weather of each day."""

    date: Annotated[Date, Field(strict=True, ge=Date(1950, 1, 1), le=Date(2149, 12, 31))] = Field(
        title="Date",
        description="Local date of the first day. It sets how high and how long the sun stands.",
    )
    start_hour: Number = quantity(
        "Starts at", "h", default=0.0, ge=0, lt=24, decimals=2, help="Local wall clock."
    )
    days: Whole = Field(
        default=1,
        ge=1,
        le=DAYS_LIMIT,
        title="Days",
        description="How many days of 24 hours are run, counted from the start.",
    )
    wind_m_s: Number = quantity(
        "Wind",
        "m/s",
        default=1.0,
        ge=0,
        le=60,
        decimals=1,
        help="At the panel: wind cools the cells, and cool cells give more.",
    )
    sky: Skies = Field(
        default=(1.0,),
        title="Sky by date",
        description="A word for each local date: clear, mostly clear, mixed, mostly cloudy,"
        " overcast or rain; or the day's clear-sky index, its light over that of a clear day."
        " A short list goes on with its last.",
        json_schema_extra={"unit": "", "decimals": 2},
    )
    low_c: by_date(LOWEST_C, HIGHEST_C) = Field(  # type: ignore[valid-type]
        default=(25.0,),
        title="Low",
        description="Lowest air temperature, near 03:00: one number, or one for each local date.",
        json_schema_extra={"unit": "°C", "decimals": 0},
    )
    high_c: by_date(LOWEST_C, HIGHEST_C) = Field(  # type: ignore[valid-type]
        default=(25.0,),
        title="High",
        description="Highest air temperature, taken at 15:00: one number, or one for each local"
        " date.",
        json_schema_extra={"unit": "°C", "decimals": 0},
    )


class Block(Value):
    """One stretch of the 24-hour plan; it repeats each local day."""

    start: ClockTime = Field(
        title="Start", description="Local wall clock; the block repeats each day."
    )
    end: ClockTime = Field(
        title="End",
        description="Local wall clock. An end before the start is on the next day; 24:00 is"
        " midnight.",
    )
    activity: Activity = choice(
        "Activity",
        help="What the station does in the block; each mode has its own mean current.",
    )
    rf_w: Number = quantity(
        "RF power",
        "W",
        default=0.0,
        ge=0,
        le=5000,
        decimals=1,
        help="Peak envelope power asked for, before the tuner.",
    )
    transmit_share: Number = quantity(
        "Transmit share",
        default=0.0,
        ge=0,
        le=1,
        decimals=3,
        help="Share of the block spent transmitting: checking in 0.1, net control 0.5.",
    )
    listen_share: Number = quantity(
        "Receive share of the rest",
        default=1.0,
        ge=0,
        le=1,
        decimals=3,
        help="Minimum watch, 5 minutes an hour, is 0.083; otherwise the radio is off.",
    )
    processed: Flag = choice(
        "Speech processor", default=False, help="Raises the mean current of voice."
    )
    frequency_mhz: Number | None = quantity(
        "Frequency",
        "MHz",
        default=None,
        gt=0,
        le=300000,
        decimals=3,
        help="Does not change the current; used for RF exposure, printed on pages.",
    )
    note: OneLine = text("Note", max_length=200, help="Your own words; shown in the block.")

    @property
    def minutes(self) -> tuple[int, int]:
        """Start and end in minutes since midnight; an end past 1440 crosses midnight [min]."""
        start, end = minutes_of(self.start), minutes_of(self.end)
        return start, end if end > start else end + 1440

    @property
    def sends(self) -> bool:
        """Whether the transmitter runs at all in this block."""
        return self.activity not in ("off", "watch") and self.transmit_share > 0 and self.rf_w > 0


def refuse_overlaps(plan: tuple[Block, ...], *, called: str = "plan") -> tuple[Block, ...]:
    """Return the blocks of a plan as they are.

    Parameters
    ----------
    plan : the blocks.
    called : the list they stand in, for the fault.

    Raises
    ------
    ValueError
        Where two of them overlap; a line for each.
    """
    pieces = []
    for index, block in enumerate(plan):
        start, end = block.minutes
        pieces.append((start, min(end, 1440), index))
        if end > 1440:
            pieces.append((0, end - 1440, index))
    pieces.sort()
    faults = []
    for (_, end, first), (start, _, second) in pairwise(pieces):
        if start < end:
            low, high = sorted((first, second))
            faults.append(
                f"{high}: overlaps {called}.{low} from {clock_of(start)}; blocks must not overlap"
            )
    if faults:
        raise ValueError("\n".join(faults))
    return plan


def pairs_below(table: Mapping[str, Any], start: str = "") -> Iterator[tuple[str, Any]]:
    """Yield paths and values of a table of changes.

    A dotted key that was written without quotes is tables in tables.
    """
    for key, value in table.items():
        path = f"{start}.{key}" if start else key
        if isinstance(value, Mapping) and value:
            yield from pairs_below(value, path)
        else:
            yield path, value


def _holds_a_table(value: Any) -> bool:
    if isinstance(value, list | tuple):
        return any(map(_holds_a_table, value))
    return isinstance(value, Mapping)


def _changes(value: Any) -> Any:
    if isinstance(value, Mapping):
        return _change_pairs(value)
    if isinstance(value, tuple):
        return value
    raise ValueError('must be a table such as { "stations.0.panel.rated_w" = 60 }')


def _change_pairs(value: Mapping[str, Any]) -> tuple[tuple[str, Any], ...]:
    pairs = dict(pairs_below(value))
    if len(pairs) > CHANGES_LIMIT:
        raise too_long(CHANGES_LIMIT, len(pairs))
    for path, wanted in pairs.items():
        if _holds_a_table(wanted):
            raise ValueError(f'must lead to single values, and "{path[:120]}" is given a table')
    return tuple(sorted((path, listed(wanted)) for path, wanted in pairs.items()))


# Paths with their values, kept as sorted pairs: hashable, and equal however the file ordered them.
Changes = Annotated[
    tuple[tuple[str, Any], ...],
    BeforeValidator(_changes, json_schema_input_type=dict[str, bool | float | str | list[Any]]),
    PlainSerializer(dict),
    Field(max_length=CHANGES_LIMIT),
]


def _not_blank(value: str) -> str:
    if not value.strip():
        raise ValueError("must not be blank")
    return value


class Variant(Value):
    """The scenario with some values changed, by a name; it holds no variants of its own.

    Whether its paths lead anywhere in this scenario is a finding: stations and parts come and go.
    """

    name: Annotated[OneLine, AfterValidator(_not_blank)] = text(
        "Name", default=..., max_length=80, help="Each variant has its own."
    )
    note: OneLine = text("Note", max_length=200, help="Your own words.")
    changes: Changes = Field(
        default=(),
        title="Changes",
        description="Dotted paths, each with the value that stands there in this variant.",
    )
    left_out: Annotated[tuple[OneLine, ...], BeforeValidator(listed_up_to(CHANGES_LIMIT))] = Field(
        default=(),
        max_length=CHANGES_LIMIT,
        title="Left out",
        description="Dotted paths of parts and numbers that stay at home in this variant.",
    )


def _refuse_one_name_twice(variants: tuple[Variant, ...]) -> tuple[Variant, ...]:
    first: dict[str, int] = {}
    faults = []
    for index, variant in enumerate(variants):
        at = first.setdefault(variant.name, index)
        if at != index:
            faults.append(f"{index}.name: is the name of variants.{at} too; each needs its own")
    if faults:
        raise ValueError("\n".join(faults))
    return variants


class Scenario(Value):
    """A complete, immutable question. Every change makes a new one."""

    format: Literal[2] = Field(default=2, title="Format")
    title: OneLine = text("Title", max_length=200, help="Heads the kit page.")
    notes: Prose = text("Notes", max_length=8000, help="Your own words, kept in the file.")
    site: Site
    day: Day
    climate: Climate | None = None
    plan: Annotated[
        tuple[Block, ...],
        BeforeValidator(listed_up_to(PLAN_LIMIT)),
        AfterValidator(refuse_overlaps),
    ] = Field(default=(), max_length=PLAN_LIMIT)
    stations: Annotated[tuple[Station, ...], BeforeValidator(listed_up_to(STATIONS_LIMIT))] = Field(
        min_length=1, max_length=STATIONS_LIMIT
    )
    variants: Annotated[
        tuple[Variant, ...],
        BeforeValidator(listed_up_to(VARIANTS_LIMIT)),
        AfterValidator(_refuse_one_name_twice),
    ] = Field(default=(), max_length=VARIANTS_LIMIT)
