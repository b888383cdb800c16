"""What is carried: mass, items, leads and cost of a station."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from model.scenario.kinds import KINDS, kind_of
from model.scenario.scenario import Scenario
from model.scenario.station import Extra, Part, Station


@dataclass(frozen=True)
class CarriedMass:
    """Totals of what one station carries.

    Attributes
    ----------
    mass_kg : of all items [kg].
    boxes, cables : items that are no leads, and leads.
    cost : of all items [own currency].
    unweighed : items without a mass: none has been entered.
    """

    mass_kg: float
    boxes: int
    cables: int
    cost: float
    unweighed: int

    @property
    def unweighed_words(self) -> str:
        """What the sum of masses leaves out, such as "2 not weighed"; empty where nothing."""
        return f"{self.unweighed} not weighed" if self.unweighed else ""

    @property
    def words(self) -> str:
        """What is counted, such as "9 items, 4 leads"."""
        items = "1 item" if self.boxes == 1 else f"{self.boxes} items"
        leads = "1 lead" if self.cables == 1 else f"{self.cables} leads"
        return f"{items}, {leads}"


@dataclass(frozen=True)
class Item:
    """One line of the carry list.

    Attributes
    ----------
    path : the part's place below the station.
    group : the heading it stands under.
    part : what it is.
    quantity : how many alike are carried.
    mass_kg, cost : of all of them [kg], [own currency].
    """

    path: str
    group: str
    part: Part
    quantity: int
    mass_kg: float
    cost: float


def shared_extras(scenario: Scenario, index: int) -> tuple[Extra, ...]:
    """Return the extras that this station carries because another's are shared by all."""
    return tuple(
        extra
        for other, station in enumerate(scenario.stations)
        if other != index
        for extra in station.extras
        if extra.shared_by_all
    )


def items(station: Station, shared: tuple[Extra, ...] = ()) -> Iterator[Item]:
    """Yield everything a station carries, in the order of its parts; shared extras last."""
    for kind in KINDS:
        for path, part in kind.held_by(station):
            yield _item(path, getattr(part, "group", "") or kind.group, part)
    for extra in shared:
        yield _item("", extra.group or kind_of(extra).group, extra)


def carried_total(station: Station, shared: tuple[Extra, ...] = ()) -> CarriedMass:
    """Return what a station carries in all."""
    carried = list(items(station, shared))
    cables = len(station.leads)
    return CarriedMass(
        mass_kg=sum(item.mass_kg for item in carried),
        boxes=sum(item.quantity for item in carried) - cables,
        cables=cables,
        cost=sum(item.cost for item in carried),
        unweighed=sum(item.mass_kg == 0 for item in carried),
    )


def _item(path: str, group: str, part: Part) -> Item:
    count = int(getattr(part, "count", 1))
    return Item(path, group, part, count, part.mass_kg * count, part.cost * count)
