"""The front of a kit page: what is needed to set the station up and to keep it on the air."""

from __future__ import annotations

from dataclasses import dataclass
from functools import partial

from app.printing.block_diagram import diagram
from app.printing.day_part import charge_body, charge_lines, day_body, day_title, fits_beside
from app.printing.flow import fits, flowed
from app.printing.front_head import dangers, front_head
from app.printing.low_part import low_body, low_title
from app.printing.marks import BODY, FRONT, FRONT_HEADING, MM, Piece, beside, stacked
from app.printing.say import Say
from app.printing.section import SECTION_GAP, Section, blocks_of
from app.printing.sides import on_sides
from app.printing.steps_part import pack_up_body, remedies_body, set_up_body, sign_body
from model.export.kit_page import Kit

COLUMN_GAP = 4.0 * MM


@dataclass(frozen=True)
class _Parts:
    """The sections in two columns of the front."""

    set_up: Section
    day: Section
    counter: tuple[Section, ...]
    wont: Section
    packing: tuple[Section, ...]

    def in_order(self) -> list[Section]:
        """Return the sections as they are read."""
        return [self.set_up, self.day, *self.counter, self.wont, *self.packing]

    def arrangements(self) -> list[tuple[list[Section], list[Section]]]:
        """Return what stands left and right: set up on the left, the day on the right."""
        day = [self.day, *self.counter]
        pack, sign = self.packing[:1], self.packing[1:]
        return [
            ([self.set_up, self.wont, *pack], [*day, *sign]),
            ([self.set_up, *pack, *sign], [*day, self.wont]),
            ([self.set_up, self.wont], [*day, *pack, *sign]),
            ([self.set_up, *self.counter, *sign], [self.day, self.wont, *pack]),
        ]


def front_sides(
    kit: Kit, say: Say, width: float, room: float
) -> tuple[list[Piece], tuple[Section, ...]]:
    """Return the sides of the front, and the sections that stand on the back for lack of room.

    Packing up goes there first, or the counter's table where that is enough, then both.
    """
    top = _top(kit, say, width)
    column = (width - COLUMN_GAP) / 2
    on_front, on_back = _counter(kit, say, column)
    packing = _packing(kit)
    set_up = Section("Set up", partial(set_up_body, kit, say), FRONT_HEADING)
    day = Section(day_title(kit, say), partial(day_body, kit), FRONT_HEADING)
    wont = Section("If it won't", partial(remedies_body, kit, say), FRONT_HEADING)
    for counter, packed in ((on_front, True), (on_front, False), ((), True), ((), False)):
        parts = _Parts(set_up, day, counter, wont, packing[0] if packed else ())
        side = _one_side(top, parts, column, room)
        if side is not None:
            left_over = () if counter else on_back
            return [side], (*left_over, *(() if packed else packing[1]))
    blocks = blocks_of([*parts.in_order(), *packing[0]], column)
    return on_sides(top, blocks, 2, column + COLUMN_GAP, room), on_back


def _top(kit: Kit, say: Say, width: float) -> list[Piece]:
    found = [front_head(kit, say, width), dangers(kit, say, width)]
    results = kit.results
    if results is not None:
        low = Section(low_title(results, say), partial(low_body, results, say), FRONT_HEADING)
        found.append(low.whole(width))
    how = Section("How it goes together", partial(_diagram, kit, say), FRONT_HEADING)
    return [*found, how.whole(width)]


def _diagram(kit: Kit, say: Say, width: float) -> list[Piece]:
    return [diagram(kit.wiring, say, width)]


Sections = tuple[Section, ...]


def _packing(kit: Kit) -> tuple[Sections, Sections]:
    """Return packing up and signing as they stand on the front, and on the back."""
    on_front = (
        Section("Pack up", partial(pack_up_body, kit, FRONT), FRONT_HEADING),
        Section("", partial(sign_body, FRONT), FRONT_HEADING),
    )
    return on_front, (Section("Pack up", partial(_pack_and_sign, kit)),)


def _pack_and_sign(kit: Kit, width: float) -> list[Piece]:
    # In one piece: a line to sign on means nothing in another column.
    return [stacked(*pack_up_body(kit, BODY, width), *sign_body(BODY, width))]


def _counter(kit: Kit, say: Say, column: float) -> tuple[Sections, Sections]:
    """Return the counter's table as it stands on the front, and on the back."""
    if kit.results is None:
        return (), ()
    on_back = (Section("The counter", partial(charge_lines, kit.results, say)),)
    if not fits_beside(kit.results, say, column):
        return (), on_back
    on_front = Section("The counter", partial(charge_body, kit.results, say), FRONT_HEADING)
    return (on_front,), on_back


def _one_side(top: list[Piece], parts: _Parts, column: float, room: float) -> Piece | None:
    """Return the front on one side, None where it has no room."""
    head = stacked(*top, gap=SECTION_GAP)
    free = room - head.height - SECTION_GAP
    far = column + COLUMN_GAP
    for arrangement in parts.arrangements():
        if max(_height(sections, column) for sections in arrangement) <= free:
            left, right = (
                stacked(*(each.whole(column) for each in sections), gap=SECTION_GAP)
                for sections in arrangement
            )
            return stacked(head, beside((0.0, left), (far, right)), gap=SECTION_GAP)
    blocks = blocks_of(parts.in_order(), column)
    if not fits(blocks, 2, free):
        return None
    whole = flowed(blocks, 2, far, free)
    return stacked(head, whole, gap=SECTION_GAP) if whole is not None else None


def _height(sections: list[Section], column: float) -> float:
    heights = [each.height(column) for each in sections]
    return sum(heights) + SECTION_GAP * (len(heights) - 1)
