"""One kit on one sheet: the front to operate from, the back to understand.

Nothing is dropped and nothing is cut off: what finds no room goes on, on further sides.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from app.printing.back import back_sides
from app.printing.front import front_sides
from app.printing.marks import MM, Page, Piece
from app.printing.paper import Paper
from app.printing.say import Say
from app.printing.type import line_of, shortened
from model.export.kit_page import Kit

FOOT = 4.4 * MM


def kit_sides(kit: Kit, say: Say, paper: Paper, footer: str) -> list[Page]:
    """Return the sides of one kit: front and back, and those on which they go on."""
    room = paper.inner_height - FOOT
    fronts, left_over = front_sides(kit, say, paper.inner_width, room)
    backs = back_sides(kit, say, paper.inner_width, room, left_over)
    return [
        _page(kit, paper, body, f"{side} · {footer}", f"{kit.name}, {side}")
        for side, body in (*_named("front", fronts), *_named("back", backs))
    ]


def _named(side: str, bodies: Sequence[Piece]) -> Iterator[tuple[str, Piece]]:
    for number, body in enumerate(bodies, start=1):
        yield side if len(bodies) == 1 else f"{side} {number} of {len(bodies)}", body


def _page(kit: Kit, paper: Paper, body: Piece, foot_text: str, title: str) -> Page:
    foot = line_of(shortened(foot_text, paper.inner_width))
    marks = (
        *body.moved(paper.margin, paper.margin),
        *foot.moved(paper.margin, paper.height - paper.margin - foot.height),
    )
    return Page(paper.width, paper.height, title, marks)
