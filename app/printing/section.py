"""A section of the page: a number, a heading and what stands under it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from app.printing.flow import Block
from app.printing.marks import HEADING, MM, Piece, rule, stacked
from app.printing.type import line_of, shortened

HEAD_GAP = 0.4 * MM
PART_GAP = 0.35 * MM
SECTION_GAP = 1.5 * MM


@dataclass(frozen=True)
class Section:
    """What the layout needs to know of a section.

    Attributes
    ----------
    number, title : its heading; numbers give the order of reading.
    body : lays it out in a width, as parts between which a column may end.
    kept : whether it stays however little room there is.
    """

    number: int
    title: str
    body: Callable[[float], Sequence[Piece]]
    kept: bool = False

    def blocks(self, width: float) -> list[Block]:
        """Return the heading with the first part, then the other parts."""
        first, *rest = self.body(width)
        head = stacked(self._heading(width), first, gap=HEAD_GAP)
        return [Block(head, SECTION_GAP), *(Block(part, PART_GAP) for part in rest)]

    def whole(self, width: float) -> Piece:
        """Return the section in one piece."""
        body = stacked(*self.body(width), gap=PART_GAP)
        return stacked(self._heading(width), body, gap=HEAD_GAP)

    def _heading(self, width: float) -> Piece:
        words = shortened(f"{self.number}  {self.title}", width, HEADING)
        heading = line_of(words, style=HEADING)
        return Piece(heading.height + 14.0, (rule(0.0, 3.0, width, 6.0), *heading.moved(0, 12.0)))
