"""The day as it is worked, and what the counter should show at dusk, midnight and dawn."""

from __future__ import annotations

from datetime import date

from app.printing.marks import FRONT, FRONT_STRONG, MM, Mark, Piece, rule
from app.printing.say import NONE, Blank, Cell, Say
from app.printing.table import GAP, Column, table_parts
from app.printing.type import line_height, line_of, paragraph, rich, width_of
from app.widgets.number_text import fixed
from model.export.day_rows import DayRow
from model.export.expected_charge import ChargePoint, Moment
from model.export.kit_page import Kit, KitResults
from model.support.figures import DAY_NAMES, day_text
from model.verdict.order import is_guessed

CLOCK_WIDE = 12.5 * MM
ROW_GAP = 0.8 * MM
WRITING = 6.4 * MM
LINE = 4.4 * MM
# Where the names of the moments stand.
FIRST = 18.0 * MM
# As many dates stand beside each other; longer runs have a row for each date.
DATES_BESIDE = 3
MOMENTS: tuple[Moment, ...] = ("midnight", "dawn", "dusk")


def day_title(kit: Kit, say: Say) -> str:
    """Return what stands over the day: when the station will be off the air, if it will."""
    run = kit.results.run if kit.results else None
    clock = run.clocks.receive if run is not None else None
    if run is None or clock is None or clock.until is None or say.variant == "class":
        return "The day"
    return f"The day: off the air {say.until(clock, applies=True, about=is_guessed(run))}"


def day_body(kit: Kit, width: float) -> list[Piece]:
    """Return a row for each thing that is done, with the settings that hold then."""
    return [_row(row, width) for row in kit.day_rows]


def _row(row: DayRow, width: float) -> Piece:
    clock = line_of(row.clock, style=FRONT_STRONG)
    room = width - CLOCK_WIDE
    stop = ". " if row.settings else ""
    what = f"{row.what}{stop}"
    name, colon, rest = what.partition(": ")
    is_named = row.kind == "net" and bool(colon)
    told = ("", f"{name}: ", rest) if is_named else (what,)
    # Every second word is a state: the settings begin with one that is none.
    words = (*told[:-1], told[-1] + (row.settings[0] if row.settings else ""), *row.settings[1:])
    text = rich(words, room, FRONT)
    height = text.height + ROW_GAP
    marks = (*clock.marks, *text.moved(CLOCK_WIDE, 0.0), rule(0.0, height, width, 2.0))
    return Piece(height, marks)


def charge_body(results: KitResults, say: Say, width: float) -> list[Piece]:
    """Return expected Ah used since full with its band and a blank, for each dusk and the like.

    Dates stand side by side on the front; a long run has a line for each moment.
    """
    by_date = _by_date(results)
    head = paragraph("Ah used since full; in brackets what still agrees.", width, FRONT)
    first = FIRST
    step = (width - first) / len(by_date)
    marks: list[Mark] = []
    for at, day in enumerate(by_date):
        text = f"{DAY_NAMES[day.weekday()]} {day.day}"
        marks += line_of(text, first + at * step, FRONT_STRONG).marks
    pieces = [head, Piece(line_height(FRONT), tuple(marks))]
    for moment in MOMENTS:
        points = [by_date[day].get(moment) for day in by_date]
        if any(points):
            pieces.append(_beside_row(moment, points, say, first, step, width))
    return pieces


def fits_beside(results: KitResults, say: Say, width: float) -> bool:
    """Return whether the dates of the run stand side by side in a column of the front."""
    by_date = _by_date(results)
    if not by_date or len(by_date) > DATES_BESIDE:
        return False
    points = [point for found in by_date.values() for point in found.values()]
    widest = max(width_of(expected_ah(point, say), FRONT_STRONG) for point in points)
    return widest + 2.0 * MM <= (width - FIRST) / len(by_date)


def _by_date(results: KitResults) -> dict[date, dict[Moment, ChargePoint]]:
    found: dict[date, dict[Moment, ChargePoint]] = {}
    for point in results.charge_points:
        if point.moment in MOMENTS:
            found.setdefault(point.at.date(), {})[point.moment] = point
    return found


def _beside_row(
    moment: Moment,
    points: list[ChargePoint | None],
    say: Say,
    first: float,
    step: float,
    width: float,
) -> Piece:
    pitch = line_height(FRONT)
    height = pitch + WRITING
    marks: list[Mark] = [*line_of(moment.capitalize(), style=FRONT).marks]
    known = [point for point in points if point is not None]
    if moment != "midnight":
        marks += line_of(f"{known[0].at:%H:%M}", style=FRONT).moved(0.0, pitch)
    for at, point in enumerate(points):
        x = first + at * step
        if point is None:
            marks += line_of(NONE, x, FRONT).marks
            continue
        marks += line_of(expected_ah(point, say), x, FRONT_STRONG).marks
        marks.append(rule(x, height - 6.0, step - 2.0 * MM))
    marks.append(rule(0.0, height, width, 2.0))
    return Piece(height, tuple(marks))


def expected_ah(point: ChargePoint, say: Say, guess: str = "____") -> str:
    """Return what the counter should show with its band; ``guess`` where that is to be guessed."""
    if say.variant == "class":
        return guess
    used, low, high = (fixed(each, 1) for each in (point.used_ah, point.low_ah, point.high_ah))
    return f"{used} ({low}–{high})" if low != used or high != used else used


def charge_lines(results: KitResults, say: Say, width: float) -> list[Piece]:
    """Return the same as a table of one line for each moment, in the small type of the back."""
    by_date = _by_date(results)
    rows: list[list[Cell]] = [
        [_named(point, len(by_date)), expected_ah(point, say), Blank()]
        for point in results.charge_points
        if point.moment in MOMENTS
    ]
    if not rows:
        return [paragraph("No dusk, midnight or dawn lies within the run.", width)]
    read = 12.0 * MM
    expected = max([16.0 * MM, *(width_of(row[1]) for row in rows if isinstance(row[1], str))])
    columns = [Column(width - read - expected - 2 * GAP, lines=2), Column(expected), Column(read)]
    head = ("Ah used", "should be", "is")
    pieces = table_parts(columns, rows, head, least_height=LINE)
    if not results.odds:
        return [*pieces, paragraph("Since full; from the reading on, as planned.", width)]
    return [
        *pieces,
        paragraph("Since full; in brackets 8 of 10 trips as planned.", width),
    ]


def _named(point: ChargePoint, dates: int) -> str:
    """Return a moment with the fewest words that name its date."""
    at = point.at
    day = DAY_NAMES[at.weekday()] if dates <= len(DAY_NAMES) else day_text(at)
    return f"{day} midnight" if point.moment == "midnight" else f"{day} {at:%H:%M} {point.moment}"
