"""A log as text: as it is copied into a sheet and pasted from one."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta
from typing import Any

from model.editing.faults import ScenarioError
from model.editing.paths import with_inserted
from model.engine.run import StationRun
from model.field.field_words import EVENT_WORDS
from model.field.logger_table import number_of, read_table
from model.files.column_mapping import Column, MappingError, mapped
from model.files.csv_table import csv_text, unguarded
from model.scenario.scenario import Scenario
from model.scenario.station import DAYS_OF_LOG, FieldReading
from model.support.figures import day_text

# Heads as a copied log has them, and what other heads for the same begin with.
COLUMNS = (
    Column("day", ("Date",), like=r"^\s*(day|date)", is_needed=False),
    Column("at", ("Time",), like=r"^\s*(time|clock|at\b(?! rest))", is_needed=False),
    Column("used_ah", ("Used since full, Ah",), like=r"^\s*(used|ah|counter)", is_needed=False),
    Column("battery_v", ("Battery voltage, V",), like=r"^\s*(battery|v)", is_needed=False),
    Column("at_rest", ("At rest",), like=r"^\s*(at )?rest", is_needed=False),
    Column("panel_a", ("Panel current, A",), like=r"^\s*(panel|sun)", is_needed=False),
    Column("load_a", ("Load current, A",), like=r"^\s*(load|draw)", is_needed=False),
    Column("event", ("Seen",), like=r"^\s*(seen|event)", is_needed=False),
    Column("note", ("Note",), like=r"^\s*(note|remark)", is_needed=False),
)
HEADS = tuple(column.headings[0] for column in COLUMNS)
NUMBERS = ("used_ah", "battery_v", "panel_a", "load_a")
YES = {"yes", "y", "true", "1", "x"}


def log_text(run: StationRun, readings: Sequence[FieldReading]) -> str:
    """Return a log with tabs between its columns, as a sheet takes it."""
    return csv_text(HEADS, [cells_of(run, each) for each in readings], None, parted_by="\t")


def cells_of(run: StationRun, reading: FieldReading) -> list[str]:
    """Return what stands in each column of a reading; empty where nothing was read."""
    table: dict[str, Any] = reading.model_dump()
    table["day"] = day_text(run.trip.date + timedelta(days=reading.day - 1))
    table["at_rest"] = "yes" if reading.at_rest else ""
    table["event"] = "" if reading.event == "none" else EVENT_WORDS[reading.event]
    values = [table[column.key] for column in COLUMNS]
    return ["" if value is None else f"{value:g}" if isinstance(value, float) else str(value)
            for value in values]  # fmt: skip


def read_log_text(
    run: StationRun, scenario: Scenario, text: str
) -> tuple[tuple[FieldReading, ...], tuple[str, ...]]:
    """Return the readings of a pasted table, and a line for each row that is none.

    Columns are known by their heads, in any order; without heads they stand as in a copied log.
    """
    try:
        table = read_table(text, keeps_short=True)
    except ScenarioError:
        return (), (
            "A log has a row for each reading and two columns or more: date, time, numbers.",
        )
    try:
        places = mapped(table.heads, COLUMNS)
    except MappingError as error:
        return (), (f"The table {error}.",)
    if len(places) < 2:
        places = {column.key: place for place, column in enumerate(COLUMNS)}
    readings, faults = [], []
    for number, row in enumerate(table.rows, start=1):
        given = {key: unguarded(row[at]) for key, at in places.items() if at < len(row)}
        made = reading_of(run, scenario, given)
        if isinstance(made, str):
            faults.append(f"Row {number}: {made}")
        else:
            readings.append(made)
    return tuple(readings), tuple(faults)


def reading_of(run: StationRun, scenario: Scenario, cells: dict[str, str]) -> FieldReading | str:
    """Return the reading that texts by its keys make, or why they make none."""
    table: dict[str, Any] = {"at": _clock(cells.get("at", ""))}
    day = _day(run, cells.get("day", ""))
    if day is None:
        return f"the date {cells['day']!r} is not one of the run."
    table["day"] = day
    for key in NUMBERS:
        text = cells.get(key, "").strip()
        if text:
            value = number_of(text.rstrip("AhV ").strip())
            if value is None:
                return f"{text!r} is not understood as a number."
            table[key] = value
    table["at_rest"] = cells.get("at_rest", "").strip().lower() in YES
    table["note"] = cells.get("note", "").strip()
    event = _event(cells.get("event", ""))
    if event is None:
        return f"{cells['event']!r} is none of: {', '.join(EVENT_WORDS.values())}."
    table["event"] = event
    if event == "none" and not any(key in table for key in NUMBERS):
        return "nothing was read."
    try:
        tried = with_inserted(scenario, "stations.0.readings", 0, table)
    except ScenarioError as error:
        return f"{error.faults[0].message}."
    return tried.stations[0].readings[0]


def _clock(text: str) -> str:
    """Return ``7:05`` and ``07.05`` as ``07:05``; anything else as it was typed."""
    plain = text.strip().replace(".", ":")
    parts = plain.split(":")
    if len(parts) in (2, 3) and all(part.isdigit() for part in parts):
        return f"{int(parts[0]):02d}:{int(parts[1]):02d}"
    return plain


def _event(text: str) -> str | None:
    plain = text.strip().lower()
    if not plain:
        return "none"
    return next((event for event, words in EVENT_WORDS.items() if plain in (event, words)), None)


def _day(run: StationRun, text: str) -> int | None:
    """Return the day of the log that a text means, counted from 1; an empty one is the first."""
    plain = text.strip().lower()
    if not plain:
        return 1
    if plain.isdigit() and 1 <= int(plain) <= DAYS_OF_LOG:
        return int(plain)
    for number in range(DAYS_OF_LOG):
        at: date = run.trip.date + timedelta(days=number)
        spelled = {day_text(at), at.isoformat(), f"{at.day}.{at.month}.", f"{at:%d.%m.%Y}"}
        if plain in {each.lower() for each in spelled}:
            return number + 1
    return None
