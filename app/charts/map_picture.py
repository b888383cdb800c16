"""What a map shows, as plain values in the units of its scales."""

from __future__ import annotations

from dataclasses import dataclass, field

from PySide6.QtCore import Qt

from app.charts.hatch import Hatch
from app.charts.scale import Scale

Point = tuple[float, float]


@dataclass(frozen=True)
class Patch:
    """A region, made of outlines that may touch, with its hatch and what it means."""

    outlines: tuple[tuple[Point, ...], ...]
    hatch: Hatch
    is_toned: bool = False


@dataclass(frozen=True)
class Curve:
    """A line; of a station where it has its number, else in the colour of text."""

    points: tuple[Point, ...]
    label: str = ""
    station: int | None = None
    style: Qt.PenStyle = Qt.PenStyle.SolidLine
    width_px: float = 1.0


@dataclass(frozen=True)
class Mark:
    """A station at its place; ``note`` says beside its letter what the scales cannot show."""

    x: float
    y: float
    station: int
    note: str = ""


@dataclass(frozen=True)
class MapPicture:
    """Everything on one map; ``legend`` says what hatches mean.

    ``sold_across`` and ``sold_up`` are sizes that can be bought: a short line inwards at each.
    """

    across: Scale
    up: Scale
    patches: tuple[Patch, ...] = ()
    curves: tuple[Curve, ...] = ()
    marks: tuple[Mark, ...] = ()
    legend: tuple[tuple[Hatch, bool, str], ...] = field(default=())
    words: str = ""
    sold_across: tuple[float, ...] = ()
    sold_up: tuple[float, ...] = ()
