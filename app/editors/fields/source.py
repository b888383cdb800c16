"""Where a number comes from, as the document holds it and in words."""

from __future__ import annotations

from typing import Any

from app.editors.fields.editor import fault_words
from app.state.edit_context import Desk
from model.editing.faults import ScenarioError
from model.editing.field_facts import place_words
from model.editing.paths import value_at, with_value
from model.scenario.declare import Source
from model.scenario.station import GUESS
from model.support.figures import percent

# What a number may come from, and what that is called.
ORIGINS = (("measured", "measured"), ("datasheet", "from a datasheet"), ("guess", "a guess"))


def source_at(desk: Desk, path: str) -> Source:
    """Return the source of the number at a path; a guess unless said otherwise."""
    parent, _, name = path.rpartition(".")
    try:
        found = value_at(desk.document.scenario, f"{parent}.sources.{name}")
    except KeyError:
        return GUESS
    return found if isinstance(found, Source) else GUESS


def write_source(desk: Desk, path: str, source: dict[str, Any]) -> str:
    """Ask the document for another source; return why it is refused, or nothing."""
    parent, _, name = path.rpartition(".")
    sources = f"{parent}.sources"
    try:
        held = value_at(desk.document.scenario, sources)
        table = {key: item for key, item in held if key != name} | {name: source}
        changed = with_value(desk.document.scenario, sources, table)
    except ScenarioError as error:
        return fault_words(error.faults)
    desk.document.replace(f"source of {place_words(path)}", changed, f"{sources}.{name}")
    return ""


def table_of(source: Source) -> dict[str, Any]:
    """Return a source as the table a file holds."""
    return source.model_dump(exclude_none=True, exclude_defaults=True, by_alias=True)


def source_words(source: Source, usual_spread: float | None) -> str:
    """Return a source in words: ``measured on 2027-03-01, ±5 %``."""
    words = {"measured": "measured", "datasheet": "from a datasheet", "guess": "a guess"}
    text = words[source.origin]
    if source.on is not None:
        text += f" on {source.on.isoformat()}"
    spread = source.spread if source.spread is not None else usual_spread
    if source.origin == "guess" or source.spread is not None:
        text += f", ±{percent(spread)}" if spread else ""
    return f"{text}. {source.note}" if source.note else text
