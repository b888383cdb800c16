"""The group's question: posts with their kits, plans by role, spares, places and routes.

A group is a document of its own. It names scenario files; see ``model.group.kits`` for what the
two make together.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import date as Date
from functools import partial
from typing import Annotated, Literal, Self

from pydantic import AfterValidator, BeforeValidator, Field, model_validator

from model.scenario.climate import Climate
from model.scenario.daily import Skies
from model.scenario.declare import (
    Number,
    OneLine,
    Prose,
    Value,
    Whole,
    choice,
    listed_up_to,
    quantity,
    text,
)
from model.scenario.power import Battery, Controller, Panel, ProfileName
from model.scenario.scenario import PLAN_LIMIT, STATIONS_LIMIT, Block, Day, Site, refuse_overlaps
from model.scenario.station import Radio

GROUP_FORMAT = 1
NET_CONTROL = "net control"
RELAY = "relay"
POSTS_LIMIT = 40
TITLE_LIMIT = 200
PLANS_LIMIT = 20
PLACES_LIMIT = 60
SPARES_LIMIT = 40
ROUTES_LIMIT = 400
# Parts that may stand by as a spare, by their key in the file.
SpareSlot = Literal["battery", "panel", "controller", "radio"]
SPARE_SLOTS: tuple[SpareSlot, ...] = ("battery", "panel", "controller", "radio")
_KIT = re.compile(r"[0-9A-Za-z-]{1,8}")
_FILE = re.compile(r"(?:[^/\\:.][^/\\:]*/)*[^/\\:.][^/\\:]*")


def _kit_number(value: str) -> str:
    if not _KIT.fullmatch(value):
        raise ValueError('must be 1 to 8 letters, digits or hyphens, such as "04"')
    return value


def _file_beside(value: str) -> str:
    if not _FILE.fullmatch(value):
        raise ValueError(
            "must be the name of a scenario file beside the group's file or in a folder below it"
        )
    return value


Kit = Annotated[OneLine, AfterValidator(_kit_number)]


class Post(Value):
    """One post: whose kit stands where, what for, and who works it."""

    kit: Kit = text(
        "Kit", default=..., max_length=8, help="Number on the box; each post has its own."
    )
    scenario: Annotated[OneLine, AfterValidator(_file_beside)] = text(
        "Scenario file", default=..., help="File that holds the kit, beside the group's file."
    )
    station: Whole = Field(
        default=1,
        ge=1,
        le=STATIONS_LIMIT,
        title="Station",
        description="Which station of that file the kit is, counted from 1.",
    )
    role: OneLine = text(
        "Role", max_length=60, help="Such as net control, relay, shelter. It may have its own plan."
    )
    place: OneLine = text("Place", max_length=60, help="Where it stands; routes lead there.")
    call_sign: OneLine = text(
        "Call sign", max_length=60, help="Left empty, a line to fill in is printed."
    )
    licence: OneLine = text(
        "Licence", max_length=60, help="Under whose licence it transmits, in plain words: the same"
        " words at two posts are one holder, whose absence takes both off the air.",
    )  # fmt: skip
    shift: OneLine = text("Shift", max_length=60, help="From when to when, in plain words.")
    relief: OneLine = text("Relief", max_length=60, help="Who comes after, in plain words.")
    frequency_mhz: Number | None = quantity(
        "Frequency", "MHz", default=None, gt=0, le=300000, decimals=3,
        help="Where the post is called; printed on its sheet.",
    )  # fmt: skip
    backup: OneLine = text(
        "Backup", max_length=120, help="What is done when the frequency or the radio fails."
    )
    relay: OneLine = text(
        "Relay", max_length=8, help="Kit number of the post that passes on its traffic."
    )
    battery_test_due: Annotated[Date, Field(strict=True)] | None = Field(
        default=None,
        title="Battery test due",
        description="When its battery has to be tested again; left empty, it was never tested.",
    )
    battery_batch: OneLine = text(
        "Battery batch", max_length=60, help="Bought together: batteries of one batch age alike."
    )


class RolePlan(Value):
    """What all posts of one role work; the kit's own plan is then not read."""

    role: OneLine = text("Role", default=..., max_length=60, help="As the posts name it.")
    blocks: Annotated[
        tuple[Block, ...],
        BeforeValidator(listed_up_to(PLAN_LIMIT)),
        AfterValidator(partial(refuse_overlaps, called="blocks")),
    ] = Field(default=(), max_length=PLAN_LIMIT, title="Blocks")


class Spare(Value):
    """Parts alike that stand ready at one place; exactly one of the parts is given."""

    name: OneLine = text("Name", max_length=60, help="On the label of the box.")
    count: Whole = Field(default=1, ge=1, le=20, title="Count", description="How many alike.")
    where: OneLine = text("Where", max_length=60, help="Place it is kept at; routes begin there.")
    plug: OneLine = text("Plug", help="Left empty, that of the part.")
    profile: ProfileName | None = choice(
        "Charge profile",
        default=None,
        help="What its charger is set to; left empty, the battery's own chemistry.",
    )
    start_fraction: Number = quantity(
        "Charge", default=1.0, ge=0, le=1, decimals=2, help="Of a battery, when it is handed out."
    )
    battery: Battery | None = None
    panel: Panel | None = None
    controller: Controller | None = None
    radio: Radio | None = None

    @property
    def slot(self) -> SpareSlot:
        """Which part it is."""
        return next(slot for slot in SPARE_SLOTS if getattr(self, slot) is not None)

    @property
    def part(self) -> Battery | Panel | Controller | Radio:
        """The part itself."""
        part: Battery | Panel | Controller | Radio = getattr(self, self.slot)
        return part

    @model_validator(mode="after")
    def _is_one_part(self) -> Self:
        given = [slot for slot in SPARE_SLOTS if getattr(self, slot) is not None]
        if len(given) != 1:
            words = " and ".join(given) if given else "none"
            raise ValueError(
                f"needs exactly one of the parts {', '.join(SPARE_SLOTS)}; {words} is given"
            )
        return self


class Route(Value):
    """How long the way between two places takes, in both directions."""

    between: Annotated[tuple[OneLine, OneLine], BeforeValidator(listed_up_to(2))] = Field(
        title="Between", description="The two places, as posts and spares name them."
    )
    hours: Number = quantity(
        "Hours", "h", ge=0, le=240, decimals=2, help="With the spare, by whoever brings it."
    )


class Group(Value):
    """A whole group, immutable. Every change makes a new one."""

    format: Literal[1] = Field(default=1, title="Format")
    title: OneLine = text("Title", max_length=TITLE_LIMIT, help="Heads the leader's sheet.")
    notes: Prose = text("Notes", max_length=8000, help="Your own words, kept in the file.")
    day: Day
    bad_sky: Skies = Field(
        default=("rain",),
        title="Bad sky by date",
        description="Sky that the plan is held against besides the planned one, by local date.",
        json_schema_extra={"unit": "", "decimals": 2},
    )
    climate: Climate | None = None
    weather_reach_km: Number = quantity(
        "One weather within", "km", default=150.0, ge=0, le=2000, decimals=0,
        help="Posts that lie nearer to each other than this have one sky. Days of one weather reach"
        " one or two hundred kilometres: common practice, no source.",
    )  # fmt: skip
    posts_needed: Whole = Field(
        default=0,
        ge=0,
        le=POSTS_LIMIT,
        title="Posts needed",
        description="How many posts besides net control the net needs on the air all night.",
    )
    places: Annotated[tuple[Site, ...], BeforeValidator(listed_up_to(PLACES_LIMIT))] = Field(
        default=(),
        max_length=PLACES_LIMIT,
        title="Places",
        description="A post whose place is named here stands there, not where its scenario does.",
    )
    posts: Annotated[tuple[Post, ...], BeforeValidator(listed_up_to(POSTS_LIMIT))] = Field(
        min_length=1, max_length=POSTS_LIMIT, title="Posts"
    )
    plans: Annotated[tuple[RolePlan, ...], BeforeValidator(listed_up_to(PLANS_LIMIT))] = Field(
        default=(), max_length=PLANS_LIMIT, title="Plans by role"
    )
    spares: Annotated[tuple[Spare, ...], BeforeValidator(listed_up_to(SPARES_LIMIT))] = Field(
        default=(), max_length=SPARES_LIMIT, title="Spares"
    )
    routes: Annotated[tuple[Route, ...], BeforeValidator(listed_up_to(ROUTES_LIMIT))] = Field(
        default=(), max_length=ROUTES_LIMIT, title="Routes"
    )

    @model_validator(mode="after")
    def _names_fit(self) -> Self:
        faults = [
            *_twice("posts", "kit", [post.kit for post in self.posts]),
            *_twice("plans", "role", [plan.role for plan in self.plans]),
            *_twice("places", "name", [place.name for place in self.places]),
            *_relays(self.posts),
        ]
        if faults:
            raise ValueError("\n".join(faults))
        return self

    @property
    def roles(self) -> tuple[str, ...]:
        """Roles in the order of the file: those that have a plan, then those of posts alone."""
        return tuple(
            dict.fromkeys([plan.role for plan in self.plans] + [post.role for post in self.posts])
        )


def _twice(where: str, key: str, names: list[str]) -> Iterator[str]:
    first: dict[str, int] = {}
    for index, name in enumerate(names):
        at = first.setdefault(name, index)
        if at != index:
            yield f"{where}.{index}.{key}: is that of {where}.{at} too; each needs its own"


def _relays(posts: tuple[Post, ...]) -> Iterator[str]:
    kits = {post.kit for post in posts}
    for index, post in enumerate(posts):
        if post.relay and post.relay == post.kit:
            yield f"posts.{index}.relay: is the post itself"
        elif post.relay and post.relay not in kits:
            yield f"posts.{index}.relay: is the kit number of no post"
