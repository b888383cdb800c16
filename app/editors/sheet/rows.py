"""The rows of the sheet, made from what the model says of each kind of part and of its fields."""

from __future__ import annotations

from collections.abc import Container, Iterator
from dataclasses import dataclass
from functools import lru_cache
from typing import Any, Literal

from model.editing.field_facts import FieldFacts, field_at, known_keys
from model.scenario.kinds import KIND_OF_SLOT, KINDS, PartKind
from model.scenario.part_cautions import part_cautions
from model.scenario.scenario import Scenario
from model.scenario.station import Battery, Lead, Panel, Station

RowKind = Literal["name", "slot", "list", "entry", "field", "more", "add", "note", "caution"]

LAST = ("mass_kg", "cost")
HIDDEN = ("sources",)
# What follows the slots: both are of the whole station.
CHARGE = ("start_fraction", "reserve_fraction")
# The settings of a part that stand in its own row, and what they are called there.
SETTINGS: dict[str, dict[str, str]] = {
    "amplifier": {
        "amplifier.out_of_session": "outside nets", "amplifier.in_session": "in nets",
    },
}  # fmt: skip
# So many cautions are seen without a click; of more, the first.
SEEN_CAUTIONS = 2
NOTE, MORE, ADD, CAUTION = " note", " more", " add", " caution"


@dataclass(frozen=True)
class Row:
    """One row: where it leads to below a station, and what stands before it.

    ``is_open`` is None where nothing opens.
    """

    key: str
    kind: RowKind
    label: str
    depth: int = 0
    is_open: bool | None = None

    @property
    def is_text(self) -> bool:
        """Whether sentences stand across the whole row."""
        return self.kind in ("note", "caution")

    @property
    def of(self) -> str:
        """The key of what a note, a caution, the rest or a new entry belongs to."""
        return self.key.partition(" ")[0]


@lru_cache(maxsize=4096)
def facts_of(key: str) -> FieldFacts:
    """Return the facts of a field below a station, the same for every station."""
    return field_at(f"stations.0.{key}")


@lru_cache(maxsize=256)
def fields_of(slot: str) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Return the fields of a part that stand first, and the others; mass and cost come last."""
    kind = KIND_OF_SLOT[slot]
    names = [name for name in known_keys(_part_path(kind)) if name not in HIDDEN]
    first = ("name", *(name for name in kind.first if name in names))
    rest = [name for name in names if name not in (*first, *LAST)]
    return first, (*rest, *(name for name in LAST if name in names and name not in first))


def _part_path(kind: PartKind) -> str:
    return f"stations.0.{kind.slot}.0" if kind.is_list else f"stations.0.{kind.slot}"


def headline_key(row: Row, slot: str) -> str:
    """Return the key of the field that a closed part shows."""
    return f"{row.key}.{KIND_OF_SLOT[slot].first[0]}"


def slot_of(key: str) -> str:
    """Return the slot that a key lies in; nothing for what is of the whole station."""
    slot = key.partition(" ")[0].partition(".")[0]
    return slot if slot in KIND_OF_SLOT else ""


def part_of(station: Station, key: str) -> Any:
    """Return the part of a station that a key leads to or lies in, or None."""
    slot, _, rest = key.partition(" ")[0].partition(".")
    held = getattr(station, slot, None) if slot in KIND_OF_SLOT else None
    if isinstance(held, tuple):
        place = rest.partition(".")[0]
        return held[int(place)] if place and int(place) < len(held) else None
    return held


def part_key(key: str) -> str:
    """Return the key of the part that a key lies in, or of the list."""
    slot, _, rest = key.partition(" ")[0].partition(".")
    place = rest.partition(".")[0]
    return f"{slot}.{place}" if place.isdigit() else slot


def rows_of(
    scenario: Scenario, opened: Container[str], noted: Container[str], *, us: bool
) -> list[Row]:
    """Return the rows in sight.

    Parameters
    ----------
    opened : keys of the rows that are open.
    noted : keys of the fields and parts beside which something is said.
    """
    return list(_rows(scenario, opened, noted, us=us))


def _rows(
    scenario: Scenario, opened: Container[str], noted: Container[str], *, us: bool
) -> Iterator[Row]:
    yield from _with_note(Row("name", "name", "Name"), noted)
    for kind in KINDS:
        label = f"{kind.label}s" if kind.is_list else kind.label
        is_open = kind.slot in opened
        yield Row(kind.slot, "list" if kind.is_list else "slot", label, 0, is_open)
        if is_open:
            for key in (kind.slot, *SETTINGS.get(kind.slot, ())):
                if key in noted:
                    yield Row(key + NOTE, "note", "", 1)
            if kind.is_list:
                yield from _entries(scenario, kind, opened, noted, us=us)
            else:
                yield from _fields(scenario, kind.slot, 1, opened, noted, us=us)
            yield from _cautions(scenario, kind.slot, opened)
    for name in CHARGE:
        yield from _with_note(Row(name, "field", facts_of(name).label), noted)


def _cautions(scenario: Scenario, slot: str, opened: Container[str]) -> Iterator[Row]:
    """Yield the row of the cautions; many of them open."""
    count, key = len(cautions_of(scenario, slot)), slot + CAUTION
    if count > SEEN_CAUTIONS:
        yield Row(key, "caution", f"{count} cautions", 1, key in opened)
    elif count:
        yield Row(key, "caution", "", 1)


def _with_note(row: Row, noted: Container[str]) -> Iterator[Row]:
    yield row
    if row.key in noted:
        yield Row(row.key + NOTE, "note", "", row.depth)


def _entries(
    scenario: Scenario, kind: PartKind, opened: Container[str], noted: Container[str], *, us: bool
) -> Iterator[Row]:
    count = max(len(getattr(station, kind.slot)) for station in scenario.stations)
    for place in range(count):
        key = f"{kind.slot}.{place}"
        is_open = key in opened
        yield from _with_note(Row(key, "entry", f"{kind.label} {place + 1}", 1, is_open), noted)
        if is_open:
            yield from _fields(scenario, key, 2, opened, noted, us=us)
    yield Row(kind.slot + ADD, "add", f"Add {_article(kind.words)} {kind.words}", 1)


def _article(words: str) -> str:
    return "an" if words[0] in "aeiou" else "a"


def _fields(
    scenario: Scenario,
    key: str,
    depth: int,
    opened: Container[str],
    noted: Container[str],
    *,
    us: bool,
) -> Iterator[Row]:
    parts = [part for station in scenario.stations if (part := part_of(station, key)) is not None]
    if not parts:
        return
    idle = set.intersection(*(beside_the_point(part, us=us) for part in parts))
    first, rest = fields_of(slot_of(key))
    if us and "awg" in first:
        first = tuple({"size_mm2": "awg", "awg": "size_mm2"}.get(name, name) for name in first)
    for name in first:
        if name not in idle and f"{key}.{name}" not in SETTINGS.get(key, ()):
            yield from _with_note(_field(key, name, depth), noted)
    rest = tuple(name for name in rest if name not in idle)
    is_open = key + MORE in opened
    if not is_open:
        # What something is said of stays in sight.
        for name in rest:
            if f"{key}.{name}" in noted:
                yield from _with_note(_field(key, name, depth), noted)
        rest = tuple(name for name in rest if f"{key}.{name}" not in noted)
    yield Row(key + MORE, "more", f"{len(rest)} more", depth, is_open)
    if is_open:
        for name in rest:
            yield from _with_note(_field(key, name, depth), noted)


def _field(key: str, name: str, depth: int) -> Row:
    return Row(f"{key}.{name}", "field", facts_of(f"{key}.{name}").label, depth)


def cautions_of(scenario: Scenario, slot: str) -> tuple[str, ...]:
    """Return the cautions beside the parts of a slot, each once."""
    held = [part for station in scenario.stations if (part := getattr(station, slot)) is not None]
    if KIND_OF_SLOT[slot].is_list:
        kinds = [("", 1)]
    else:
        kinds = [(getattr(part, "chemistry", ""), getattr(part, "count", 1)) for part in held]
    said = [each.text for kind in kinds for each in part_cautions(slot, *kind)]
    return tuple(dict.fromkeys(said))


def beside_the_point(part: Any, *, us: bool) -> set[str]:
    """Return the fields that change nothing as the part is now; they come back with the choice."""
    if isinstance(part, Battery):
        return set() if part.kept == "warm" else {"warm_c"}
    if isinstance(part, Panel):
        aimed = {"tilt_deg", "azimuth_deg"}
        return {
            "flat": {*aimed, "re_aim_hours"}, "fixed": {"re_aim_hours"}, "re-aimed": aimed,
        }[part.mount]  # fmt: skip
    if isinstance(part, Lead):
        other = "size_mm2" if us else "awg"
        return {other} if getattr(part, other) is None else set()
    return set()


def openings(key: str) -> list[str]:
    """Return the keys to be open for a field or a part to be in sight."""
    slot = slot_of(key)
    if not slot or key == slot or key in SETTINGS.get(slot, ()):
        return []
    keys = [slot]
    part = part_key(key)
    name = key.removeprefix(f"{part}.").partition(".")[0] if key != part else ""
    if name and part != slot:
        keys.append(part)
    if name and name in fields_of(slot)[1]:
        keys.append(part + MORE)
    return keys
