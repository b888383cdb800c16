"""What a page is made of: texts, lines and areas at fixed places, in tenths of a point.

A page is laid out once, as a list of marks; every device paints the same list.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from typing import Literal, NamedTuple

# Units to the inch: tenths of a point.
UNITS_PER_INCH = 720.0
MM = UNITS_PER_INCH / 25.4
POINT = 10.0

Weight = Literal["book", "bold"]
Fill = Literal["none", "hatch", "light", "dark", "ink"]


@dataclass(frozen=True)
class Style:
    """Size in points, and weight."""

    points: float = 9.0
    weight: Weight = "book"


BODY = Style()
STRONG = Style(9.0, "bold")
HEADING = Style(9.5, "bold")
TITLE = Style(15.0, "bold")
# The front of a kit page, read by a headlamp with gloves on: 11 points at least.
FRONT = Style(11.0)
FRONT_STRONG = Style(11.0, "bold")
FRONT_HEADING = Style(12.0, "bold")
# What is looked for when the battery is low.
LOW = Style(14.0)
LOW_STRONG = Style(14.0, "bold")


class Text(NamedTuple):
    """One line of text: left end of its baseline, and the width it takes."""

    x: float
    y: float
    text: str
    style: Style
    width: float

    def moved(self, dx: float, dy: float) -> Text:
        """Return the same text elsewhere."""
        return Text(self.x + dx, self.y + dy, self.text, self.style, self.width)


class Stroke(NamedTuple):
    """A line through points, solid or with gaps; ``pattern`` is in units of its thickness."""

    points: tuple[tuple[float, float], ...]
    thickness: float = 5.0
    pattern: tuple[float, ...] = ()

    def moved(self, dx: float, dy: float) -> Stroke:
        """Return the same line elsewhere."""
        points = tuple([(x + dx, y + dy) for x, y in self.points])
        return Stroke(points, self.thickness, self.pattern)


class Area(NamedTuple):
    """A closed outline, filled or empty; without ``thickness`` it has no edge."""

    points: tuple[tuple[float, float], ...]
    fill: Fill = "none"
    thickness: float = 5.0

    def moved(self, dx: float, dy: float) -> Area:
        """Return the same area elsewhere."""
        points = tuple([(x + dx, y + dy) for x, y in self.points])
        return Area(points, self.fill, self.thickness)


class Group(NamedTuple):
    """Marks whose own corner stands at a place: to move many costs no more than to move one."""

    x: float
    y: float
    marks: tuple[Mark, ...]

    def moved(self, dx: float, dy: float) -> Group:
        """Return the same group elsewhere."""
        return Group(self.x + dx, self.y + dy, self.marks)


Mark = Text | Stroke | Area | Group


def single(marks: Sequence[Mark], x: float = 0.0, y: float = 0.0) -> Iterator[Text | Stroke | Area]:
    """Yield marks and those in groups one by one, each where it stands."""
    for mark in marks:
        if isinstance(mark, Group):
            yield from single(mark.marks, x + mark.x, y + mark.y)
        else:
            yield mark.moved(x, y) if x or y else mark


def box(
    x: float, y: float, width: float, height: float, fill: Fill = "none", thickness: float = 5.0
) -> Area:
    """Return an upright rectangle."""
    right, bottom = x + width, y + height
    return Area(((x, y), (right, y), (right, bottom), (x, bottom)), fill, thickness)


def rule(x: float, y: float, width: float, thickness: float = 4.0) -> Stroke:
    """Return a level line."""
    return Stroke(((x, y), (x + width, y)), thickness)


@dataclass(frozen=True)
class Piece:
    """A part of a page; its marks count from its own upper left corner.

    Attributes
    ----------
    height : how much room it takes.
    marks : what is on it.
    again : a heading that is said again above it where it begins a column.
    """

    height: float
    marks: tuple[Mark, ...] = ()
    again: Piece | None = None

    def moved(self, dx: float, dy: float) -> tuple[Mark, ...]:
        """Return its marks as they stand when the corner is at a place."""
        return (Group(dx, dy, self.marks),) if self.marks else ()


NOTHING = Piece(0.0)


def stacked(*pieces: Piece, gap: float = 0.0) -> Piece:
    """Return pieces one below the other."""
    marks: list[Mark] = []
    y = 0.0
    for piece in pieces:
        if piece.height <= 0:
            continue
        y += gap if y else 0.0
        marks += piece.moved(0.0, y)
        y += piece.height
    return Piece(y, tuple(marks))


def beside(*pieces: tuple[float, Piece]) -> Piece:
    """Return pieces side by side, each with the place of its left edge."""
    marks = [mark for x, piece in pieces for mark in piece.moved(x, 0.0)]
    return Piece(max((piece.height for _, piece in pieces), default=0.0), tuple(marks))


@dataclass(frozen=True)
class Page:
    """One side of paper.

    Attributes
    ----------
    width, height : of the paper.
    title : what it is, for the file's own title and for a preview.
    marks : everything on it, one by one.
    """

    width: float
    height: float
    title: str
    marks: tuple[Mark, ...] = field(default=())

    def __post_init__(self) -> None:
        """Take groups apart: what is painted stands at its own place."""
        object.__setattr__(self, "marks", tuple(single(self.marks)))
