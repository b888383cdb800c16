"""What ``counterpoise group`` and its drill write as JSON: every key, its unit, when it is null."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field, with_config
from typing_extensions import TypedDict

from model.engine.first_end import ClockName
from model.engine.outcome import Because, Cause
from model.export.documents import CLOSED, Ah, Hours, Kg, Share, Time
from model.export.odds_document import Bounded
from model.group.board import MomentName
from model.group.power_matrix import Reason
from model.group.single_points import Shared


@with_config(CLOSED)
class GroupEnd(TypedDict):
    """What a post can first no longer do."""

    clock: ClockName
    at: Time
    hours: Annotated[Hours, Field(description="from the start of the run")]
    cause: Cause
    because: Because | None
    off_air_at: Time | None


@with_config(CLOSED)
class GroupPost(TypedDict):
    """One post; its outcome is null where it is not run, with the reason."""

    kit: str
    role: str
    place: str
    latitude_deg: Annotated[float, Field(json_schema_extra={"unit": "°"})]
    longitude_deg: Annotated[float, Field(json_schema_extra={"unit": "°"})]
    station: Annotated[str, Field(description="name of the kit in its scenario")]
    lacks: Annotated[list[str], Field(description="taken away, so that nothing is on the air")]
    why_not_run: str | None
    lasts: Annotated[bool, Field(description="nothing ends under the planned sky")]
    first_end: GroupEnd | None
    bad_first_end: GroupEnd | None
    receive: Annotated[Bounded | None, Field(description="on the air to the end; null in brief")]
    night: Annotated[
        Bounded | None, Field(description="on the air in all dark hours; null in brief")
    ]
    lowest_fraction: Share | None
    ah_a_day: Ah | None
    guess_share: Share | None
    mass_kg: Kg


@with_config(CLOSED)
class GroupOrder(TypedDict):
    """One spare that goes to one post."""

    spare: Annotated[int, Field(description="counted from 1 through the file")]
    name: str
    kit: str
    by: Time
    arrives: Annotated[Time, Field(description="the earliest")]


@with_config(CLOSED)
class GroupSpares(TypedDict):
    """Who gets which spare."""

    exact: Annotated[bool, Field(description="no other way of giving them out is worth more")]
    orders: list[GroupOrder]
    lasting: Annotated[list[str], Field(description="kits of the posts that then last")]
    out_of_reach: list[str]


@with_config(CLOSED)
class GroupRefusal(TypedDict):
    """One reason why a battery cannot power a radio."""

    reason: Reason
    words: str


@with_config(CLOSED)
class GroupPower(TypedDict):
    """The battery of one lender on the radio of one post; swapped, never joined."""

    battery: str
    kit: str
    can_power: bool
    hours: Annotated[
        Hours | None, Field(description="without sun or charger; null beyond two weeks, or if not")
    ]
    notes: list[str]
    refusals: list[GroupRefusal]


@with_config(CLOSED)
class GroupPoint(TypedDict):
    """What several posts rest on."""

    kind: Shared
    what: str
    kits: list[str]
    words: str


@with_config(CLOSED)
class GroupMoment(TypedDict):
    """What a post should have at a moment of a night, counted from 0."""

    night: int
    kit: str
    moment: MomentName
    at: Time
    expected_ah: Ah


@with_config(CLOSED)
class GroupNet(TypedDict):
    """Odds of the net under shared skies; at_least[n] is for net control and n other posts."""

    skies: int
    basis: str
    weathers: int
    net_control: str | None
    at_least: list[Bounded]


@with_config(CLOSED)
class GroupHead(TypedDict):
    """What stands at the head of a document of a group."""

    format: Annotated[Literal[1], Field(description="of this document, not of the group's file")]
    program: Annotated[str, Field(description="version of the program")]
    file: Annotated[str, Field(description="as it was given; - is standard input")]
    input_mark: Annotated[str, Field(description="changes with the group and with any kit of it")]
    title: str
    start: Time
    days: int
    posts: list[GroupPost]
    spares: GroupSpares


class GroupDocument(GroupHead):
    """What ``counterpoise group --json`` writes."""

    kind: Literal["group"]
    net: Annotated[GroupNet | None, Field(description="null in brief")]
    power: list[GroupPower]
    shared: list[GroupPoint]
    nights: list[GroupMoment]


class DrillDocument(GroupHead):
    """What ``counterpoise group drill --json`` writes: the posts that are left."""

    kind: Literal["drill"]
    without: list[str]
    lost: Annotated[list[str], Field(description="kits that lasted with their spares before")]
    unrelayed: Annotated[list[str], Field(description="kits without a relay that lasts")]
