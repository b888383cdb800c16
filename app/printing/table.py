"""Tables: cells in columns, figures ending at one place, blanks to write in.

A cell of several lines may say itself where they end.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from app.printing.marks import BODY, MM, Mark, Piece, Stroke, Style, Text, rule
from app.printing.say import Blank, Cell
from app.printing.type import ascent, line_height, shortened, width_of, wrapped

GAP = 1.6 * MM
FAINT = 2.0


@dataclass(frozen=True)
class Column:
    """A column: its width, to which side its cells lean, and in how many lines at most."""

    width: float
    lean: Literal["left", "right"] = "left"
    lines: int = 1


def table(
    columns: Sequence[Column],
    rows: Sequence[Sequence[Cell]],
    *,
    header: Sequence[str] = (),
    total: bool = False,
    least_height: float = 0.0,
    ruled: bool = False,
    style: Style = BODY,
) -> Piece:
    """Return a table; ``total`` sets off the last row, ``ruled`` draws a line below each."""
    strong = Style(style.points, "bold")
    marks: list[Mark] = []
    width = sum(column.width for column in columns) + GAP * (len(columns) - 1)
    y = 0.0
    if header:
        head = _row(columns, header, strong, 0.0)
        marks += head.moved(0.0, y)
        y += head.height
        marks.append(rule(0.0, y + 4.0, width, 5.0))
        y += 8.0
    for number, row in enumerate(rows):
        last = total and number == len(rows) - 1
        if last:
            marks.append(rule(0.0, y + 4.0, width, 5.0))
            y += 8.0
        piece = _row(columns, row, strong if last else style, least_height)
        marks += piece.moved(0.0, y)
        y += piece.height
        if ruled:
            marks.append(rule(0.0, y, width, FAINT))
    return Piece(y, tuple(marks))


def table_parts(
    columns: Sequence[Column],
    rows: Sequence[Sequence[Cell]],
    header: Sequence[str],
    *,
    least_height: float = 0.0,
    ruled: bool = False,
) -> list[Piece]:
    """Return a table as one piece for each row; its header is said again in the next column."""
    head = table(columns, [], header=header)
    first = table(columns, rows[:1], header=header, least_height=least_height, ruled=ruled)
    others = (table(columns, [row], least_height=least_height, ruled=ruled) for row in rows[1:])
    return [first, *(Piece(row.height, row.marks, head) for row in others)]


def _row(
    columns: Sequence[Column], cells: Sequence[Cell], style: Style, least_height: float
) -> Piece:
    lines = [
        [] if isinstance(cell, Blank) else _lines(cell, column, style)
        for column, cell in zip(columns, cells, strict=True)
    ]
    pitch = line_height(style)
    height = max(least_height, pitch * max([1, *(len(cell) for cell in lines)]))
    marks: list[Mark] = []
    x = 0.0
    for column, cell, texts in zip(columns, cells, lines, strict=True):
        if isinstance(cell, Blank):
            marks.append(_blank(x, column.width, cell, height))
        top = (height - pitch * len(texts)) / 2
        for number, text in enumerate(texts):
            width = width_of(text, style)
            left = x if column.lean == "left" else x + column.width - width
            baseline = top + number * pitch + ascent(style)
            marks.append(Text(left, baseline, text, style, width))
        x += column.width + GAP
    return Piece(height, tuple(marks))


def _lines(cell: str, column: Column, style: Style) -> list[str]:
    if not cell:
        return []
    if column.lines == 1:
        return [shortened(" ".join(cell.split()), column.width, style)]
    if "\n" in cell:
        lines = [part for line in cell.split("\n") for part in wrapped(line, column.width, style)]
        if len(lines) <= column.lines:
            return lines
        return [shortened(line, column.width, style) for line in cell.split("\n")]
    return wrapped(cell, column.width, style, column.lines)


def _blank(x: float, width: float, blank: Blank, height: float) -> Stroke:
    length = min(blank.width or width, width)
    return rule(x + width - length, height - 12.0, length, 4.0)


def spread(width: float, *shares: float) -> list[float]:
    """Return column widths that fill a width with the gaps between, in these proportions."""
    free = width - GAP * (len(shares) - 1)
    return [free * share / sum(shares) for share in shares]
