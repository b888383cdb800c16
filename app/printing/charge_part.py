"""The plot of charge over the run."""

from __future__ import annotations

from app.printing.marks import BODY, MM, Mark, Piece, Stroke, box, rule, stacked
from app.printing.say import Say
from app.printing.type import line_height, line_of, width_of
from model.engine.run import StationRun
from model.export.kit_page import Kit, KitResults, bad_sky
from model.results.budget import night_steps
from model.station.chemistry import Floats
from model.support.figures import percent

KEY_LINE = 7.0 * MM
PLOT_POINTS = 400
PLOT_HEIGHT, LOW_PLOT_HEIGHT = 24.0 * MM, 13.0 * MM


def plot_body(kit: Kit, results: KitResults, say: Say, height: float, width: float) -> list[Piece]:
    """Return charge over the run, under both skies, with nights and the reserve."""
    lines: tuple[tuple[str, Floats, tuple[float, ...]], ...] = (
        ("as planned", results.planned.fraction, ()),
        (bad_sky(kit.scenario), results.bad.fraction, (1.5, 1.8)),
    )
    return [charge_plot(results.run, lines, say, width, height)]


def charge_plot(
    first: StationRun,
    lines: tuple[tuple[str, Floats, tuple[float, ...]], ...],
    say: Say,
    width: float,
    height: float = PLOT_HEIGHT,
) -> Piece:
    """Return a plot of charge, one pattern of line for each run, with a key above.

    Nights, reserve and times are those of the first.
    """
    left = width_of("100 %") + 1.2 * MM
    across = width - left - 1.0 * MM
    key = _key([(name, pattern) for name, _, pattern in lines], width)
    marks: list[Mark] = []
    for begin, end in night_steps(first):
        share = across / first.clock.steps
        marks.append(box(left + begin * share, 0.0, (end - begin) * share, height, "light", 2.0))
    for fraction in (0.0, 0.5, 1.0):
        y = height * (1 - fraction)
        marks.append(rule(left, y, across, 2.0))
        label = line_of(percent(fraction), right=left - 0.8 * MM)
        marks += label.moved(0.0, _beside(y, height))
    marks += _reserve_line(first, left, across, height)
    if say.variant != "class":
        marks += [_curve(charge, pattern, left, across, height) for _, charge, pattern in lines]
    marks.append(box(left, 0.0, across, height, "none", 4.0))
    ticks = _ticks(first, left, across)
    return stacked(key, Piece(height, tuple(marks)), ticks, gap=0.8 * MM)


def _beside(y: float, height: float) -> float:
    return min(max(y - line_height() / 2, 0.0), height - line_height())


def _key(entries: list[tuple[str, tuple[float, ...]]], width: float) -> Piece:
    marks: list[Mark] = []
    x, y = 0.0, 0.0
    for name, pattern in (*entries, ("reserve", (12.0, 6.0)), ("night", None)):
        needed = KEY_LINE + width_of(name) + 3.2 * MM
        if x + needed - 3.2 * MM > width and x:
            x, y = 0.0, y + line_height()
        middle = y + line_height() / 2
        if pattern is None:
            marks.append(box(x, y + 20, KEY_LINE - MM, line_height() - 40, "light", 2.0))
        else:
            thickness = 4.0 if name == "reserve" else 11.0
            marks.append(Stroke(((x, middle), (x + KEY_LINE - MM, middle)), thickness, pattern))
        marks += line_of(name, x + KEY_LINE).moved(0.0, y)
        x += needed
    return Piece(y + line_height(), tuple(marks))


def _reserve_line(run: StationRun, left: float, across: float, height: float) -> list[Mark]:
    reserve = run.station.reserve_fraction
    if reserve <= 0:
        return []
    y = height * (1 - reserve)
    return [Stroke(((left, y), (left + across, y)), 4.0, (12.0, 6.0))]


def _curve(
    fraction: Floats, pattern: tuple[float, ...], left: float, across: float, height: float
) -> Stroke:
    steps = fraction.size - 1
    every = max(steps // PLOT_POINTS, 1)
    points = [*range(0, steps, every), steps]
    return Stroke(
        tuple(
            (left + across * step / steps, height * (1 - min(float(fraction[step]), 1.0)))
            for step in points
        ),
        11.0,
        pattern,
    )


def _ticks(run: StationRun, left: float, across: float) -> Piece:
    """Return the times under a plot, as many as have room."""
    clock = run.clock
    hours = 24 * clock.days
    step_h = next(step for step in (6, 12, 24, 48, 96) if hours / step <= 8)
    first = (-clock.start.hour - clock.start.minute / 60) % step_h
    marks: list[Mark] = []
    used = -1.0
    hour = first
    while hour <= hours:
        at = clock.at(hour * 60 / clock.step_min)
        text = f"{at:%H:%M}" if step_h < 24 else f"{at.day} {at:%b}"
        wide = width_of(text, BODY)
        x = min(max(left + across * hour / hours - wide / 2, left), left + across - wide)
        if x > used:
            marks += line_of(text, x).marks
            used = x + wide + MM
        hour += step_h
    return Piece(line_height(), tuple(marks))
