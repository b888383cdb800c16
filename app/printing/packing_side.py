"""The second side: the carry list in full, and what the first side has no room for."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial

from app.printing.carry_part import carry_body, carry_title
from app.printing.flow import flowed
from app.printing.head import head
from app.printing.marks import MM, Mark, Page, Piece, rule, stacked
from app.printing.paper import Paper
from app.printing.say import Say
from app.printing.section import SECTION_GAP, Section
from app.printing.station_page import COLUMN_GAP, COLUMNS, NAME_LINES, PageError
from app.printing.type import line_height, line_of, shortened, width_of
from model.export.kit_page import Kit

WRITING = 7.0 * MM
AFTER = ("Ah used in all", "Wh from the panel", "First to fail, when", "Not used", "Missed")


def packing_side(
    kit: Kit, say: Say, paper: Paper, footer: str, left_over: Sequence[Section]
) -> Page:
    """Return the side that lies open while packing; ``left_over`` are sections of the first."""
    width = paper.inner_width
    room = paper.inner_height - line_height() - 0.5 * MM
    column = (width - COLUMN_GAP * (COLUMNS - 1)) / COLUMNS
    for names in NAME_LINES:
        carry = Section(3, carry_title(kit), partial(carry_body, kit, name_lines=names))
        top = stacked(head(kit, say, width), carry.whole(width), gap=SECTION_GAP)
        below = [*left_over, Section(14, "After the trip", after_body)]
        blocks = [block for section in below for block in section.blocks(column)]
        rest = flowed(blocks, COLUMNS, column + COLUMN_GAP, room - top.height - SECTION_GAP)
        if rest is not None:
            break
    else:
        raise PageError(f"{kit.name}: the packing side has no room for all that is carried")
    body = stacked(top, rest, gap=SECTION_GAP)
    foot = line_of(shortened(f"Packing side · {footer}", width))
    marks = (
        *body.moved(paper.margin, paper.margin),
        *foot.moved(paper.margin, paper.height - paper.margin - foot.height),
    )
    return Page(paper.width, paper.height, f"{kit.name}, packing", marks)


def after_body(width: float) -> list[Piece]:
    """Return what to write down when it is over, so that the next prediction is better."""
    return [stacked(*(_to_write(words, width) for words in AFTER))]


def _to_write(words: str, width: float) -> Piece:
    marks: list[Mark] = [*line_of(words).moved(0.0, WRITING - line_height())]
    begin = width_of(words) + MM
    marks.append(rule(begin, WRITING - 6.0, width - begin))
    return Piece(WRITING, tuple(marks))
