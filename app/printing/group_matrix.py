"""Who can power whom, on paper: hours or a reason in each cell, and every reason in full below."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import partial

from app.printing.group_rows import Row, filled, headed, on_sides_of, sentences
from app.printing.group_words import cell_text
from app.printing.marks import MM, STRONG, Piece, Style, stacked
from app.printing.table import GAP, Column, table
from app.printing.type import paragraph
from model.group.power_matrix import SWAP_WORDS, PowerCell
from model.results.wording import capital, listed

TINY = Style(6.2)
# So many posts stand side by side on one sheet.
ACROSS = 15
LABEL = 14.0 * MM
READ = (
    "The battery of a row on the radio of the post of a column: for how long without sun, its own"
    " so marked, or the first thing that stands against it. Every reason is told in full below the"
    " table."
)
Matrix = Sequence[Sequence[PowerCell]]


def matrix_bodies(power: Matrix, width: float, room: float) -> list[Piece]:
    """Return the sides of the matrix, without their foot."""
    if not power:
        return []
    bodies: list[Piece] = []
    count = len(power[0])
    for begin in range(0, count, ACROSS):
        kits = [cell.kit for cell in power[0][begin : begin + ACROSS]]
        rows: list[Row] = [
            [row[0].lender, *(cell_text(cell) for cell in row[begin : begin + ACROSS])]
            for row in power
        ]
        make = partial(_table, width, kits)
        tops = [paragraph(SWAP_WORDS, width, STRONG), paragraph(READ, width)]
        tops.append(headed(f"Batteries on the radios of posts {kits[0]} to {kits[-1]}", width))
        bodies += on_sides_of(tops, make, rows, room)
    reasons = [*sentences(list(reason_lines(power)), width)]
    if not reasons:
        return bodies
    told = filled([stacked(headed("Why not", width), reasons[0], gap=MM), *reasons[1:]], room)
    if stacked(bodies[-1], told[0], gap=2 * MM).height <= room:
        bodies[-1] = stacked(bodies[-1], told.pop(0), gap=2 * MM)
    return [*bodies, *told]


def _table(width: float, kits: Sequence[str], rows: Sequence[Row]) -> Piece:
    each = (width - LABEL - GAP * len(kits)) / max(len(kits), ACROSS)
    columns = [Column(LABEL), *(Column(each, "right", 2) for _ in kits)]
    high = 4.4 * MM
    return table(columns, rows, header=["", *kits], least_height=high, ruled=True, style=TINY)


def reason_lines(power: Matrix) -> Iterator[str]:
    """Yield the reasons, batteries that are refused alike in one line."""
    alike: dict[tuple[tuple[str, str], ...], list[str]] = {}
    for row in power:
        refused = tuple(
            (cell.kit, "; ".join(each.words for each in cell.refusals))
            for cell in row
            if not cell.can_power
        )
        if refused:
            alike.setdefault(refused, []).append(row[0].lender)
    for refused, names in alike.items():
        by_words: dict[str, list[str]] = {}
        for kit, words in refused:
            by_words.setdefault(words, []).append(kit)
        said = [f"not on {listed(kits)} ({words})" for words, kits in by_words.items()]
        yield f"{capital(listed(names))}: {'; '.join(said)}."
