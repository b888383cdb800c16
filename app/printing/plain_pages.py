"""Plain pages: pieces one below the other, a page full at a time, each with its foot."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from app.printing.marks import MM, Mark, Page, Piece, stacked
from app.printing.paper import Paper
from app.printing.type import line_of

PIECE_GAP = 2.2 * MM
FOOT_ROOM = 6.0 * MM


def plain_pages(pieces: Sequence[Piece], title: str, sheet: Paper) -> list[Page]:
    """Return pages of pieces that are not torn apart, with title and number at the foot."""
    bodies = list(_fill(pieces, sheet.inner_height - FOOT_ROOM))
    return [_page(body, sheet, title, at + 1, len(bodies)) for at, body in enumerate(bodies)]


def _fill(pieces: Sequence[Piece], height: float) -> Iterator[Piece]:
    held: list[Piece] = []
    used = 0.0
    for piece in pieces:
        needed = piece.height + (PIECE_GAP if held else 0.0)
        if held and used + needed > height:
            yield stacked(*held, gap=PIECE_GAP)
            held, used, needed = [], 0.0, piece.height
        held.append(piece)
        used += needed
    yield stacked(*held, gap=PIECE_GAP)


def _page(body: Piece, sheet: Paper, title: str, number: int, count: int) -> Page:
    foot = line_of(f"Counterpoise · {title} · page {number} of {count}")
    marks: list[Mark] = [*body.moved(sheet.margin, sheet.margin)]
    marks += foot.moved(sheet.margin, sheet.height - sheet.margin - foot.height)
    return Page(sheet.width, sheet.height, title, tuple(marks))
