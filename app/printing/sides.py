"""What stands on several sides because one has no room for it."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import chain, repeat

from app.printing.flow import Block, poured
from app.printing.marks import Piece, stacked
from app.printing.section import SECTION_GAP


def on_sides(
    top: Sequence[Piece], blocks: Sequence[Block], count: int, pitch: float, room: float
) -> list[Piece]:
    """Return sides with blocks in columns, the first of them below what stands on top.

    Parameters
    ----------
    top : pieces across the width, each whole on one side.
    blocks, count, pitch : what stands in so many columns, and from one to the next.
    room : height of a side.
    """
    heads: list[Piece] = []
    for piece in top:
        joined = stacked(heads[-1], piece, gap=SECTION_GAP) if heads else piece
        if heads and joined.height <= room:
            heads[-1] = joined
        else:
            heads.append(piece)
    *full, last = heads
    free = room - last.height - SECTION_GAP
    if blocks and free < blocks[0].piece.height:
        return [*heads, *poured(blocks, count, pitch, repeat(room))]
    sides = poured(blocks, count, pitch, chain([free], repeat(room)))
    first = stacked(last, sides[0], gap=SECTION_GAP) if sides else last
    return [*full, first, *sides[1:]]
