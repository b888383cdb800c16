"""Who can power whom, on paper: hours or a reason in each cell, and every reason in full below."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import partial

from app.printing.group_rows import Row, filled, headed, on_sides_of, sentences
from app.printing.group_words import cell_text
from app.printing.marks import MM, STRONG, Piece, Style, stacked
from app.printing.table import GAP, Column, table
from app.printing.type import paragraph
from model.group.power_matrix import HOURS_MEAN, SWAP_WORDS, PowerCell
from model.results.wording import capital, listed

TINY = Style(6.2)
# So many posts stand side by side on one sheet.
ACROSS = 15
LABEL = 14.0 * MM
READ = (
    "The battery of a row on the radio of the post of a column: for how long, its own so marked,"
    f" or the first thing that stands against it. {HOURS_MEAN} Below the table stands what to look"
    " at first, and every reason in full."
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
    pieces = [*_told("Look first", note_lines(power), width)]
    pieces += _told("Why not", reason_lines(power), width)
    if not pieces:
        return bodies
    told = filled(pieces, room)
    if stacked(bodies[-1], told[0], gap=2 * MM).height <= room:
        bodies[-1] = stacked(bodies[-1], told.pop(0), gap=2 * MM)
    return [*bodies, *told]


def _table(width: float, kits: Sequence[str], rows: Sequence[Row]) -> Piece:
    each = (width - LABEL - GAP * len(kits)) / max(len(kits), ACROSS)
    columns = [Column(LABEL), *(Column(each, "right", 2) for _ in kits)]
    high = 4.4 * MM
    return table(columns, rows, header=["", *kits], least_height=high, ruled=True, style=TINY)


def _told(title: str, lines: Iterator[str], width: float) -> Iterator[Piece]:
    """Yield sentences, the first under a heading."""
    told = list(sentences(list(lines), width))
    if told:
        yield stacked(headed(title, width), told[0], gap=MM)
        yield from told[1:]


def reason_lines(power: Matrix) -> Iterator[str]:
    """Yield the reasons, batteries that are refused alike in one line."""
    refused = {
        row[0].lender: tuple(
            (cell.kit, "; ".join(each.words for each in cell.refusals))
            for cell in row
            if not cell.can_power
        )
        for row in power
    }
    yield from _alike(refused, "not on")


def note_lines(power: Matrix) -> Iterator[str]:
    """Yield what to look at before a battery of another post, or a spare, is swapped in."""
    noted = {
        row[0].lender: tuple(
            (cell.kit, "; ".join(cell.notes)) for cell in row if cell.notes and not cell.is_own
        )
        for row in power
    }
    yield from _alike(noted, "on")


def _alike(told: dict[str, tuple[tuple[str, str], ...]], how: str) -> Iterator[str]:
    alike: dict[tuple[tuple[str, str], ...], list[str]] = {}
    for name, pairs in told.items():
        if pairs:
            alike.setdefault(pairs, []).append(name)
    for pairs, names in alike.items():
        by_words: dict[str, list[str]] = {}
        for kit, words in pairs:
            by_words.setdefault(words, []).append(kit)
        said = [f"{how} {listed(kits)} ({words})" for words, kits in by_words.items()]
        yield f"{capital(listed(names))}: {'; '.join(said)}."
