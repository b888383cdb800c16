"""What a class has said as a table, one row for each thing said."""

from __future__ import annotations

from collections.abc import Iterator

from app.classroom.kept import Kept, Said
from app.classroom.programme import Programme
from model.files.csv_table import csv_file
from model.lessons.run import CURVE_STEP_H, letter

HEADS = ("class", "begun", "question", "asked", "what", "round", "of", "value", "at")
Row = tuple[object, ...]


def record_csv(programme: Programme, kept: Kept) -> str:
    """Return the guesses, votes, reasons, curves and readings of a class as CSV."""
    rows: list[Row] = []
    for question in programme.questions:
        said = kept.said.get(question.key)
        if said is not None:
            head = (kept.title, kept.begun, question.key, question.step.question)
            rows += [(*head, *row) for row in _rows(said)]
    return csv_file(HEADS, rows)


def _rows(said: Said) -> Iterator[Row]:
    for which in (1, 2):
        for line in said.lines.get(which, []):
            yield "guesses", which, line.people, line.text, ""
        for index, count in enumerate(said.votes.get(which, [])):
            yield "hands", which, letter(index), count, ""
        for index, height in enumerate(said.curves.get(which, [])):
            yield "curve", which, f"hour {index * CURVE_STEP_H:g}", round(height, 4), ""
    for index, count in enumerate(said.reasons):
        yield "reason", "", letter(index), count, ""
    if said.measured is not None:
        yield "measured", "", "", said.measured.text or "no meter", said.measured.at
