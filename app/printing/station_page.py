"""One station on one side of paper: what fits stays, in a fixed order of weight."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial
from itertools import product

from app.printing.carry_part import carry_body, carry_title
from app.printing.caution_texts import cautions_body
from app.printing.check_part import readings_body, sign_body, weak_body
from app.printing.energy_part import budget_body, sun_body
from app.printing.flow import Block, fits, flowed
from app.printing.head import head
from app.printing.marks import MM, Page, Piece, beside, stacked
from app.printing.paper import Paper
from app.printing.plan_part import plan_body, plot_body
from app.printing.say import Say
from app.printing.section import SECTION_GAP, Section
from app.printing.type import line_height, line_of, shortened
from app.printing.verdict_part import ladder_body, verdict_body
from app.printing.wiring_part import connect_body, wiring_body
from model.export.kit_page import Kit

COLUMNS = 3
LEAST_PARTS = 3
COLUMN_GAP = 4.0 * MM
# How many lines a name on the carry list may take, from all to one, as room runs out.
NAME_LINES: tuple[int | None, ...] = (None, 40, 25, 15, 8, 5, 3, 2, 1)


class PageError(Exception):
    """A document that could not be made; says why in one line."""


def station_page(
    kit: Kit, say: Say, paper: Paper, footer: str, *, second_side: bool
) -> tuple[Page, list[Section]]:
    """Return the page of one station, and what of it found no room.

    What does not fit drops from the end of the list.

    Cautions, connecting order, wiring and fuses never drop. With a second side for packing the
    carry list stands there alone.
    """
    room = paper.inner_height - line_height() - 0.5 * MM
    for names in NAME_LINES:
        composed = _composed(kit, say, paper.inner_width, room, names, second_side=second_side)
        if composed is not None:
            break
    else:
        raise PageError(f"{kit.name}: the page has no room for what must stand on it")
    body, dropped = composed
    foot = line_of(shortened(_footer(footer, dropped), paper.inner_width))
    marks = (
        *body.moved(paper.margin, paper.margin),
        *foot.moved(paper.margin, paper.height - paper.margin - foot.height),
    )
    return Page(paper.width, paper.height, kit.name, marks), dropped


def sections_of(kit: Kit, say: Say) -> list[Section]:
    """Return what stands below verdict, ladder and carry list, in order of weight."""
    results, station = kit.results, kit.station
    found = []
    if results is not None:
        found += [
            Section(4, "Power budget of 24 hours", partial(budget_body, results, say)),
            Section(5, "Sun", partial(sun_body, results, say)),
        ]
    found.append(
        Section(6, "Plan: each day, local time", partial(plan_body, kit.scenario, station))
    )
    if results is not None:
        found.append(Section(7, "State of charge", partial(plot_body, results, say)))
    found += [
        Section(8, "Wiring and fuses", partial(wiring_body, kit, say), kept=True),
        Section(9, "Connect in this order", partial(connect_body, station), kept=True),
    ]
    if results is not None:
        found.append(
            Section(10, "What the meter should read", partial(readings_body, kit, results, say))
        )
    found.append(Section(11, "Cautions", partial(cautions_body, kit, say), kept=True))
    if results is not None:
        found.append(Section(12, "If one thing fails", partial(weak_body, results, say)))
    found.append(Section(13, "Packed and checked", partial(sign_body, kit)))
    return found


def _composed(
    kit: Kit, say: Say, width: float, room: float, names: int | None, *, second_side: bool
) -> tuple[Piece, list[Section]] | None:
    """Return the whole page and what it has no room for, or None where the kept do not fit."""
    upper = [head(kit, say, width), _first_row(kit, say, width)]
    if not second_side:
        carry = Section(3, carry_title(kit), partial(_carry, kit, names))
        upper.append(carry.whole(width))
    top = stacked(*upper, gap=SECTION_GAP)
    column = (width - COLUMN_GAP * (COLUMNS - 1)) / COLUMNS
    laid = [(section, section.blocks(column)) for section in sections_of(kit, say)]
    free = room - top.height - SECTION_GAP
    left_over: list[Section] = []
    while True:
        columns = _columns([blocks for _, blocks in laid], column, free)
        if columns is not None:
            return stacked(top, columns, gap=SECTION_GAP), left_over
        at = next((at for at in reversed(range(len(laid))) if not laid[at][0].kept), None)
        if at is None:
            return None
        section, blocks = laid.pop(at)
        left_over.insert(0, section)
        # Of the last to go as much stays as there is room for, if that is more than a beginning.
        for kept in range(len(blocks) - 1, LEAST_PARTS - 1, -1):
            tried = [*laid[:at], (section, blocks[:kept]), *laid[at:]]
            columns = _columns([each for _, each in tried], column, free)
            if columns is not None:
                return stacked(top, columns, gap=SECTION_GAP), left_over


def _columns(sections: Sequence[Sequence[Block]], column: float, room: float) -> Piece | None:
    """Return sections in three columns, in order or, where only that fits, with one out of order.

    Their numbers still tell the order of reading.
    """
    places = range(len(sections))
    if sum(block.piece.height for section in sections for block in section) > COLUMNS * room:
        return None
    moves = sorted(product(places, places), key=lambda move: abs(move[0] - move[1]))
    for taken, put in moves[len(sections) - 1 :]:
        order = [number for number in places if number != taken]
        order.insert(put, taken)
        blocks = [block for number in order for block in sections[number]]
        if fits(blocks, COLUMNS, room):
            return flowed(blocks, COLUMNS, column + COLUMN_GAP, room)
    return None


def _carry(kit: Kit, names: int | None, width: float) -> list[Piece]:
    return carry_body(kit, width, name_lines=names)


def _first_row(kit: Kit, say: Say, width: float) -> Piece:
    if kit.results is None:
        return Section(1, "Verdict", partial(verdict_body, kit, say)).whole(width)
    left = (width - COLUMN_GAP) * 0.49
    right = width - COLUMN_GAP - left
    verdict = Section(1, "Verdict: how long it lasts", partial(verdict_body, kit, say))
    ladder = Section(2, "Battery low: switch off first", partial(ladder_body, kit.results, say))
    return beside((0.0, verdict.whole(left)), (left + COLUMN_GAP, ladder.whole(right)))


def _footer(footer: str, dropped: Sequence[Section]) -> str:
    """Return the last line, which also names the sections there was no room for."""
    if not dropped:
        return footer
    names = ", ".join(f"{section.number} {section.title.lower()}" for section in dropped)
    mark = footer.rpartition(" · ")[2]
    return f"Does not fit in full: {names}; print the packing side · {mark}"
