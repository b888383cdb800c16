"""Tables that are longer than a side: as many rows as it takes, the heads on every side."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence

from app.printing.marks import HEADING, MM, Piece, rule, stacked
from app.printing.say import Cell
from app.printing.type import line_of, paragraph

Row = Sequence[Cell]
GAP = 1.2 * MM


def on_sides_of(
    tops: Sequence[Piece], make: Callable[[Sequence[Row]], Piece], rows: Sequence[Row], room: float
) -> list[Piece]:
    """Return bodies of sides: what stands on top, then rows until the side is full.

    Parameters
    ----------
    tops : pieces of the first side; those of the others are the last of them alone.
    make : lays a table out of rows, with its heads.
    """
    bodies: list[Piece] = []
    held: list[Row] = []
    top = stacked(*tops, gap=GAP)
    for row in rows:
        if held and stacked(top, make([*held, row]), gap=GAP).height > room:
            bodies.append(stacked(top, make(held), gap=GAP))
            held, top = [], tops[-1]
        held.append(row)
    return [*bodies, stacked(top, make(held), gap=GAP)] if held else [*bodies, top]


def headed(title: str, width: float) -> Piece:
    """Return a heading under a rule."""
    heading = line_of(title, style=HEADING)
    return Piece(heading.height + 14.0, (rule(0, 3.0, width, 6.0), *heading.moved(0, 12.0)))


def sentences(lines: Sequence[str], width: float) -> Iterator[Piece]:
    """Yield sentences, each whole on one side."""
    for line in lines:
        yield paragraph(f"• {line}", width)


def filled(pieces: Sequence[Piece], room: float) -> list[Piece]:
    """Return bodies of sides from pieces that are not torn apart."""
    bodies: list[Piece] = []
    held: list[Piece] = []
    for piece in pieces:
        if held and stacked(*held, piece, gap=GAP).height > room:
            bodies.append(stacked(*held, gap=GAP))
            held = []
        held.append(piece)
    return [*bodies, stacked(*held, gap=GAP)] if held else bodies
