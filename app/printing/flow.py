"""Text that runs on from column to column: read down, then to the right."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from app.printing.marks import Mark, Piece


@dataclass(frozen=True)
class Block:
    """Something that is not torn apart, with the gap above it unless it begins a column."""

    piece: Piece
    gap: float = 0.0


def flowed(
    blocks: Sequence[Block], count: int, pitch: float, room: float | None = None
) -> Piece | None:
    """Return blocks in columns as even as they can be, or None where they are too high.

    ``pitch`` is the distance from one column's left edge to the next.
    """
    highest = max((block.piece.height for block in blocks), default=0.0)
    low, high = highest, sum(block.piece.height + block.gap for block in blocks)
    if room is not None:
        if not fits(blocks, count, room):
            return None
        high = min(high, room)
    while high - low > 1.0:
        middle = (low + high) / 2
        if len(_filled(blocks, middle)) <= count:
            high = middle
        else:
            low = middle
    marks: list[Mark] = []
    tallest = 0.0
    for number, column in enumerate(_filled(blocks, high)):
        y = 0.0
        for place, block in enumerate(column):
            y += block.gap if place else 0.0
            marks += block.piece.moved(number * pitch, y)
            y += block.piece.height
        tallest = max(tallest, y)
    return Piece(tallest, tuple(marks))


def fits(blocks: Sequence[Block], count: int, room: float) -> bool:
    """Return whether blocks stand in columns no higher than the room."""
    heights = [block.piece.height for block in blocks]
    if sum(heights) > count * room or max(heights, default=0.0) > room:
        return False
    return len(_filled(blocks, room)) <= count


def _filled(blocks: Sequence[Block], height: float) -> list[list[Block]]:
    columns: list[list[Block]] = [[]]
    used = 0.0
    for block in blocks:
        needed = block.piece.height + (block.gap if columns[-1] else 0.0)
        if used + needed > height + 1e-6 and columns[-1]:
            columns.append([])
            used, needed = 0.0, block.piece.height
        columns[-1].append(block)
        used += needed
    return columns
