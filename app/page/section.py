"""A section of the page: a number, a heading and what stands under it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from app.page.marks import HEADING, MM, Piece, rule, stacked
from app.page.type import line_of, shortened

HEAD_GAP = 0.5 * MM


@dataclass(frozen=True)
class Section:
    """What the layout needs to know of a section.

    Attributes
    ----------
    number, title : its heading; numbers give the order of reading.
    body : lays it out in a width.
    kept : whether it stays however little room there is.
    """

    number: int
    title: str
    body: Callable[[float], Piece]
    kept: bool = False

    def laid(self, width: float) -> Piece:
        """Return heading and body."""
        words = shortened(f"{self.number}  {self.title}", width, HEADING)
        heading = line_of(words, style=HEADING)
        ruled = Piece(heading.height + 16.0, (rule(0.0, 2.0, width, 8.0), *heading.moved(0, 12.0)))
        return stacked(ruled, self.body(width), gap=HEAD_GAP)
