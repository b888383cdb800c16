"""The carry list: every item with its mass and a box to tick."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import groupby

from app.printing.marks import MM, Piece, beside, box
from app.printing.say import Say
from app.printing.type import paragraph
from model.export.kit_page import Kit
from model.scenario.kinds import KINDS
from model.station.carried_mass import Item

TICK = 8.0 * MM
TICK_GAP = 0.5 * MM
COLUMN_GAP = 3.0 * MM
COLUMNS = 4
TEXT_AT = TICK + 1.4 * MM
# More items than this share one box to a group.
ITEMS_WITH_BOXES = 30
SLOT_WORDS = {kind.slot: kind.words for kind in KINDS} | {"panel": "solar panel"}


@dataclass(frozen=True)
class Entry:
    """Something ticked at once: its name in full and the mass of all of it."""

    name: str
    mass_kg: float


def carry_body(kit: Kit, say: Say, width: float) -> list[Piece]:
    """Return the carry list in rows of up to four, each name in full with one mass."""
    entries, to_make = entries_of(kit.carried), _to_make(kit)
    if to_make:
        entries.append(_still_to_make(to_make))
    # Groups that share a box are long: they stand one below the other.
    count = 1 if len(kit.carried) > ITEMS_WITH_BOXES else min(COLUMNS, max(len(entries), 1))
    column = (width - COLUMN_GAP * (count - 1)) / count
    cells = [_row(entry, say, column) for entry in entries]
    down = -(-len(cells) // count)
    return [
        beside(*((at * (column + COLUMN_GAP), cell) for at, cell in enumerate(cells[row::down])))
        for row in range(down)
    ]


def grouped_body(kit: Kit, say: Say, width: float) -> list[Piece]:
    """Return the carry list with one box for each group, for where there is little room."""
    entries = entries_of(kit.carried, by_group=True)
    to_make = _to_make(kit)
    at = next((n for n, each in enumerate(entries) if each.name.startswith("Leads (")), None)
    if to_make and at is not None:
        words = f"{entries[at].name}; still to make, not weighed: {to_make}"
        entries[at] = Entry(words, entries[at].mass_kg)
    elif to_make:
        entries.append(_still_to_make(to_make))
    return [_row(entry, say, width) for entry in entries]


def _to_make(kit: Kit) -> str:
    """Return the leads that the station needs and nobody entered, with their numbers."""
    return ", ".join(
        f"{line.label} {' '.join(line.name.split())}"
        for line in kit.wiring.lines
        if line.numbers and not line.leads
    )


def _still_to_make(to_make: str) -> Entry:
    return Entry(f"Leads still to make, not weighed: {to_make}", 0.0)


def entries_of(carried: Sequence[Item], *, by_group: bool = False) -> list[Entry]:
    """Return what is ticked: each item, or each group where there are too many items."""
    groups = [(name, list(found)) for name, found in groupby(_sorted(carried), lambda i: i.group)]
    entries = []
    for group, found in groups:
        if by_group or len(carried) > ITEMS_WITH_BOXES:
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


def _row(entry: Entry, say: Say, width: float) -> Piece:
    mass = f"{entry.name}, {say.quantity(entry.mass_kg, 'kg', 2)}" if entry.mass_kg else entry.name
    text = paragraph(mass, width - TEXT_AT)
    height = max(TICK, text.height)
    top = (height - text.height) / 2
    marks = (box(0.0, 0.0, TICK, TICK, "none", 6.0), *text.moved(TEXT_AT, top))
    return Piece(height + TICK_GAP, marks)


def carry_title(kit: Kit, say: Say) -> str:
    """Return the heading of the list: what it comes to."""
    return f"Carry: {kit.load.words}, {say.quantity(kit.load.mass_kg, 'kg', 2)}"
