"""A section of the page: a heading and what stands under it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

from app.printing.flow import Block
from app.printing.marks import HEADING, MM, Piece, Style, rule, stacked
from app.printing.type import paragraph

HEAD_GAP = 0.4 * MM
PART_GAP = 0.35 * MM
SECTION_GAP = 1.2 * MM


@dataclass(frozen=True)
class Section:
    """What the layout needs to know of a section.

    Attributes
    ----------
    title : its heading; empty where it has none.
    body : lays it out in a width, as parts between which a column may end.
    style : of the heading.
    part_gap : white between its parts.
    """

    title: str
    body: Callable[[float], Sequence[Piece]]
    style: Style = HEADING
    part_gap: float = PART_GAP
    _laid: dict[float, list[Block]] = field(default_factory=dict, compare=False, repr=False)

    def blocks(self, width: float) -> list[Block]:
        """Return the heading with the first part, then the other parts; laid out once."""
        if width not in self._laid:
            first, *rest = self.body(width) or [Piece(0.0)]
            head = stacked(self._heading(width), first, gap=HEAD_GAP)
            self._laid[width] = [
                Block(head, SECTION_GAP),
                *(Block(part, self.part_gap) for part in rest),
            ]
        return self._laid[width]

    def height(self, width: float) -> float:
        """Return how high the section is in one piece."""
        first, *rest = self.blocks(width)
        return first.piece.height + sum(each.gap + each.piece.height for each in rest)

    def whole(self, width: float) -> Piece:
        """Return the section in one piece."""
        return stacked(*(each.piece for each in self.blocks(width)), gap=self.part_gap)

    def _heading(self, width: float) -> Piece:
        if not self.title:
            return Piece(0.0)
        heading = paragraph(self.title, width, self.style)
        return Piece(heading.height + 14.0, (rule(0.0, 3.0, width, 8.0), *heading.moved(0, 12.0)))


def blocks_of(sections: Sequence[Section], width: float) -> list[Block]:
    """Return the blocks of several sections."""
    return [block for section in sections for block in section.blocks(width)]
