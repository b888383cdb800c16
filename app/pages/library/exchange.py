"""Parts from and to a file: TOML as a library keeps it, or a table for a spreadsheet."""

from __future__ import annotations

from pathlib import Path

from app.work.disk import is_wanted, reading, saving
from model.files.scenario_file import read_bytes, write_text
from model.library.parts_csv import dump_csv, read_csv
from model.library.store import dump_parts, parse_parts
from model.scenario.station import Part


def read_parts(path: Path) -> tuple[tuple[Part, ...], tuple[str, ...]]:
    """Return the parts a file offers, and what was refused, line by line.

    Raises ScenarioError when the file cannot be read at all.
    """
    data = reading(read_bytes, path)
    if path.suffix.casefold() in (".csv", ".tsv", ".txt"):
        table = read_csv(data)
        return table.parts, tuple(str(each) for each in table.refusals)
    listed = parse_parts(data)
    return listed.parts, tuple(fault.at_line for fault in listed.faults)


def write_parts(parts: tuple[Part, ...], path: Path) -> None:
    """Write parts to a file, as a table where its name ends in .csv; raises SaveError."""
    is_table = path.suffix.casefold() == ".csv"
    text = dump_csv(parts) if is_table else dump_parts(parts)
    saving(lambda: write_text(text, path, is_wanted), path)
