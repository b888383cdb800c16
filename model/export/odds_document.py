"""What ``counterpoise odds`` writes as JSON; shares go from 0 to 1, each between two bounds."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field, with_config
from typing_extensions import TypedDict

from model.export.documents import CLOSED, Ah, Day, Head, Hours, Kg, Share, Watts

InUnit = Annotated[float, Field(description="in the unit that stands beside it")]


@with_config(CLOSED)
class Driver(TypedDict):
    """An input whose uncertainty moves the outcome, by the rank correlation."""

    path: str
    origin: str | None
    rank: Share
    on: str


@with_config(CLOSED)
class StationOdds(TypedDict):
    """Shares of the trips: meets the plan, keeps the reserve, receives, full power to the end."""

    holds: Share | None
    holds_low: Share | None
    holds_high: Share | None
    reserve: Share | None
    reserve_low: Share | None
    reserve_high: Share | None
    receive: Share | None
    receive_low: Share | None
    receive_high: Share | None
    full_power: Share | None
    full_power_low: Share | None
    full_power_high: Share | None
    loss_of_load: Annotated[Share | None, Field(description="of planned time, in the mean")]
    drivers: list[Driver]


@with_config(CLOSED)
class Bounded(TypedDict):
    """A share between its bounds."""

    value: Share | None
    low: Share | None
    high: Share | None


@with_config(CLOSED)
class SizeForOdds(TypedDict):
    """The smallest size for wanted odds."""

    unit: str | None
    carried: InUnit | None
    size: InUnit | None
    size_low: InUnit | None
    size_high: InUnit | None
    part_kg: Kg | None
    station_kg: Kg | None
    odds: Bounded
    odds_carried: Bounded


@with_config(CLOSED)
class FrontierRow(TypedDict):
    """A battery with the smallest panel that gives the wanted odds with it."""

    battery_ah: Ah
    panel_w: Watts | None
    station_kg: Kg | None
    share: Share | None


@with_config(CLOSED)
class Raise(TypedDict):
    """A change that would raise the odds."""

    key: str
    change: str
    gives_up: str
    more_kg: Kg | None
    more_cost: float | None
    odds: Bounded


@with_config(CLOSED)
class Measure(TypedDict):
    """A number that would narrow the outcome, were it measured."""

    path: str
    origin: str | None
    low: float
    high: float
    narrower: Share
    hours: Hours | None
    charge: Share | None


@with_config(CLOSED)
class MoreYears(TypedDict):
    """How wide the odds are, and how wide with more years of weather."""

    years: int | None
    width: Share | None
    width_then: Share | None


@with_config(CLOSED)
class StationAnswers(TypedDict):
    """What --more asks of a station; null without it."""

    goal: str | None
    wanted: Share | None
    trips: int | None
    now: Bounded
    smallest_battery: SizeForOdds
    smallest_panel: SizeForOdds
    frontier: list[FrontierRow]
    measure: list[Measure]
    more_years: MoreYears


# ``raise`` is a word of the language and cannot be declared as the others are.
Answers = TypedDict(
    "Answers",
    {"raise": list[Raise]},
)


@with_config(CLOSED)
class AnswersOfStation(StationAnswers, Answers):
    """All that --more asks of a station."""


@with_config(CLOSED)
class OddsStation(TypedDict):
    """One station; odds are null where it cannot be run."""

    name: str
    odds: StationOdds
    answers: AnswersOfStation


@with_config(CLOSED)
class HalfMonth(TypedDict):
    """Odds of trips that start in one half of a month, one number a station."""

    start: Day
    basis: Literal["years", "climate"]
    holds: list[Share | None]
    holds_low: list[Share | None]
    holds_high: list[Share | None]
    receive: list[Share | None]
    receive_low: list[Share | None]
    receive_high: list[Share | None]


@with_config(CLOSED)
class OddsDocument(Head):
    """What ``counterpoise odds --json`` writes."""

    kind: Literal["odds"]
    trips: int
    basis: Annotated[str | None, Field(description="where the skies come from")]
    stations: list[OddsStation]
    outlasts: Annotated[
        list[list[Share | None]],
        Field(description="[i][j]: share of trips in which station i receives longer than j"),
    ]
    half_months: list[HalfMonth]
