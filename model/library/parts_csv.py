"""Parts as a table for a spreadsheet, and back: one line a part, one column a field.

Lists and sources stand in a cell as JSON. What the writer puts in front of text that a spreadsheet
would take for a formula, reading takes off again.
"""

from __future__ import annotations

import csv
import json
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from typing import Any

from model.editing.faults import ScenarioError
from model.editing.field_facts import FieldFacts, field_at, is_index
from model.editing.units import EntryError, read_entry
from model.files.csv_table import csv_file, unguarded
from model.files.scenario_file import text_of
from model.library.catalogue import CLASSES, KINDS, PARTS_LIMIT, Kind, kind_of
from model.library.store import place_in_station, read_part
from model.scenario.station import Part

REFUSALS_LIMIT = 100
# Several times what all kinds together have.
COLUMNS_LIMIT = 500
LINES_LIMIT = PARTS_LIMIT * len(KINDS)
_FIXED = ("part", "name")


@dataclass(frozen=True)
class Refusal:
    """One line of a table that was refused, and why."""

    line: int
    reason: str

    def __str__(self) -> str:
        return f"line {self.line}: {self.reason}"


@dataclass(frozen=True)
class CsvRead:
    """The parts that a table offers, and the lines that were refused."""

    parts: tuple[Part, ...]
    refusals: tuple[Refusal, ...]


def dump_csv(parts: tuple[Part, ...]) -> str:
    """Return parts as comma-separated text, with the columns their kinds need."""
    kinds = {kind_of(part) for part in parts}
    columns = _columns(kind for kind in KINDS if kind in kinds)
    rows = []
    for part in parts:
        kind = kind_of(part)
        held = part.model_dump(mode="json", exclude_defaults=True, by_alias=True) | {"part": kind}
        rows.append([_cell(held.get(column)) for column in columns])
    return csv_file(columns, rows, digits=None)


def _columns(kinds: Iterator[Kind]) -> list[str]:
    columns = list(_FIXED)
    for kind in kinds:
        columns += [key for key in _keys(kind) if key not in columns]
    return [column for column in columns if column != "sources"] + ["sources"]


def _keys(kind: Kind) -> list[str]:
    return [info.alias or name for name, info in CLASSES[kind].model_fields.items()]


def _cell(value: Any) -> Any:
    if isinstance(value, list | dict):
        return json.dumps(value, ensure_ascii=False).replace(";", "\\u003b")
    return value


def read_csv(data: bytes) -> CsvRead:
    """Return the parts in a table; each line that is refused is named with its reason.

    Commas, semicolons and tabs may separate the cells; numbers may have a decimal comma, and a
    unit of their own.

    Raises
    ------
    ScenarioError
        When the bytes are no text at all, or too many.
    """
    lines = text_of(data).replace("\r", "\n").split("\n")
    first = 1 if lines[0].casefold().startswith("sep=") else 0
    if first >= len(lines) or not lines[first].strip():
        return CsvRead((), (Refusal(first + 1, "the columns are missing: part, name, ..."),))
    separator = max(",;\t", key=lines[first].count)
    refusals: list[Refusal] = []
    columns = _header(lines[first], separator, first + 1, refusals)
    parts: list[Part] = []
    for number, line in enumerate(lines[first + 1 :] if columns else (), start=first + 2):
        if not line.strip(f'{separator} "'):
            continue
        if number > LINES_LIMIT or len(refusals) >= REFUSALS_LIMIT:
            refusals.append(Refusal(number, "the rest was not read: too many lines or faults"))
            break
        part, reason = _part_or_reason(line, separator, columns, parts)
        if part is not None:
            parts.append(part)
        else:
            refusals.append(Refusal(number, reason))
    return CsvRead(tuple(parts), tuple(refusals))


def _header(line: str, separator: str, number: int, refusals: list[Refusal]) -> list[str]:
    """Return the columns; one that is unknown is named and becomes empty."""
    try:
        columns = [cell.strip() for cell in _cells(line, separator)]
    except csv.Error:
        columns = []
    known = set(_columns(iter(KINDS)))
    if "part" not in columns or "name" not in columns:
        refusals.append(Refusal(number, "the columns part and name are needed"))
        return []
    if len(columns) > COLUMNS_LIMIT:
        refusals.append(Refusal(number, f"has {len(columns)} columns, more than parts can have"))
        return []
    doubled = sorted({column for column in columns if column and columns.count(column) > 1})
    if doubled:
        refusals.append(Refusal(number, f"the column {_quoted(doubled[0])} stands there twice"))
        return []
    refusals += [
        Refusal(number, f"the column {_quoted(column)} is unknown; left out")
        for column in columns
        if column and column not in known
    ]
    return [column if column in known else "" for column in columns]


def _cells(line: str, separator: str) -> list[str]:
    [cells] = csv.reader([line], delimiter=separator, strict=True)
    return cells


def _part_or_reason(
    line: str, separator: str, columns: list[str], before: list[Part]
) -> tuple[Part | None, str]:
    try:
        cells = _cells(line, separator)
    except (csv.Error, ValueError):
        return None, "its quotes are not in pairs, or a cell is too long"
    if len(cells) > len(columns) and any(cell.strip() for cell in cells[len(columns) :]):
        return None, f"has {len(cells)} cells for {len(columns)} columns"
    filled = {
        column: cell.strip()
        for column, cell in zip(columns, cells, strict=False)
        if column and cell.strip()
    }
    kind = next((kind for kind in KINDS if kind == filled.get("part")), None)
    if kind is None:
        return None, f"part: must be one of {', '.join(KINDS)}, got {_quoted(filled.get('part'))}"
    try:
        table = {key: _value(kind, key, cell) for key, cell in filled.items() if key != "part"}
        part = read_part(kind, table, kind)
    except EntryError as error:
        return None, str(error)
    except ScenarioError as error:
        return None, "; ".join(str(fault).removeprefix(f"{kind}.") for fault in error.faults[:5])
    if any(other.name == part.name and kind_of(other) == kind for other in before):
        return None, f"name: {_quoted(part.name)} stands on an earlier line"
    return part, ""


def _value(kind: Kind, key: str, cell: str) -> Any:
    if key == "sources":
        return _sources(cell)
    try:
        facts = field_at(f"{place_in_station(kind)}.{key}")
    except KeyError:
        raise EntryError(f"{key}: a {kind} has no such field, leave the cell empty") from None
    try:
        return _read_as(facts, unguarded(cell))
    except (EntryError, ValueError, RecursionError) as error:
        words = str(error) if isinstance(error, EntryError) else f"{_quoted(cell)} cannot be read"
        raise EntryError(f"{key}: {words}") from None


def _read_as(facts: FieldFacts, cell: str) -> Any:
    if facts.kind in ("number", "whole"):
        value = read_entry(cell, facts.unit).value
        return int(value) if facts.kind == "whole" and value.is_integer() else value
    if facts.kind == "flag":
        known = {"true": True, "yes": True, "1": True, "false": False, "no": False, "0": False}
        return known.get(cell.casefold(), cell)
    if facts.kind in ("points", "hours", "shade"):
        return json.loads(cell) if cell.startswith("[") else cell
    if facts.kind == "choice" and is_index(cell):
        return int(cell)
    return cell


def _sources(cell: str) -> Any:
    try:
        table = json.loads(cell)
        for source in table.values():
            if "on" in source:
                source["on"] = date.fromisoformat(source["on"])
    except (ValueError, TypeError, AttributeError, RecursionError):
        raise EntryError(
            'sources: must read like {"receive_a": {"from": "measured", "on": "2027-03-01"}}'
        ) from None
    return table


def _quoted(text: str | None) -> str:
    shown = "".join(mark if mark.isprintable() else "?" for mark in (text or "")[:24])
    return f'"{shown}"' if shown else "nothing"
