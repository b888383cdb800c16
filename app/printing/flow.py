"""Text that runs on from column to column: read down, then to the right."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from app.printing.marks import Mark, Piece, stacked


@dataclass(frozen=True)
class Block:
    """Something that is not torn apart, with the gap above it unless it begins a column."""

    piece: Piece
    gap: float = 0.0

    @property
    def on_top(self) -> Piece:
        """As it begins a column: below its heading, if it has one to be said again."""
        again = self.piece.again
        return self.piece if again is None else stacked(again, self.piece)


def flowed(
    blocks: Sequence[Block], count: int, pitch: float, room: float | None = None
) -> Piece | None:
    """Return blocks in columns as even as they can be, or None where they are too high.

    ``pitch`` is the distance from one column's left edge to the next.
    """
    highest = max((block.on_top.height for block in blocks), default=0.0)
    low, high = highest, sum(block.on_top.height + block.gap for block in blocks)
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
    return _columns(_filled(blocks, high), pitch)


def fits(blocks: Sequence[Block], count: int, room: float) -> bool:
    """Return whether blocks stand in columns no higher than the room."""
    if sum(block.piece.height for block in blocks) > count * room:
        return False
    if max((block.on_top.height for block in blocks), default=0.0) > room:
        return False
    return len(_filled(blocks, room)) <= count


def _filled(blocks: Sequence[Block], height: float) -> list[list[Block]]:
    columns: list[list[Block]] = [[]]
    used = 0.0
    for block in blocks:
        needed = block.piece.height + block.gap if columns[-1] else block.on_top.height
        if used + needed > height + 1e-6 and columns[-1]:
            columns.append([])
            used, needed = 0.0, block.on_top.height
        columns[-1].append(block)
        used += needed
    return columns


def poured(
    blocks: Sequence[Block], count: int, pitch: float, rooms: Iterable[float]
) -> list[Piece]:
    """Return blocks in columns on as many sides as they need, each with its own room.

    Sides are filled in their order; the columns of the last are as even as they can be. A block
    that is higher than a side still stands on one.
    """
    sides: list[Piece] = []
    rest = list(blocks)
    for room in rooms:
        if not rest:
            break
        whole = flowed(rest, count, pitch, room)
        if whole is not None:
            sides.append(whole)
            break
        taken = sum(len(column) for column in _filled(rest, room)[:count])
        columns = _filled(rest[:taken], room)
        sides.append(_columns(columns, pitch))
        rest = rest[taken:]
    return sides


def _columns(columns: Sequence[Sequence[Block]], pitch: float) -> Piece:
    marks: list[Mark] = []
    tallest = 0.0
    for number, column in enumerate(columns):
        y = 0.0
        for place, block in enumerate(column):
            piece = block.piece if place else block.on_top
            y += block.gap if place else 0.0
            marks += piece.moved(number * pitch, y)
            y += piece.height
        tallest = max(tallest, y)
    return Piece(tallest, tuple(marks))
