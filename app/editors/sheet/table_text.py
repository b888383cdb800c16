"""The sheet as text, to be pasted elsewhere."""

from __future__ import annotations

from app.editors.sheet.model import SheetModel
from model.files.csv_table import csv_text
from model.results.wording import heading_at


def table_text(sheet: SheetModel, *, parted_by: str) -> str:
    """Return the rows in sight without what is said of them, as text parted by tabs or commas."""
    columns = range(sheet.columnCount())
    heads = ["", *(heading_at(sheet.scenario, index) for index in columns)]
    rows = [
        [row.label, *(sheet.cell(place, column).text for column in columns)]
        for place, row in enumerate(sheet.rows)
        if not row.is_text and row.kind not in ("more", "add")
    ]
    return csv_text(heads, rows, parted_by=parted_by)
