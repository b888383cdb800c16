"""In which numbers two parts, or two stations, differ, in words."""

from __future__ import annotations

from typing import Any

from app.editors.fields.source import source_words
from app.state.display import Display
from app.widgets.number_text import entered_texts, shown_as
from model.editing.field_facts import FieldFacts, field_at
from model.library.catalogue import KINDS, LISTS, DifferenceRow, difference, kind_of
from model.library.store import place_in_station
from model.scenario.declare import Source
from model.scenario.station import Part, Station
from model.support.figures import entered, with_unit

NONE = "–"


def value_words(value: Any, facts: FieldFacts, display: Display) -> str:
    """Return a field's value as read in a line of text, with its unit."""
    if value is None:
        return NONE
    if isinstance(value, bool):
        return "yes" if value else "no"
    if facts.kind in ("number", "whole"):
        shown = shown_as(facts, us=display.is_us)
        (text,) = entered_texts((value,), shown)
        return with_unit(text, shown.unit)
    if facts.kind == "points":
        first, *_, last = facts.unit.split(", ")
        return ", ".join(f"{entered(x, first)}: {entered(y, last)}" for x, y in value) or NONE
    if facts.kind == "hours" and not isinstance(value, str):
        return ", ".join(f"{start} to {end}" for start, end in value) or "never"
    if facts.kind == "shade":
        return ", ".join(f"{start} to {end}: {left:g}" for start, end, left in value) or NONE
    return str(value) or NONE


def row_words(row: DifferenceRow, part: Part, display: Display) -> tuple[str, str, str]:
    """Return label, before and after of one row of a difference."""
    if isinstance(row.before, Source) or isinstance(row.after, Source):
        before, after = (
            source_words(each, None) if isinstance(each, Source) else NONE
            for each in (row.before, row.after)
        )
        return row.label, before, after
    facts = field_at(f"{place_in_station(kind_of(part))}.{row.field}")
    if facts.kind in ("number", "whole") and None not in (row.before, row.after):
        shown = shown_as(facts, us=display.is_us)
        texts = entered_texts((row.before, row.after), shown)
        before, after = (with_unit(text, shown.unit) for text in texts)
        return row.label, before, after
    return (
        row.label,
        value_words(row.before, facts, display),
        value_words(row.after, facts, display),
    )


def difference_lines(old: Part, new: Part, display: Display) -> list[str]:
    """Return one line for each number in which two parts differ; sources are left out."""
    rows = [row for row in difference(old, new) if not row.field.startswith("sources.")]
    words = [row_words(row, new, display) for row in rows]
    owner = " ".join(new.name.split()) or kind_of(new)
    return [f"{owner}: {label} {before} → {after}" for label, before, after in words]


def station_lines(old: Station, new: Station, display: Display) -> list[str]:
    """Return one line for each number in which the parts of two stations differ."""
    lines: list[str] = []
    for slot in (each for each in KINDS if each in Station.model_fields):
        before, after = getattr(old, slot), getattr(new, slot)
        if before is not None and after is not None:
            lines += difference_lines(before, after, display)
    for name in LISTS.values():
        for before, after in zip(getattr(old, name), getattr(new, name), strict=False):
            lines += difference_lines(before, after, display)
    return lines
