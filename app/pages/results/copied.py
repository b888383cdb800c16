"""Figures on the clipboard: as text with tabs for a sheet or a letter, or as CSV."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtWidgets import QApplication

from app.widgets.tokens import station_style
from model.files.csv_table import csv_text
from model.support.figures import MINUS
from model.verdict.results import Result
from model.verdict.table import Row, Verdict

Table = tuple[list[str], list[list[object]]]


def copy_table(table: Table, *, as_csv: bool) -> None:
    """Put a table on the clipboard."""
    heads, rows = table
    text = csv_text(heads, rows, parted_by="," if as_csv else "\t")
    QApplication.clipboard().setText(text)


def results_table(rows: Sequence[Result], names: Sequence[str]) -> Table:
    """Return the results: what each is, and its figure of each station with what belongs to it."""
    cells: list[list[object]] = [
        [row.full_label, *(figure.words for figure in row.figures)] for row in rows
    ]
    return ["Result", *heads_of(names)], cells


def figures_table(verdict: Verdict) -> Table:
    """Return all figures as numbers with their unit; times of day stay words, lengths are hours."""
    names = [line.name for line in verdict.lines]
    letters = [station_style(index).letter for index in range(len(names))]
    heads = ["Figure", "Unit", *heads_of(names), *(f"{each} {MINUS} A" for each in letters[1:])]
    return heads, [_cells(row) for row in verdict.rows]


def heads_of(names: Sequence[str]) -> list[str]:
    """Return what stands over the column of each station."""
    return [f"{station_style(at).letter}, {name}" for at, name in enumerate(names)]


def _cells(row: Row) -> list[object]:
    is_time = row.unit == "time"
    figures: list[object] = [
        text if is_time or value is None else round(value, row.decimals)
        for value, text in zip(row.values, row.texts, strict=True)
    ]
    places = 2 if is_time else row.decimals
    apart: list[object] = [
        "" if difference is None else round(difference, places) for difference in row.differences
    ]
    return [row.label, "h" if is_time else row.unit, *figures, *apart]
