"""What the meter should read, what may fail, and who has checked it."""

from __future__ import annotations

from app.number_text import fixed, percent
from app.printing.energy_part import tested_words
from app.printing.marks import MM, Mark, Piece, box, rule
from app.printing.say import Blank, Cell, Say, hours
from app.printing.table import Column, table
from app.printing.type import line_height, line_of, paragraph, width_of
from model.export.kit_page import Kit, KitResults
from model.results.expected_readings import CheckPoint, Reading
from model.support.figures import NBSP

WRITING = 6.8 * MM
WEAK_SHOWN = 5


def readings_body(kit: Kit, results: KitResults, say: Say, width: float) -> list[Piece]:
    """Return expected values with their bands, each with a blank for what was read."""
    rows: list[list[Cell]] = [_reading(reading, say) for reading in results.readings]
    rows += [_check_point(point, say) for point in results.check_points]
    if kit.station.panel is not None and kit.station.controller is not None:
        rows.append(["Noise, panel covered, S-units\nuncovered, same reading", Blank()])
    read = 16.0 * MM
    columns = [Column(width - read - 1.6 * MM, lines=2), Column(read)]
    head = ("Expected (agrees within)", "Measured")
    first = table(columns, rows[:1], header=head, least_height=WRITING)
    others = [table(columns, [row], least_height=WRITING) for row in rows[1:]]
    return [first, *others, paragraph(_doubt(kit), width)]


def _reading(reading: Reading, say: Say) -> list[Cell]:
    places = reading.decimals
    expected = f"{fixed(reading.expected, places)} {reading.unit}"
    band = f" ({fixed(reading.low, places)} to {fixed(reading.high, places)})"
    if reading.predicted and say.variant == "class":
        expected, band = f"guess ______ {reading.unit}", ""
    words = f"{reading.what}, {reading.how}" if reading.how else reading.what
    return [f"{words}\n{expected}{band}", Blank()]


def _check_point(point: CheckPoint, say: Say) -> list[Cell]:
    low, high = sorted((point.clear_ah, point.overcast_ah))
    first, last = fixed(low, 1), fixed(high, 1)
    band = f" ({first} to {last})" if first != last else ", whatever the sky"
    expected = f"{fixed(point.planned_ah, 1)}{NBSP}Ah{band}"
    if say.variant == "class":
        expected = "guess ______ Ah"
    return [f"Ah used by {say.at(point.at)}\n{expected}", Blank()]


def _doubt(kit: Kit) -> str:
    band, chemistry = kit.doubt, kit.station.battery.chemistry
    return (
        f"Even after 30 minutes at rest {chemistry} at {fixed(band.reading_v, 1)} ± 0.1 V may hold"
        f" {percent(band.low_fraction)} to {percent(band.high_fraction)}: count Ah."
    )


def weak_body(results: KitResults, say: Say, width: float) -> list[Piece]:
    """Return the parts whose failure is felt most, and what to do then."""
    pieces = []
    for point in results.weak_points[:WEAK_SHOWN]:
        extra = []
        if point.loss_db is not None:
            extra.append(f"{fixed(point.loss_db, 1)}{NBSP}dB less")
        if point.hours_left_h is not None and say.variant != "class":
            extra.append(f"{hours(point.hours_left_h)} of receive from full")
        after = f" ({', '.join(extra)})" if extra else ""
        text = f"{point.part}: {point.ends} ends{after}; {point.then}."
        pieces.append(paragraph(text, width))
    return pieces


def sign_body(kit: Kit, width: float) -> list[Piece]:
    """Return the lines to sign, the boxes to tick, and when the capacity test is due."""
    marks: list[Mark] = []
    y = 0.0
    for name in ("Packed by, date", "Checked by, date"):
        marks += line_of(name).moved(0.0, y + 6.0 * MM - line_height())
        begin = width_of(name) + MM
        marks.append(rule(begin, y + 6.0 * MM, width - begin))
        y += 6.0 * MM
    y += MM
    side = 8.0 * MM
    middle = width * 0.42
    for x, words, room in ((0.0, "Bench test", middle), (middle, tested_words(kit), width)):
        marks.append(box(x, y, side, side, "none", 6.0))
        text = paragraph(words, room - x - side - MM, most=2)
        marks += text.moved(x + side + MM, y + (side - text.height) / 2)
    return [Piece(y + side, tuple(marks))]
