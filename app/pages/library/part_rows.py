"""The parts of the library in rows: name, kind, the numbers that matter, mass."""

from __future__ import annotations

from app.pages.library.part_numbers import numbers
from app.state.display import Display
from app.widgets.table_model import TableRow
from model.library.catalogue import KIND_LABELS, kind_of
from model.scenario.station import Part

COLUMNS = ("Name", "Kind", "Numbers", "Mass")
TEXT_COLUMNS = range(len(COLUMNS) - 1)


def part_rows(parts: tuple[Part, ...], display: Display) -> list[TableRow]:
    """Return a row for each part; one that stays keeps its place, so that a choice stays too."""
    return [
        TableRow(
            (
                " ".join(part.name.split()),
                KIND_LABELS[kind_of(part)],
                numbers(part, display),
                display.entered(part.mass_kg, "kg", 2) if part.mass_kg else "",
            ),
            key=(kind_of(part), part.name),
        )
        for part in parts
    ]
