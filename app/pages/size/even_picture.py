"""The map of which station needs less to carry: regions, the line of break-even, and words."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from itertools import product
from math import isfinite, isnan
from typing import cast

from app.charts.hatch import Hatch
from app.charts.map_picture import Curve, MapPicture, Patch, Point
from app.charts.scale import Scale
from app.widgets.number_text import quantity
from app.widgets.tokens import station_style
from model.results.wording import name_at
from model.scenario.scenario import Scenario
from model.sizing.break_even_map import BreakEven
from model.sizing.map_inputs import MapInput

EVEN_WORDS = "both need the same"
FIRST, SECOND, NEITHER = 1, -1, 0
Node = tuple[int, int]


@dataclass(frozen=True, eq=False)
class EvenMap:
    """What the worker found, with the pair of stations and the inputs it is shown for."""

    scenario: Scenario
    found: BreakEven
    inputs: tuple[MapInput, MapInput]
    pair: tuple[int, int]

    @cached_property
    def across(self) -> Scale:
        """The scale across."""
        return _scale(self.found.across.values, self.inputs[0])

    @cached_property
    def up(self) -> Scale:
        """The scale upwards."""
        return _scale(self.found.up.values, self.inputs[1])

    @cached_property
    def line(self) -> tuple[Point, ...]:
        """Where both need the same, along the edges of the grid."""
        return self.found.line(*self.pair)

    @cached_property
    def _less_kg(self) -> list[list[float]]:
        return cast("list[list[float]]", self.found.less_kg(*self.pair).tolist())

    def node(self, across: float, up: float) -> Node:
        """Return the column and the row of the values next to a pair of values."""
        return (
            _nearest(self.across, self.found.across.values, across),
            _nearest(self.up, self.found.up.values, up),
        )

    def less_kg(self, node: Node) -> float:
        """Return by how much the first of the pair needs less than the second [kg]."""
        return self._less_kg[node[1]][node[0]]

    def who(self, node: Node) -> int:
        """Return which of the pair needs less."""
        less = self.less_kg(node)
        return NEITHER if isnan(less) else FIRST if less >= 0 else SECOND


def even_picture(shown: EvenMap) -> MapPicture:
    """Return the map of a pair of stations."""
    first, second = (station_style(index).letter for index in shown.pair)
    kinds = (
        (FIRST, Hatch.FALLING, False, f"{first} needs less"),
        (SECOND, Hatch.NONE, True, f"{second} needs less"),
        (NEITHER, Hatch.CROSSED, False, "neither meets the plan"),
    )
    even = _Crossings(shown)
    patches = tuple(
        Patch(outlines, hatch, toned)
        for kind, hatch, toned, _ in kinds
        if (outlines := _region(shown, even, kind))
    )
    lines = _joined([line for square in _squares(shown) for line in _even_in(shown, even, square)])
    curves = [Curve(tuple(line), "", None, width_px=2.5) for line in lines]
    if curves:
        longest = max(curves, key=lambda curve: len(curve.points))
        curves.remove(longest)
        curves.append(Curve(longest.points, EVEN_WORDS, None, width_px=2.5))
    legend = tuple((hatch, toned, words) for _, hatch, toned, words in kinds)
    return MapPicture(shown.across, shown.up, patches, tuple(curves), (), legend, even_words(shown))


def even_words(shown: EvenMap) -> str:
    """Return where both need the same, along what is now."""
    across, up = shown.inputs
    column, row = shown.node(across.now, up.now)
    names = [name_at(shown.scenario, index) for index in shown.pair]
    row_value = shown.found.up.values[row]
    begin = f"With {up.title} at {value_text(row_value, up, shown.found.up.unit)}"
    turns = sorted(x for x, y in shown.line if y == row_value)
    unit = shown.found.across.unit
    if not turns:
        who = shown.who((column, row))
        if who == NEITHER:
            return f"{begin}, neither meets the plan at {value_text(across.now, across, unit)}."
        return f"{begin}, {names[0 if who == FIRST else 1]} needs less at any {across.title}."
    along = [shown.who((column, row)) for column in range(len(shown.found.across.values))]
    left = next(who for who in along if who != NEITHER)
    below, above = (names[0], names[1]) if left == FIRST else (names[1], names[0])
    even = " and at ".join(value_text(turn, across, unit) for turn in turns)
    return (
        f"{begin}, {EVEN_WORDS} with {across.title} at {even}; below it {below} needs less,"
        f" above it {above}."
    )


def node_words(shown: EvenMap, node: Node, *, us: bool) -> str:
    """Return what both need at one pair of values."""
    where = ", ".join(
        f"{of.title} at {value_text(axis.values[at], of, axis.unit)}"
        for of, axis, at in zip(
            shown.inputs, (shown.found.across, shown.found.up), node, strict=True
        )
    )
    needs = []
    for index in shown.pair:
        needed_kg = float(shown.found.needed_kg[index, node[1], node[0]])
        name = name_at(shown.scenario, index)
        if isnan(needed_kg):
            needs.append(f"{name} cannot be run")
        elif not isfinite(needed_kg):
            needs.append(f"no battery is enough for {name}")
        else:
            needs.append(f"{name} needs {quantity(needed_kg, 'kg', 2, us=us)}")
    less = shown.less_kg(node)
    ending = f": {quantity(abs(less), 'kg', 2, us=us)} apart" if isfinite(less) else ""
    return f"{where[:1].upper()}{where[1:]}: {'; '.join(needs)}{ending}."


def value_text(value: float, of: MapInput, unit: str) -> str:
    """Return a value of an input with its unit."""
    if of.key == "share":
        return quantity(value * 100, "%", 0)
    return quantity(float(f"{value:.3g}"), unit, of.decimals)


def _scale(values: tuple[float, ...], of: MapInput) -> Scale:
    is_share = of.key == "share"
    units = {"share": "%", "night": "h", "power": "W"}
    title = f"{of.title[:1].upper()}{of.title[1:]}, {units.get(of.key, 'A')}"
    low, high = values[0], values[-1]
    return Scale(
        title, low, high if high > low else low + 1, of.in_ratios, 100.0 if is_share else 1
    )


def _nearest(scale: Scale, values: tuple[float, ...], value: float) -> int:
    wanted = scale.share(value)
    return min(range(len(values)), key=lambda at: abs(scale.share(values[at]) - wanted))


class _Crossings:
    """Where both need the same along the edges of the grid."""

    def __init__(self, shown: EvenMap) -> None:
        self._points = shown.line
        self._x, self._y = shown.found.across.values, shown.found.up.values

    def at(self, one: Node, other: Node, *, is_even: bool) -> Point:
        """Return where a region ends between two neighbours: at break-even, else half-way."""
        begin, end = self.place(one), self.place(other)
        low_x, high_x = sorted((begin[0], end[0]))
        low_y, high_y = sorted((begin[1], end[1]))
        if is_even:
            for x, y in self._points:
                if low_x <= x <= high_x and low_y <= y <= high_y:
                    return x, y
        return (begin[0] + end[0]) / 2, (begin[1] + end[1]) / 2

    def place(self, node: Node) -> Point:
        return float(self._x[node[0]]), float(self._y[node[1]])


def _squares(shown: EvenMap) -> list[tuple[Node, Node, Node, Node]]:
    columns, rows = len(shown.found.across.values) - 1, len(shown.found.up.values) - 1
    return [
        ((c, r), (c + 1, r), (c + 1, r + 1), (c, r + 1))
        for r, c in product(range(rows), range(columns))
    ]


def _region(shown: EvenMap, even: _Crossings, kind: int) -> tuple[tuple[Point, ...], ...]:
    """Return the outlines of one kind, square by square."""
    outlines = []
    for square in _squares(shown):
        outline: list[Point] = []
        for one, other in zip(square, (*square[1:], square[0]), strict=True):
            here, there = shown.who(one), shown.who(other)
            if here == kind:
                outline.append(even.place(one))
            if (here == kind) != (there == kind):
                outline.append(even.at(one, other, is_even=NEITHER not in (here, there)))
        if len(outline) > 2:
            outlines.append(tuple(outline))
    return tuple(outlines)


def _even_in(
    shown: EvenMap, even: _Crossings, square: tuple[Node, Node, Node, Node]
) -> list[tuple[Point, Point]]:
    crossed = [
        even.at(one, other, is_even=True)
        for one, other in zip(square, (*square[1:], square[0]), strict=True)
        if shown.who(one) * shown.who(other) < 0
    ]
    return list(zip(crossed[::2], crossed[1::2], strict=False))


def _joined(segments: list[tuple[Point, Point]]) -> list[list[Point]]:
    """Return segments that share an end as one line."""
    lines: list[list[Point]] = []
    rest = list(segments)
    while rest:
        line = list(rest.pop())
        grown = True
        while grown:
            grown = False
            for segment in rest:
                begin, end = segment
                if line[-1] in segment:
                    line.append(end if line[-1] == begin else begin)
                elif line[0] in segment:
                    line.insert(0, end if line[0] == begin else begin)
                else:
                    continue
                rest.remove(segment)
                grown = True
                break
        lines.append(line)
    return lines
