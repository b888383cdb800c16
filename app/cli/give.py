"""Answers of one call: made, and given as text, as JSON, as a table with a row a station."""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator, Sequence
from typing import Any

from app.cli.answers import Answer, Work
from app.cli.cases import Case
from app.cli.columns import LESSON
from app.cli.outputs import tell, write_text
from model.files.csv_table import csv_file


def answered(work: Work, cases: Sequence[Case]) -> Iterator[Answer]:
    """Yield the answer to each case in order; several are made side by side.

    Raises
    ------
    OutputError
        When a process ends before its answer.
    """
    if len(cases) < 2:
        yield from map(work, cases)
        return
    # Only a call for several needs what starts processes.
    from app.cli.processes import side_by_side

    yield from side_by_side(work, cases)


def give(
    answers: Iterable[Answer],
    *,
    json_out: str | None = None,
    csv_out: str | None = None,
    summary_out: str | None = None,
    columns: Sequence[str] = (),
) -> int:
    """Write what was asked for and print the rest; return 2 where a case has faults, else 0.

    Text is printed unless standard output is taken or a summary stands for it. Nothing is written
    where no case could be run.

    Parameters
    ----------
    columns : of the summary, by the keys of a station's data; those in a table parted by points.
    """
    code = 0
    is_printed = summary_out is None and "-" not in (json_out, csv_out)
    kept: list[Answer] = []
    said: set[str] = set()
    for answer in answers:
        tell_new(answer, said)
        if answer.data is None:
            code = 2
            continue
        if is_printed:
            write_text(_text(answer, is_first=not kept), "-")
        kept.append(answer)
    if not kept:
        return code
    if json_out is not None:
        write_text(_json(kept), json_out)
    if csv_out is not None:
        write_text(kept[0].minutes, csv_out)
    if summary_out is not None:
        write_text(summary(kept, columns), summary_out)
    return code


def give_checks(answers: Iterable[Answer], summary_out: str | None) -> int:
    """Print what is wrong with lessons, or a line for each; return 2 if anything is, else 0."""
    kept: list[Answer] = []
    said: set[str] = set()
    for answer in answers:
        tell_new(answer, said)
        if not answer.faults and summary_out is None:
            name = f"{answer.case.name}: " if answer.case.is_one_of_many else ""
            write_text(f"{name}{answer.text}", "-")
        kept.append(answer)
    if summary_out is not None:
        rows = ([each.case.file, *((each.data or {})[key] for key in LESSON)] for each in kept)
        write_text(csv_file(["file", *LESSON], rows), summary_out)
    return 2 if any(answer.faults for answer in kept) else 0


def tell_new(answer: Answer, said: set[str]) -> None:
    """Say what was remarked and what is wrong, unless it was said of another case."""
    name = f"{answer.case.name}: " if answer.case.is_one_of_many else ""
    faults = (f"{'' if fault.startswith(name) else name}{fault}" for fault in answer.faults)
    for line in (*answer.remarks, *faults):
        if line not in said:
            said.add(line)
            tell(line)


def summary(answers: Sequence[Answer], columns: Sequence[str]) -> str:
    """Return a row for each station of each case as CSV, between its file and its input mark."""
    swept = [path for path, _ in answers[0].case.swept]
    heads = ["file", *swept, "station", *columns, "input_mark"]
    return csv_file(heads, (row for answer in answers for row in _rows(answer, columns)))


def _rows(answer: Answer, columns: Sequence[str]) -> Iterator[list[Any]]:
    data = answer.data or {}
    before = [answer.case.file, *(float(value) for _, value in answer.case.swept)]
    for station in data["stations"]:
        yield [*before, station["name"], *(at(station, key) for key in columns), data["input_mark"]]


def at(data: Any, key: str) -> Any:
    """Return the member that a key with points leads to."""
    for part in key.split("."):
        data = data[part]
    return data


def _text(answer: Answer, *, is_first: bool) -> str:
    if not answer.case.is_one_of_many:
        return answer.text
    title = answer.case.title
    return f"{'' if is_first else chr(10)}{title}\n{'-' * len(title)}\n{answer.text}"


def _json(answers: Sequence[Answer]) -> str:
    """Return one document laid out for reading; of several, one on each line."""
    if not answers[0].case.is_one_of_many:
        return _dumped(answers[0].data, indent=2)
    return "".join(_dumped(answer.data, indent=None) for answer in answers)


def _dumped(data: Any, indent: int | None) -> str:
    return json.dumps(data, indent=indent, ensure_ascii=False, allow_nan=False) + "\n"
