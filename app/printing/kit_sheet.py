"""One kit on one sheet: the front to operate from, the back to understand.

Nothing is dropped and nothing is cut off: what finds no room goes on, on further sides.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from app.printing.back import back_sides
from app.printing.foot import FOOT, Footer
from app.printing.front import front_sides
from app.printing.marks import Page, Piece
from app.printing.paper import Paper
from app.printing.say import Say
from model.export.kit_page import Kit


def kit_sides(kit: Kit, say: Say, paper: Paper, footer: Footer) -> list[Page]:
    """Return the sides of one kit: front and back, and those on which they go on."""
    room = paper.inner_height - FOOT
    fronts, left_over = front_sides(kit, say, paper.inner_width, room)
    backs = back_sides(kit, say, paper.inner_width, room, left_over)
    return [
        _page(kit, paper, body, footer, side)
        for side, body in (*_named("front", fronts), *_named("back", backs))
    ]


def _named(side: str, bodies: Sequence[Piece]) -> Iterator[tuple[str, Piece]]:
    for number, body in enumerate(bodies, start=1):
        yield side if len(bodies) == 1 else f"{side} {number} of {len(bodies)}", body


def _page(kit: Kit, paper: Paper, body: Piece, footer: Footer, side: str) -> Page:
    marks = (*body.moved(paper.margin, paper.margin), *footer.marks(paper, f"{side} · "))
    return Page(paper.width, paper.height, f"{kit.name}, {side}", marks)
