"""The carry list: every item with its mass and a box to tick."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import groupby

from app.number_text import fixed
from app.printing.flow import Block, flowed
from app.printing.marks import MM, NOTHING, Mark, Piece, box, stacked
from app.printing.say import pounds
from app.printing.type import line_height, line_of, paragraph, width_of
from model.export.kit_page import Kit
from model.scenario.kinds import KINDS
from model.station.carried_mass import Item
from model.support.figures import NBSP

TICK = 8.0 * MM
TICK_GAP = 0.5 * MM
COLUMN_GAP = 4.0 * MM
TEXT_AT = TICK + 1.4 * MM
# More items than this share one box to a group.
ITEMS_WITH_BOXES = 30
SLOT_WORDS = {kind.slot: kind.words for kind in KINDS} | {"panel": "solar panel"}


@dataclass(frozen=True)
class Entry:
    """Something ticked at once: its name in full and the mass of all of it."""

    name: str
    mass_kg: float


def carry_body(kit: Kit, width: float, *, name_lines: int | None = None) -> list[Piece]:
    """Return the carry list in up to three columns; names in full unless lines are limited."""
    entries = entries_of(kit.carried)
    # Groups that share a box are long: they stand one below the other.
    count = 1 if len(kit.carried) > ITEMS_WITH_BOXES else min(3, len(entries))
    column = (width - COLUMN_GAP * (count - 1)) / count
    rows = [Block(_row(entry, column, name_lines)) for entry in entries]
    listed = flowed(rows, count, column + COLUMN_GAP) or NOTHING
    return [stacked(_by_group(kit, width), listed, gap=0.6 * MM)]


def entries_of(carried: Sequence[Item]) -> list[Entry]:
    """Return what is ticked: each item, or each group where there are too many items."""
    groups = [(name, list(found)) for name, found in groupby(_sorted(carried), lambda i: i.group)]
    entries = []
    for group, found in groups:
        if len(carried) > ITEMS_WITH_BOXES:
            names = ", ".join(_name(item) for item in found)
            mass_kg = sum(item.mass_kg for item in found)
            entries.append(Entry(f"{group} ({len(found)}): {names}", mass_kg))
            continue
        entries += [
            Entry(_under(group, _name(item)) if number == 0 else _name(item), item.mass_kg)
            for number, item in enumerate(found)
        ]
    return entries


def _sorted(carried: Sequence[Item]) -> list[Item]:
    order = {name: number for number, name in enumerate(dict.fromkeys(i.group for i in carried))}
    return sorted(carried, key=lambda item: order[item.group])


def _name(item: Item) -> str:
    slot = item.path.split(".")[0]
    name = _kind_first(SLOT_WORDS.get(slot, "item"), " ".join(item.part.name.split()))
    return f"{item.quantity} × {name}" if item.quantity > 1 else name


def _kind_first(kind: str, name: str) -> str:
    """Return what an item is, then its name; a name that says so already stands alone."""
    if not name or kind in ("extra", "item"):
        return name or kind
    return name if kind.split()[-1] in name.lower() else f"{kind} ({name})"


def _under(group: str, name: str) -> str:
    """Return the first name of a group with the group before it, said once where it is the kind."""
    begin = f"{group.lower()} ("
    return f"{group} ({name.removeprefix(begin)}" if name.startswith(begin) else f"{group}: {name}"


def _row(entry: Entry, width: float, name_lines: int | None) -> Piece:
    words = paragraph(entry.name, width - TEXT_AT, most=name_lines)
    figures = _figures(entry.mass_kg, width - TEXT_AT)
    text = stacked(words, figures)
    height = max(TICK, text.height)
    top = (height - text.height) / 2
    marks = (box(0.0, 0.0, TICK, TICK, "none", 6.0), *text.moved(TEXT_AT, top))
    return Piece(height + TICK_GAP, marks)


def _figures(mass_kg: float, width: float) -> Piece:
    """Return g, kg and lb, each ending at the same place in every row."""
    step = min(width / 3, 17.0 * MM)
    parts = (f"{mass_kg * 1000:.0f} g", f"{fixed(mass_kg, 2)}{NBSP}kg", f"{pounds(mass_kg)} lb")
    marks: list[Mark] = []
    for number, text in enumerate(parts):
        marks += line_of(text, right=max(step * (number + 1), width_of(text))).marks
    return Piece(line_height(), tuple(marks))


def carry_title(kit: Kit) -> str:
    """Return the heading of the list: what it comes to."""
    load = kit.load
    mass = f"{fixed(load.mass_kg, 2)}{NBSP}kg = {pounds(load.mass_kg)} lb"
    return f"Carry list: {load.words}, {mass}"


def _by_group(kit: Kit, width: float) -> Piece:
    by_group: dict[str, float] = {}
    for item in _sorted(kit.carried):
        by_group[item.group] = by_group.get(item.group, 0.0) + item.mass_kg
    groups = ", ".join(f"{name} {fixed(mass_kg, 2)}{NBSP}kg" for name, mass_kg in by_group.items())
    return paragraph(groups, width, most=2)
