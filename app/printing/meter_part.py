"""The meter card: what should be read, with its band; and what to do if one thing fails."""

from __future__ import annotations

from datetime import date

from app.printing.marks import MM, Piece
from app.printing.say import Blank, Cell, Say, hours
from app.printing.table import Column, table_parts
from app.printing.type import paragraph
from app.widgets.number_text import fixed
from model.export.kit_page import Kit, KitResults
from model.results.expected_readings import Reading
from model.support.figures import day_text, entered, percent

WRITING = 6.8 * MM


def meter_body(kit: Kit, results: KitResults, say: Say, width: float) -> list[Piece]:
    """Return expected values with their bands, each with a blank for what was read."""
    rows: list[list[Cell]] = [_reading(reading, say) for reading in results.readings]
    if kit.station.panel is not None and kit.station.controller is not None:
        rows.append(["Noise, panel covered, S-units\nuncovered, same reading", Blank()])
    read = 16.0 * MM
    columns = [Column(width - read - 1.6 * MM, lines=6), Column(read)]
    head = ("Expected (agrees within)", "Measured")
    listed = table_parts(columns, rows, head, least_height=WRITING)
    return [*listed, *_notes(kit, results, say, width)]


def brief_meter_body(kit: Kit, results: KitResults, say: Say, width: float) -> list[Piece]:
    """Return the same without blanks, which the field log has too."""
    lines = "; ".join(expected_words(results, say))
    return [paragraph(f"{lines}.", width), *_notes(kit, results, say, width)]


def expected_words(results: KitResults, say: Say) -> list[str]:
    """Return what should be read, each with its band in one line."""
    told = [_reading(reading, say)[0] for reading in results.readings]
    return [": ".join(cell.split("\n")) for cell in told if isinstance(cell, str)]


def _notes(kit: Kit, results: KitResults, say: Say, width: float) -> list[Piece]:
    words = (_volts(results, say), doubt(kit), tested_words(kit))
    return [paragraph(" ".join(words), width)]


def _reading(reading: Reading, say: Say) -> list[Cell]:
    places = reading.decimals
    expected = fixed(reading.expected, places, reading.unit)
    band = f" ({fixed(reading.low, places)} to {fixed(reading.high, places)})"
    if reading.predicted and say.variant == "class":
        expected, band = f"guess ______ {reading.unit}", ""
    words = f"{reading.what}, {reading.how}" if reading.how else reading.what
    return [f"{words}\n{expected}{band}", Blank()]


def _volts(results: KitResults, say: Say) -> str:
    """Return the voltage at the radio with the key down, over the run."""
    volts = results.run.transmit_volts
    least = results.run.station.radio.supply_min_v
    need = f" Full power needs {fixed(least, 1, 'V')}." if least else ""
    if volts.first is None or volts.lowest is None or volts.at is None:
        return "No transmission planned: no key-down voltage." + need
    if say.variant == "class":
        return f"Radio, key down, lowest: guess ________ V.{need}"
    return (
        f"Radio, key down: {fixed(volts.first, 2, 'V')} at first, {fixed(volts.lowest, 2, 'V')}"
        f" at the lowest, {say.at(volts.at)}.{need}"
    )


def doubt(kit: Kit) -> str:
    """Return what a resting voltage can and cannot tell."""
    band, chemistry = kit.doubt, kit.station.battery.chemistry
    return (
        f"Even after 30 minutes at rest {chemistry} at {fixed(band.reading_v, 1)} ±"
        f" {entered(0.1, 'V')} may hold {percent(band.low_fraction)} to"
        f" {percent(band.high_fraction)}: count Ah."
    )


def tested_words(kit: Kit) -> str:
    """Return when the test of the capacity is due."""
    if kit.test_due is None:
        return "Capacity test due: never done."
    return f"Capacity test due {_day(kit.test_due)}."


def _day(day: date) -> str:
    return f"{day_text(day)} {day.year}"


def spares_body(results: KitResults, say: Say, width: float) -> list[Piece]:
    """Return the parts whose failure is felt most, and what to do then."""
    return [paragraph(text, width) for text in _spares(results, say)]


def brief_spares_body(results: KitResults, say: Say, width: float) -> list[Piece]:
    """Return the same in one run of words."""
    return [paragraph(" ".join(_spares(results, say)), width)]


def _spares(results: KitResults, say: Say) -> list[str]:
    texts = []
    for point in results.weak_points:
        extra = []
        if point.loss_db is not None:
            extra.append(f"{fixed(point.loss_db, 1, 'dB')} less")
        if point.hours_left_h is not None and say.variant != "class":
            extra.append(f"{hours(point.hours_left_h)} of receive from full")
        after = f" ({', '.join(extra)})" if extra else ""
        texts.append(say.words(f"{point.part}: {point.ends} ends{after}; {point.then}."))
    return texts
