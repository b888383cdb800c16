"""Who can power whom: the battery of a row on the radio of a column, or why not.

In the field a battery is swapped, two batteries are never joined.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from model.engine.run import hours_within, without_sources
from model.findings.charging import full_sun_a
from model.findings.volts import OverVoltage, over_voltage
from model.group.group import Group, Spare
from model.group.kits import PostKit
from model.scenario.power import AS_BATTERY, Battery
from model.scenario.station import Lead, Station
from model.station.transmit_path import highest_planned_w, way_for
from model.support.figures import amount, apart, entered
from model.support.progress import Search, finish

SWAP_WORDS = "Swap; never join two batteries."
HOURS_MEAN = (
    "Hours are without sun, each battery charged as at the start of the run: one in use gives less."
)
Reason = Literal[
    "no radio", "no battery", "volts", "profile", "plug", "polarity", "fuse", "current", "run"
]
# Runs without sun are looked at for so long, one after the other, until one ends.
ALONE_DAYS = (2, 6, 14)


@dataclass(frozen=True)
class Lender:
    """A battery that could be swapped in: that of a post, or a spare.

    Attributes
    ----------
    name : how sentences call it.
    battery : the battery; None where a drill took it away.
    start_fraction : its charge [1].
    plug : what it is connected by, empty where that is not stated.
    profile : chemistry that a controller has to be set to.
    """

    name: str
    battery: Battery | None
    start_fraction: float
    plug: str
    profile: str


@dataclass(frozen=True)
class Refusal:
    """One reason why a battery cannot power a radio."""

    reason: Reason
    words: str


@dataclass(frozen=True)
class PowerCell:
    """The battery of one row on the radio of one column.

    Attributes
    ----------
    refusals : why it cannot; none where it can.
    notes : what to look at first where it can.
    hours_h : how long it runs the post without sun or charger, from its charge at the start; None
        where it cannot, or where that is more than ``ALONE_DAYS`` [h].
    is_own : it is the post's own battery.
    """

    lender: str
    kit: str
    refusals: tuple[Refusal, ...]
    notes: tuple[str, ...] = ()
    hours_h: float | None = None
    is_own: bool = False

    @property
    def can_power(self) -> bool:
        """Whether the battery powers the radio."""
        return not self.refusals


def lender_of(kit: PostKit) -> Lender:
    """Return the battery of a post as one that could be lent."""
    battery = None if "battery" in kit.lacks else kit.station.battery
    held = kit.station.battery
    return Lender(kit.name, battery, kit.station.start_fraction, held.plug, held.chemistry)


def lender_of_spare(spare: Spare, number: int) -> Lender | None:
    """Return a spare battery as one that could be lent; None where it is another part."""
    if spare.battery is None:
        return None
    return Lender(
        f"spare {number}",
        spare.battery,
        spare.start_fraction,
        spare.plug or spare.battery.plug,
        spare.profile or spare.battery.chemistry,
    )


def lenders(group: Group, kits: tuple[PostKit, ...]) -> tuple[Lender, ...]:
    """Return every battery of the group: those of the posts, then one of each kind of spare."""
    found = [lender_of(kit) for kit in kits]
    number = 1
    for spare in group.spares:
        one = lender_of_spare(spare, number)
        if one is not None:
            found.append(one)
        number += spare.count
    return tuple(found)


def power_matrix(group: Group, kits: tuple[PostKit, ...]) -> tuple[tuple[PowerCell, ...], ...]:
    """Return a row for each battery with a cell for each post; see ``search_power_matrix``."""
    return finish(search_power_matrix(group, kits))


def search_power_matrix(
    group: Group, kits: tuple[PostKit, ...]
) -> Search[tuple[tuple[PowerCell, ...], ...]]:
    """Work out who can power whom.

    Returns
    -------
    Gives the share done, 0..1, and at its end rows of cells, in the order of ``lenders``.
    """
    rows, known = lenders(group, kits), dict[object, float | None]()
    found = []
    for place, lender in enumerate(rows):
        row = []
        for index, kit in enumerate(kits):
            yield (place + index / len(kits)) / len(rows)
            row.append(_cell(lender, kit, known))
        found.append(tuple(row))
    return tuple(found)


def _cell(lender: Lender, kit: PostKit, known: dict[object, float | None]) -> PowerCell:
    is_own = lender.name == kit.name
    refused = tuple(refusals(lender, kit))
    if refused or lender.battery is None:
        return PowerCell(lender.name, kit.post.kit, refused, is_own=is_own)
    alone = alone_on(lender, kit)
    key = (alone.model_copy(update={"name": ""}), kit.plan, kit.trip.weather)
    if key not in known:
        known[key] = hours_within(kit.site, kit.trip, kit.plan, alone, kit.shared, days=ALONE_DAYS)
    hours_h = known[key]
    if hours_h == 0.0:
        refused = (Refusal("run", "the radio does not run on its voltage"),)
        return PowerCell(lender.name, kit.post.kit, refused, is_own=is_own)
    noted = tuple(_notes(lender, lender.battery, kit))
    return PowerCell(lender.name, kit.post.kit, (), noted, hours_h, is_own)


def alone_on(lender: Lender, kit: PostKit) -> Station:
    """Return a post's station on another battery, with neither sun nor charger."""
    return without_sources(kit.station).model_copy(
        update={"battery": lender.battery, "start_fraction": lender.start_fraction}
    )


def refusals(lender: Lender, kit: PostKit) -> Iterator[Refusal]:
    """Yield why a battery cannot power a post's radio, as far as no run is needed."""
    if "radio" in kit.lacks or "antenna" in kit.lacks:
        yield Refusal("no radio", f"{kit.name} has no {_listed_or(kit)}")
        return
    battery = lender.battery
    if battery is None:
        yield Refusal("no battery", f"{lender.name} has no battery")
        return
    yield from _volts(battery, kit)
    yield from _profile(lender, kit)
    station = kit.station
    expected = _first_stated("plug", station)
    if lender.plug and expected and not _same(lender.plug, expected):
        yield Refusal("plug", f"plug: {lender.plug}, not {expected}")
    expected = _first_stated("polarity", station)
    if battery.polarity and expected and not _same(battery.polarity, expected):
        yield Refusal("polarity", f"polarity: {battery.polarity} positive, not {expected}")
    feeding = [lead for lead in station.leads if lead.feeds in ("battery", "radio")]
    if feeding and not any(lead.fuse_a for lead in feeding):
        yield Refusal("fuse", "no fuse between battery and radio")
    yield from _current(battery, kit)


def _listed_or(kit: PostKit) -> str:
    return " or ".join(part for part in ("radio", "antenna") if part in kit.lacks)


def _volts(battery: Battery, kit: PostKit) -> Iterator[Refusal]:
    station = kit.station.model_copy(update={"battery": battery})
    found: OverVoltage | None = over_voltage(station)
    if found is not None:
        reached, limit = apart((found.reached_v, found.limit_v), "V")
        when = "when full" if found.when == "full" else "while charging"
        yield Refusal("volts", f"{reached} {when}, radio limit {limit}")


def _profile(lender: Lender, kit: PostKit) -> Iterator[Refusal]:
    """Compare the chemistry with what the post's controller is set to, where it charges."""
    station = kit.station
    if station.controller is None or station.panel is None:
        return
    profile = station.controller.profile
    if profile != AS_BATTERY and not _same(profile, lender.profile):
        yield Refusal("profile", f"controller set to {profile}, battery is {lender.profile}")


def _current(battery: Battery, kit: PostKit) -> Iterator[Refusal]:
    planned_w = highest_planned_w(kit.station, kit.plan)
    if battery.discharge_limit_a is None or planned_w <= 0:
        return
    way, given_w = way_for(kit.station, planned_w)
    drawn_a, limit_a = way.current_a(given_w), battery.discharge_limit_a * battery.count
    if drawn_a > limit_a:
        drawn, limit = apart((drawn_a, limit_a), "A")
        yield Refusal("current", f"key down draws {drawn}, battery limit {limit}")


def _notes(lender: Lender, battery: Battery, kit: PostKit) -> Iterator[str]:
    station = kit.station
    if not lender.plug or not _first_stated("plug", station):
        yield "plug not stated: look first"
    if not battery.polarity or not _first_stated("polarity", station):
        yield "polarity not stated: check with a meter first"
    expected = _first_stated("fuse_type", station)
    if battery.fuse_type and expected and not _same(battery.fuse_type, expected):
        yield f"its fuses are {battery.fuse_type}, those of the post {expected}"
    controller = station.controller
    if (
        controller is not None
        and station.panel is not None
        and controller.profile == AS_BATTERY
        and station.battery.chemistry != battery.chemistry
    ):
        yield f"set the controller to {lender.profile} first"
    if battery.charge_limit_a is not None:
        given_a = full_sun_a(station.model_copy(update={"battery": battery}))
        taken_a = battery.charge_limit_a * battery.count
        if given_a > taken_a:
            given, taken = apart((given_a, taken_a), "A")
            yield f"in full sun the panel charges with {given}, this battery may take {taken}"
    fuses = [lead.fuse_a for lead in station.leads if lead.fuse_a and lead.feeds == "battery"]
    limit_a = (battery.discharge_limit_a or 0.0) * battery.count
    if fuses and limit_a and max(fuses) > limit_a:
        yield (
            f"the fuse of {entered(max(fuses), 'A')} is above the {amount(limit_a, 'A')} of this"
            " battery"
        )


def _first_stated(field: Literal["plug", "polarity", "fuse_type"], station: Station) -> str:
    """Return what meets the battery: the battery lead, the radio lead, the radio, its own."""
    of_leads: list[Lead] = [
        lead for feeds in ("battery", "radio") for lead in station.leads if lead.feeds == feeds
    ]
    stated = (getattr(part, field) for part in (*of_leads, station.radio, station.battery))
    return next((words for words in stated if words), "")


def _same(one: str, other: str) -> bool:
    """Return whether two plain words mean one thing, however spaced or capitalised."""
    return one.casefold().split() == other.casefold().split()
