"""The 24-hour plan with blanks, and the plot of charge."""

from __future__ import annotations

from app.fields.words import word_of
from app.number_text import percent
from app.printing.marks import BODY, MM, STRONG, Fill, Mark, Piece, Stroke, box, rule, stacked
from app.printing.say import Say
from app.printing.type import line_height, line_of, paragraph, shortened, width_of
from model.engine.run import StationRun
from model.export.kit_page import KitResults
from model.results.budget import night_steps
from model.scenario.declare import MINUTES_A_DAY
from model.scenario.scenario import Block, Scenario
from model.scenario.station import Station
from model.station.chemistry import Floats
from model.station.transmit_path import given_rf_w
from model.support.figures import NBSP

SENDING_SHOWN = 6
REST_LINES = 3
KEY_LINE = 7.0 * MM
PLOT_POINTS = 400
PLOT_HEIGHT = 21.0 * MM


def plan_body(scenario: Scenario, station: Station, width: float) -> list[Piece]:
    """Return the day as a strip, transmissions as lines to complete by hand, then the rest."""
    plan = sorted(scenario.plan, key=lambda block: block.minutes)
    if not plan:
        return [paragraph("Nothing is planned: the radio stays off.", width)]
    sending = [block for block in plan if block.sends]
    pieces = [strip(plan, width)]
    pieces += [_sending(block, station, width) for block in sending[:SENDING_SHOWN]]
    if len(sending) > SENDING_SHOWN:
        pieces.append(paragraph(f"and {len(sending) - SENDING_SHOWN} more in the file", width))
    pieces += [paragraph(text, width, most=REST_LINES) for text in _listening(plan)]
    return pieces


def _sending(block: Block, station: Station, width: float) -> Piece:
    """Return when and what, and below it frequency, mode and call to read or to write in."""
    note = " ".join(block.note.split()) or "transmits"
    first = line_of(shortened(f"{block.start}–{block.end} {note}", width, STRONG), style=STRONG)
    figures = f"{given_rf_w(station, block):.3g}{NBSP}W, TX {percent(block.transmit_share)},"
    given = f"{figures} {word_of(block.activity)}"
    if width_of(given) > width:
        given = f"{figures} {word_of(block.activity).partition(' (')[0]}"
    entries = [
        ("", f"{block.frequency_mhz:.3f} MHz" if block.frequency_mhz else None, "MHz"),
        ("Mode", None, ""),
        ("Call", None, ""),
    ]
    return stacked(first, line_of(shortened(given, width)), _blanks(entries, width))


def _blanks(entries: list[tuple[str, str | None, str]], width: float) -> Piece:
    """Return words with what is known beside them, or a line to write on."""
    height, step = 4.6 * MM, width / len(entries)
    marks: list[Mark] = []
    for number, (before, known, after) in enumerate(entries):
        x, end = number * step, (number + 1) * step - 1.5 * MM
        if known is not None:
            marks += line_of(known, x).moved(0.0, height - line_height())
            continue
        if before:
            marks += line_of(before, x).moved(0.0, height - line_height())
            x += width_of(before) + 0.6 * MM
        if after:
            marks += line_of(after, right=end).moved(0.0, height - line_height())
            end -= width_of(after) + 0.6 * MM
        marks.append(rule(x, height - 8.0, end - x))
    return Piece(height, tuple(marks))


def _listening(plan: list[Block]) -> list[str]:
    """Return when there is only listening, in one sentence for each way of doing so."""
    by_way: dict[str, list[str]] = {}
    for block in plan:
        if block.sends or block.activity == "off":
            continue
        share = "" if block.listen_share == 1 else f", {percent(block.listen_share)} of the time"
        way = f"{word_of(block.activity)}{share}"
        by_way.setdefault(way, []).append(f"{block.start}–{block.end}")
    return [f"{way[:1].upper()}{way[1:]}: {', '.join(times)}" for way, times in by_way.items()]


def strip(plan: list[Block], width: float) -> Piece:
    """Return the 24 hours as a bar: dark where sent, hatched where listened, empty where off."""
    height = 3.6 * MM
    marks: list[Mark] = [box(0.0, 0.0, width, height)]
    for block in plan:
        start, end = block.minutes
        pieces = [(start, min(end, MINUTES_A_DAY))]
        if end > MINUTES_A_DAY:
            pieces.append((0, end - MINUTES_A_DAY))
        fill: Fill = "dark" if block.sends else "none" if block.activity == "off" else "hatch"
        marks += [
            box(width * low / MINUTES_A_DAY, 0.0, width * (high - low) / MINUTES_A_DAY, height,
                fill, 2.0)
            for low, high in pieces
            if high > low
        ]  # fmt: skip
    labels: list[Mark] = []
    for hour in range(0, 25, 6):
        text = f"{hour:02d}"
        wide = width_of(text)
        left = min(max(width * hour / 24 - wide / 2, 0.0), width - wide)
        labels += line_of(text, left).moved(0.0, height)
    key = "dark: transmits, hatched: listens"
    middle = width * 9 / 24 - width_of(key) / 2
    labels += [] if width_of(key) > width * 0.23 else line_of(key, middle).moved(0.0, height)
    return Piece(height + line_height(), (*marks, *labels))


def plot_body(results: KitResults, say: Say, width: float) -> list[Piece]:
    """Return charge over the run, under three skies, with nights and the reserve."""
    lines = (
        ("as planned", results.planned.fraction, ()),
        ("clear", results.clear.fraction, (7.0, 3.0)),
        ("overcast", results.overcast.fraction, (1.5, 1.8)),
    )
    return [charge_plot(results.run, lines, say, width)]


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
