"""One station on one side of paper: what fits stays, in a fixed order of weight."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial

from app.page.carry_part import carry_body
from app.page.cautions import cautions_body
from app.page.check_part import readings_body, sign_body, weak_body
from app.page.energy_part import alone_body, budget_body, sun_body
from app.page.head import head
from app.page.marks import MM, Page, Piece, beside, stacked
from app.page.packing import placed
from app.page.paper import Paper
from app.page.plan_part import plan_body, plot_body
from app.page.say import Say
from app.page.section import Section
from app.page.type import line_of, paragraph, shortened
from app.page.verdict_part import ladder_body, verdict_body
from app.page.wiring_part import connect_body, wiring_body
from model.kit import Kit

COLUMNS = 3
COLUMN_GAP = 4.0 * MM
SECTION_GAP = 1.5 * MM
# How many lines a name on the carry list may take, from all to one, as room runs out.
NAME_LINES: tuple[int | None, ...] = (None, 3, 2, 1)


def station_page(kit: Kit, say: Say, paper: Paper, footer: str, *, second_side: bool) -> Page:
    """Return the page of one station; what does not fit drops from the end of the list.

    Cautions, connecting order, wiring and fuses never drop. With a second side for packing the
    carry list stands there alone.
    """
    foot = line_of(shortened(footer, paper.inner_width))
    room = paper.inner_height - foot.height - MM
    for names in NAME_LINES:
        body = _composed(kit, say, paper.inner_width, room, names, second_side=second_side)
        if body is not None:
            break
    else:
        raise ValueError(f"{kit.name}: the page has no room for what must stand on it")
    marks = (
        *body.moved(paper.margin, paper.margin),
        *foot.moved(paper.margin, paper.height - paper.margin - foot.height),
    )
    return Page(paper.width, paper.height, kit.name, marks)


def sections_of(kit: Kit, say: Say) -> list[Section]:
    """Return what stands below verdict, ladder and carry list, in order of weight."""
    results, station = kit.results, kit.station
    found = []
    if results is not None:
        found += [
            Section(4, "Power budget of 24 hours",
                    partial(budget_body, results, say)),
            Section(5, "Battery alone, from full", partial(alone_body, kit, results, say)),
            Section(6, "Sun", partial(sun_body, results, say)),
        ]
    found.append(
        Section(7, "Plan: each day, local time", partial(plan_body, kit.scenario, station))
    )
    if results is not None:
        found.append(Section(8, "State of charge", partial(plot_body, results, say)))
    found += [
        Section(9, "Wiring and fuses", partial(wiring_body, kit, say), kept=True),
        Section(10, "Connect in this order", partial(connect_body, station), kept=True),
    ]
    if results is not None:
        found.append(
            Section(11, "What the meter should read", partial(readings_body, kit, results, say))
        )
    found.append(Section(12, "Cautions", partial(cautions_body, kit, say), kept=True))
    if results is not None:
        found.append(Section(13, "If one thing fails", partial(weak_body, results, say)))
    found.append(Section(14, "Packed and checked", partial(sign_body, kit)))
    return found


def _composed(
    kit: Kit, say: Say, width: float, room: float, names: int | None, *, second_side: bool
) -> Piece | None:
    """Return the whole page with as many sections as fit, or None where the kept ones do not."""
    upper = [head(kit, say, width), _first_row(kit, say, width)]
    if not second_side:
        carry = Section(3, "Carry list", partial(_carry, kit, names))
        upper.append(carry.laid(width))
    top = stacked(*upper, gap=SECTION_GAP)
    column = (width - COLUMN_GAP * (COLUMNS - 1)) / COLUMNS
    laid = [(section, section.laid(column)) for section in sections_of(kit, say)]
    free = room - top.height - SECTION_GAP
    dropped: list[Section] = []
    while True:
        notes = _left_out(dropped, column)
        columns = in_columns([piece for _, piece in laid] + notes, column, free)
        if columns is not None:
            return stacked(top, columns, gap=SECTION_GAP)
        last = next((pair for pair in reversed(laid) if not pair[0].kept), None)
        if last is None:
            return None
        laid.remove(last)
        dropped.insert(0, last[0])


def _carry(kit: Kit, names: int | None, width: float) -> Piece:
    return carry_body(kit, width, name_lines=names)


def _first_row(kit: Kit, say: Say, width: float) -> Piece:
    if kit.results is None:
        return Section(1, "Verdict", partial(verdict_body, kit, say)).laid(width)
    left = (width - COLUMN_GAP) * 0.52
    right = width - COLUMN_GAP - left
    verdict = Section(1, "Verdict: how long it lasts", partial(verdict_body, kit, say))
    ladder = Section(2, "Battery low: switch off first", partial(ladder_body, kit.results, say))
    return beside((0.0, verdict.laid(left)), (left + COLUMN_GAP, ladder.laid(right)))


def _left_out(dropped: Sequence[Section], width: float) -> list[Piece]:
    """Return one line that names the sections there was no room for."""
    if not dropped:
        return []
    names = ", ".join(str(section.number) for section in dropped)
    text = f"No room here for section {names}: see the packing side."
    return [paragraph(text, width)]


def in_columns(pieces: Sequence[Piece], column: float, room: float) -> Piece | None:
    """Return pieces in three columns no higher than the room, or None where they do not fit."""
    placing = placed([piece.height for piece in pieces], COLUMNS, room, SECTION_GAP)
    if placing is None:
        return None
    return beside(
        *(
            (
                number * (column + COLUMN_GAP),
                stacked(
                    *(piece for piece, at in zip(pieces, placing, strict=True) if at == number),
                    gap=SECTION_GAP,
                ),
            )
            for number in range(COLUMNS)
        )
    )
