"""What the meter should read, what may fail, and who has checked it."""

from __future__ import annotations

from app.number_text import fixed, percent
from app.page.energy_part import tested_words
from app.page.marks import MM, Mark, Piece, box, rule, stacked
from app.page.say import Blank, Cell, Say, hours
from app.page.table import Column, table
from app.page.type import line_height, line_of, paragraph, width_of
from model.kit import Kit, KitResults
from model.readings import CheckPoint, Reading

WRITING = 7.2 * MM
WEAK_SHOWN = 5


def readings_body(kit: Kit, results: KitResults, say: Say, width: float) -> Piece:
    """Return expected values with their bands, each with a blank for what was read."""
    rows: list[list[Cell]] = [_reading(reading, say) for reading in results.readings]
    rows += [_check_point(point, say) for point in results.check_points]
    rows.append(["Noise, S-units, panel covered: the same uncovered", Blank()])
    read = 14.0 * MM
    columns = [Column(width - read - 1.6 * MM, lines=3), Column(read)]
    head = ("Measure: expected (agrees within)", "Read")
    listed = table(columns, rows, header=head, least_height=WRITING)
    return stacked(listed, paragraph(_doubt(kit), width), gap=0.6 * MM)


def _reading(reading: Reading, say: Say) -> list[Cell]:
    places = reading.decimals
    expected = f"{fixed(reading.expected, places)} {reading.unit}"
    band = f" ({fixed(reading.low, places)} to {fixed(reading.high, places)})"
    if reading.predicted and say.variant == "class":
        expected, band = f"guess ______ {reading.unit}", ""
    words = f"{reading.what}, {reading.how}: "
    return [words + expected + band, Blank()]


def _check_point(point: CheckPoint, say: Say) -> list[Cell]:
    low, high = sorted((point.clear_ah, point.overcast_ah))
    expected = f"{fixed(point.planned_ah, 1)} Ah ({fixed(low, 1)} to {fixed(high, 1)})"
    if say.variant == "class":
        expected = "guess ______ Ah"
    return [f"Used since full by {say.at(point.at)}: {expected}", Blank()]


def _doubt(kit: Kit) -> str:
    band, chemistry = kit.doubt, kit.station.battery.chemistry
    return (
        f"Volts tell something only after 30 minutes at rest, and then little: {chemistry} at"
        f" {fixed(band.reading_v, 1)} ± 0.1 V may hold {percent(band.low_fraction)} to"
        f" {percent(band.high_fraction)}. Count Ah."
    )


def weak_body(results: KitResults, say: Say, width: float) -> Piece:
    """Return the parts whose failure is felt most, and what to do then."""
    pieces = []
    for point in results.weak_points[:WEAK_SHOWN]:
        extra = []
        if point.loss_db is not None:
            extra.append(f"{fixed(point.loss_db, 1)} dB less")
        if point.hours_left_h is not None and say.variant != "class":
            extra.append(f"{hours(point.hours_left_h)} of receive from full")
        after = f" ({', '.join(extra)})" if extra else ""
        pieces.append(paragraph(f"{point.part} fails: {point.ends} ends{after}. Then {point.then}.", width))
    return stacked(*pieces, gap=0.4 * MM)


def sign_body(kit: Kit, width: float) -> Piece:
    """Return the lines to sign, the boxes to tick, and when the capacity test is due."""
    half = (width - 3 * MM) / 2
    marks: list[Mark] = []
    y = 0.0
    for left, right in (("Packed by", "Date"), ("Checked by", "Date")):
        for x, name in ((0.0, left), (half + 3 * MM, right)):
            marks += line_of(name, x).moved(0.0, y + 7.5 * MM - line_height())
            begin = x + width_of(name) + MM
            marks.append(rule(begin, y + 7.5 * MM, x + half - begin))
        y += 7.5 * MM
    y += 1.2 * MM
    side = 8.0 * MM
    for x, name in ((0.0, "Bench-tested"), (half + 3 * MM, "Capacity tested")):
        marks.append(box(x, y, side, side, "none", 6.0))
        marks += line_of(name, x + side + 1.4 * MM, height=side).moved(0.0, y)
    y += side
    due = paragraph(tested_words(kit), width)
    return stacked(Piece(y, tuple(marks)), due, gap=0.6 * MM)
