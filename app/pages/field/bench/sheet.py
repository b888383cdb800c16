"""The printed bench sheet of a station: what to measure, in which order, with room to write."""

from __future__ import annotations

import os
from collections.abc import Iterator, Sequence
from datetime import date
from typing import Any, BinaryIO

from app.printing.document import ensure_application, pdf_bytes, save
from app.printing.marks import HEADING, MM, STRONG, TITLE, Page, Piece, rule, stacked
from app.printing.paper import PAPERS, PaperName
from app.printing.plain_pages import plain_pages
from app.printing.say import Blank, Cell, Units
from app.printing.table import Column, spread, table
from app.printing.type import line_of, paragraph
from app.widgets.number_text import entered_quantity, quantity
from model.field.bench_sheet import BenchItem, BenchStep, bench_sheet
from model.scenario.cautions import BENCH, ELECTRICAL
from model.scenario.kinds import KIND_OF_SLOT
from model.scenario.station import Station
from model.support.figures import entered, percent

WRITING = 6.2 * MM
KEY_DOWN_ROWS = 5
ORIGIN_WORDS = {"guess": "guess", "datasheet": "datasheet", "measured": "measured"}


def write_sheet(
    station: Station,
    target: str | os.PathLike[str] | BinaryIO,
    *,
    paper: PaperName = "a4",
    units: Units = "metric",
) -> None:
    """Write the bench sheet to a PDF file or an open stream; raises PageError where that fails."""
    save(pdf_bytes(sheet_pages(station, paper=paper, units=units), sheet_title(station)), target)


def sheet_title(station: Station) -> str:
    """Return what the sheet is called."""
    return f"Bench sheet: {' '.join(station.name.split()) or 'station'}"


def sheet_pages(
    station: Station,
    *,
    paper: PaperName = "a4",
    units: Units = "metric",
    on: date | None = None,
) -> list[Page]:
    """Return the pages of the sheet, for a file, a printer or a preview.

    ``on`` is the day at the bench: what was measured a year before is asked for again.
    """
    ensure_application()
    sheet = PAPERS[paper]
    width = sheet.inner_width
    pieces = [_head(station, width), *_sections(bench_sheet(station, on), units, width)]
    return plain_pages(pieces, sheet_title(station), sheet)


def _head(station: Station, width: float) -> Piece:
    blanks = "Date ________________   Measured by __________________________   Room _______ °C"
    return stacked(
        line_of(sheet_title(station), style=TITLE),
        paragraph(
            "Half an hour at the bench replaces guesses by numbers of your own. Enter them"
            " afterwards: each is kept with the day it was measured. The values shown are those the"
            " program uses now.",
            width,
        ),
        paragraph(blanks, width, STRONG),
        *(paragraph(f"• {each.text}", width) for each in BENCH),
        paragraph(f"• {ELECTRICAL}", width),
        gap=1.2 * MM,
    )


def _sections(steps: Sequence[BenchStep], units: Units, width: float) -> Iterator[Piece]:
    if not steps:
        yield paragraph("Every number of this station has been measured.", width, STRONG)
    for number, step in enumerate(steps, start=1):
        time = "on another day" if step.another_day else entered(step.minutes, "min")
        heading = line_of(f"{number}  {step.title} ({time})", style=HEADING)
        top = Piece(heading.height + 14.0, (rule(0, 3.0, width, 6.0), *heading.moved(0, 12.0)))
        how = paragraph(f"{step.how[:1].upper()}{step.how[1:]}.", width)
        yield stacked(top, how, *_bodies(step, units, width), gap=0.6 * MM)


def _bodies(step: BenchStep, units: Units, width: float) -> Iterator[Piece]:
    plain_items = [item for item in step.items if item.path not in _SPECIAL and not _points(item)]
    if step.title == "Weigh":
        yield _weights(plain_items, units, width)
    elif plain_items:
        yield _numbers(plain_items, units, width)
    for item in step.items:
        if _points(item):
            yield _key_down(item, width)
        elif item.path in _SPECIAL:
            yield _special(item, units, width)


def _points(item: BenchItem) -> bool:
    return item.path.endswith(".key_down")


def _numbers(items: Sequence[BenchItem], units: Units, width: float) -> Piece:
    columns = [
        Column(each, lines=lines)
        for each, lines in zip(spread(width, 7, 6, 4, 5), (2, 2, 1, 1), strict=True)
    ]
    rows: list[list[Cell]] = [
        [owner_words(item), item.label, held_words(item, units), Blank()] for item in items
    ]
    return table(
        columns, rows, header=("Part", "Quantity", "Value now", "Measured"), least_height=WRITING
    )


def _weights(items: Sequence[BenchItem], units: Units, width: float) -> Piece:
    """Return the masses two to a row: there are many, and each takes one number."""
    widths = spread(width, 6, 3, 3, 6, 3, 3)
    columns = [Column(each, lines=2) for each in widths]
    cells: list[list[Cell]] = [
        [owner_words(item), held_words(item, units), Blank()] for item in items
    ]
    half = (len(cells) + 1) // 2
    rows: list[list[Cell]] = []
    for number in range(half):
        other = cells[half + number] if half + number < len(cells) else ["", "", ""]
        rows.append([*cells[number], *other])
    header = ("Part", "Value now", "Measured") * 2
    return table(columns, rows, header=header, least_height=WRITING)


def _key_down(item: BenchItem, width: float) -> Piece:
    points = list(item.held or ())
    blanks = max(KEY_DOWN_ROWS - len(points), 1)
    columns = [Column(each) for each in spread(width, 5, 4, 4, 4, 4)]
    rows: list[list[Cell]] = [
        [quantity(rf_w, "W", 1), quantity(current_a, "A", 2), Blank(), Blank(), Blank()]
        for rf_w, current_a in points
    ]
    rows += [["_____ W", "", Blank(), Blank(), Blank()] for _ in range(blanks)]
    header = ("RF power", "Value now", "Measured, A", "V at the radio", "V at the battery")
    name = line_of(owner_words(item), style=STRONG)
    return stacked(name, table(columns, rows, header=header, least_height=WRITING))


_SPECIAL = {
    "battery.resistance_ohm": ("Light load  _____ A  _____ V", "Heavy load  _____ A  _____ V"),
    "battery.tested_fraction": ("Load  _____ A, steady", "Ran for  _____ h  _____ min"),
}


def _special(item: BenchItem, units: Units, width: float) -> Piece:
    held = f"{item.label}, now {held_words(item, units)}"
    columns = [Column(each, lines=2) for each in spread(width, 5, 5, 5)]
    first, second = _SPECIAL[item.path]
    return table(columns, [[held, first, second]], least_height=WRITING)


def owner_words(item: BenchItem) -> str:
    """Return the name of the part a number belongs to."""
    slot = item.path.split(".")[0]
    return " ".join(item.part.split()) or KIND_OF_SLOT[slot].label.lower()


def held_words(item: BenchItem, units: Units) -> str:
    """Return the present value, with its unit and its source."""
    value: Any = item.held
    if item.unit == "kg" and not value:
        return "not weighed"
    if item.unit == "kg" and units == "metric":
        return quantity(value * 1000, "g", 0)
    if item.unit == "ohm":
        return f"{quantity(value * 1000, 'mΩ', 1)} ({_origin(item)})"
    if not item.unit and isinstance(value, float):
        return f"{percent(value)} ({_origin(item)})"
    words = entered_quantity(value, item.unit, item.decimals, us=units == "us")
    return words if item.unit == "kg" else f"{words} ({_origin(item)})"


def _origin(item: BenchItem) -> str:
    words = ORIGIN_WORDS[item.origin]
    return f"{words} {item.measured_on.isoformat()}" if item.measured_on else words
