"""The map of battery against panel: hatch where a kit fails, lines of equal mass, all stations."""

from __future__ import annotations

from itertools import pairwise
from math import inf, isnan

from PySide6.QtCore import Qt

from app.charts.hatch import Hatch
from app.charts.map_picture import Curve, MapPicture, Mark, Patch, Point
from app.charts.scale import Scale
from app.pages.size.kit_frontier import KitFrontiers
from app.pages.size.size_words import up_to_hold
from app.pages.size.sold import parts_sold
from app.widgets.number_text import quantity
from app.widgets.tokens import station_style
from model.editing.resize import Pair, pair_kg
from model.library.sold_sizes import listed_sizes
from model.results.wording import name_at
from model.scenario.station import Station
from model.support.figures import with_unit

KG_STEPS = (0.1, 0.2, 0.5, 1.0, 2.0, 5.0, 10.0, 20.0, 50.0)
KG_LINES = 8


def frontier_picture(
    found: KitFrontiers, index: int, *, kg_per_unit: float, unit: str
) -> MapPicture:
    """Return the map of one station: hatch where it fails, kg lines, and all stations on it."""
    patches = []
    if found.lines[index] is not None:
        patches.append(Patch((_fails(found, index),), Hatch.FALLING, is_toned=True))
    curves = list(_kg_curves(found, index, kg_per_unit, unit))
    for other, line in enumerate(found.lines):
        if line is not None:
            curves += _edge_curves(found, other, 2.0 if other == index else 1.5)
    marks = tuple(
        # A scale of ratios has no zero: a station without a panel stands at its foot and says so.
        Mark(
            pair.capacity_ah,
            max(pair.rated_w, found.up.low),
            other,
            "" if pair.rated_w > 0 else "(no panel)",
        )
        for other, pair in enumerate(Pair.of(one) for one in found.scenario.stations)
    )
    letter = station_style(index).letter
    legend = (
        (Hatch.FALLING, True, f"{letter} fails"),
        (Hatch.NONE, False, f"{letter} meets the plan"),
    )
    return MapPicture(
        found.across, found.up, tuple(patches), tuple(curves), marks, legend,
        frontier_words(found), *_sold(found.scenario.stations[index]),
    )  # fmt: skip


def _sold(station: Station) -> tuple[tuple[float, ...], tuple[float, ...]]:
    """Return the sizes of battery and panel that can be bought for a station [Ah], [W]."""
    battery, panel = station.battery, station.panel
    batteries = listed_sizes(battery, parts_sold())
    panels = listed_sizes(panel, parts_sold()) if panel is not None else ()
    watts = tuple(size * panel.count for size in panels) if panel is not None else ()
    return tuple(size * battery.count for size in batteries), watts


def frontier_words(found: KitFrontiers) -> str:
    """Return the map in words, a line a station."""
    lines = []
    for index, line in enumerate(found.lines):
        name = name_at(found.scenario, index)
        if line is None:
            lines.append(f"{name}: {found.reasons[index]}.")
            continue
        now = Pair.of(found.scenario.stations[index])
        state = "meets the plan" if found.holds(index, now) else "fails"
        least_w = found.smallest_w(index, now.capacity_ah)
        lines.append(
            f"{name}: {quantity(now.capacity_ah, 'Ah', 1)} with"
            f" {quantity(now.rated_w, 'W', 0)} {state};"
            f" {least_words(least_w, found.take_w(index, now.capacity_ah))}."
        )
    return "\n".join(lines)


def least_words(least_w: float, take_w: float) -> str:
    """Return which panel is the smallest with a battery, and which to take."""
    if least_w == inf:
        return "with this battery no panel is enough"
    if least_w <= 0:
        return "with this battery no panel is needed"
    shown, bought = (quantity(up_to_hold(each, 1), "W", 1) for each in (least_w, take_w))
    return f"with this battery a panel of {shown} would do; take {bought}"


def _edge(found: KitFrontiers, index: int) -> tuple[Point, ...]:
    """Return a station's line from left to right; beyond the map it follows its frame."""
    line = found.lines[index]
    assert line is not None
    points: list[Point] = []
    capacities = [float(value) for value in line.capacity_ah]
    for step, capacity_ah in enumerate(capacities):
        top_w = float(line.rated_w[step])
        here_w = found.up.high * 1.0001 if isnan(top_w) else top_w
        if step and isnan(top_w) != isnan(float(line.rated_w[step - 1])):
            between_ah = (capacities[step - 1] * capacity_ah) ** 0.5
            points += [(between_ah, points[-1][1]), (between_ah, here_w)]
        points.append((capacity_ah, here_w))
    return tuple((ah, min(max(w, found.up.low), found.up.high)) for ah, w in points)


def _edge_curves(found: KitFrontiers, index: int, width_px: float) -> list[Curve]:
    """Return the stretches of a station's line that lie within the map, the longest labelled."""
    style = station_style(index)
    stretches: list[list[Point]] = [[]]
    for before, after in pairwise(_edge(found, index)):
        along_frame = before[1] == after[1] and after[1] in (found.up.low, found.up.high)
        if along_frame:
            stretches.append([])
        else:
            stretches[-1] += [before, after] if not stretches[-1] else [after]
    drawn = sorted((stretch for stretch in stretches if stretch), key=len, reverse=True)
    return [
        Curve(tuple(points), "" if rank else style.letter, index, style.line, width_px)
        for rank, points in enumerate(drawn)
    ]


def _fails(found: KitFrontiers, index: int) -> tuple[Point, ...]:
    edge = _edge(found, index)
    return ((edge[0][0], found.up.low), *edge, (edge[-1][0], found.up.low))


def _kg_curves(found: KitFrontiers, index: int, kg_per_unit: float, unit: str) -> list[Curve]:
    """Return lines of equal mass: battery and panel weigh in proportion to their size."""
    scenario, across, up = found.scenario, found.across, found.up
    if Pair.of(scenario.stations[index]).rated_w <= 0:
        return []
    corner_kg, right_kg, top_kg = (
        pair_kg(scenario, index, Pair(ah, w)) / kg_per_unit
        for ah, w in ((across.low, up.low), (across.high, up.low), (across.low, up.high))
    )
    per_ah = (right_kg - corner_kg) / (across.high - across.low)
    per_w = (top_kg - corner_kg) / (up.high - up.low)
    if per_ah <= 0 or per_w <= 0:
        return []
    most = corner_kg + (right_kg - corner_kg) + (top_kg - corner_kg)
    curves = []
    for mass in _round_masses(corner_kg, most):
        end_ah = across.low + (mass - corner_kg) / per_ah
        begin_ah = end_ah - (up.high - up.low) * per_w / per_ah
        bounded = Scale("", max(begin_ah, across.low), min(end_ah, across.high))
        if bounded.high > bounded.low:
            points = [
                (ah, up.low + (mass - corner_kg - per_ah * (ah - across.low)) / per_w)
                for ah in bounded.places(60)
            ]
            label = with_unit(f"{mass:g}", unit)
            curves.append(Curve(tuple(points), label, style=Qt.PenStyle.SolidLine))
    return curves


def _round_masses(least: float, most: float) -> list[float]:
    """Return round masses, each a good deal above the last, as the scales are of ratios."""
    found: list[float] = []
    for step in KG_STEPS:
        above = [least + step * number for number in (1, 2)]
        found += [round(mass / step) * step for mass in above if mass < most]
    kept: list[float] = []
    for mass in sorted(set(found)):
        if not kept or (mass - least) > 1.6 * (kept[-1] - least):
            kept.append(mass)
    return kept[-KG_LINES:]
