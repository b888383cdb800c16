"""What stands in a cell of the sheet, what a click on it does, and how it is read aloud."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import Any, Literal

from app.editors.fields.source import source_words
from app.editors.fields.words import tip_of, word_of
from app.editors.part_words import headline, list_headline
from app.editors.sheet.rows import (
    SETTINGS,
    Row,
    beside_the_point,
    facts_of,
    headline_key,
    part_of,
    slot_of,
)
from app.state.display import Display
from app.widgets.number_text import awg_of, plain, quantity
from model.editing.field_facts import FieldFacts, field_at, in_sentence
from model.results.wording import letter, name_at
from model.scenario.kinds import KIND_OF_SLOT
from model.scenario.scenario import Scenario
from model.scenario.station import Lead, Station
from model.station.conductors import conductor_mm2
from model.support.figures import with_unit

# What is done with a cell: a number or a text is typed, a choice and states are picked, a flag is
# turned, rows are opened in a sheet of their own, and a part is chosen from the library.
Role = Literal["", "number", "text", "choice", "states", "flag", "rows", "part", "list", "add"]

NOTHING = "–"
MARKS = {"error": "✕", "warning": "▲", "hint": "•"}
# Where a sentence ends and another begins.
_FIRST = re.compile(r"(?<=\.) (?=[A-Z])")


@dataclass(frozen=True)
class Setting:
    """A setting of a part that stands in its row: its state, and ``was`` in what is held."""

    key: str
    state: str
    was: str = ""


@dataclass(frozen=True)
class Cell:
    """One cell.

    Attributes
    ----------
    key : of the field that is changed here, below the station; empty where none is.
    text : what stands there; ``typed`` without its unit, as it is typed.
    is_changed : against the scenario that is held.
    aside : said quietly at the left where there is room, and always in tip and aloud.
    value : of the field, or the part.
    settings : those that stand in the row of a part.
    """

    key: str = ""
    role: Role = ""
    text: str = NOTHING
    typed: str = ""
    aside: str = ""
    spoken: str = ""
    tip: str = ""
    value: Any = None
    level: str = ""
    is_quiet: bool = False
    is_guess: bool = False
    is_refused: bool = False
    is_changed: bool = False
    settings: tuple[Setting, ...] = ()


@dataclass(frozen=True)
class Said:
    """What is said beside a field of a station: how grave, and in which sentence."""

    level: str
    sentence: str

    @property
    def short(self) -> str:
        """The sentence as it stands under the field: of a hint only what it begins with."""
        return _FIRST.split(self.sentence)[0] if self.level == "hint" else self.sentence


@dataclass(frozen=True)
class Around:
    """What cells are made from.

    ``refused`` holds texts that could not be used, ``said`` what is said beside fields, both by key
    and station; ``held`` is the scenario to compare with.
    """

    scenario: Scenario
    display: Display
    refused: Mapping[tuple[str, int], str]
    said: Mapping[tuple[str, int], tuple[Said, ...]]
    held: Scenario | None = None


def cell_of(around: Around, row: Row, index: int) -> Cell:
    """Return a cell of a row in the column of a station, counted from 0."""
    station = around.scenario.stations[index]
    if row.kind in ("field", "name"):
        cell = _field(around, row.key, index)
    elif row.kind in ("slot", "entry"):
        cell = _part(around, row, index)
    elif row.kind == "list":
        slot = KIND_OF_SLOT[row.key]
        held = getattr(station, row.key)
        words = list_headline(slot, station, around.display)
        text = str(len(held)) if held else "none"
        cell = Cell("", "list", text, tip=words, value=held, is_quiet=not held)
    elif row.kind == "add":
        cell = Cell("", "add", "add…", is_quiet=True)
    else:
        return Cell("", "", "")
    return _with_words(around, row, index, cell)


def _field(around: Around, key: str, index: int) -> Cell:
    station = around.scenario.stations[index]
    if slot_of(key):
        part, name = part_of(station, key), key.rpartition(".")[2]
        if part is None:
            return Cell(is_quiet=True)
        value = getattr(part, _python_name(key))
        guess = can_have_source(key) and part.source_of(name).origin == "guess"
    else:
        part, value, guess = station, getattr(station, key), False
    facts = facts_of(key)
    refused = around.refused.get((key, index))
    if refused is not None:
        return Cell(key, _role(facts), refused, refused, value=value, is_refused=True)
    text, typed = _texts(around.display, facts, value)
    if key == "name":
        text = text or name_at(around.scenario, index)
    is_quiet = not text or _is_idle(around, part, key)
    if not text and isinstance(part, Lead):
        text = _other_gauge(part, key)
    return Cell(
        key, _role(facts), text or NOTHING, typed, value=value, is_quiet=is_quiet, is_guess=guess
    )


def _is_idle(around: Around, part: Any, key: str) -> bool:
    """Whether a field changes nothing as its part is now."""
    name = key.rpartition(".")[2]
    return bool(slot_of(key)) and name in beside_the_point(part, us=around.display.is_us)


@lru_cache(maxsize=1024)
def _python_name(key: str) -> str:
    name = key.rpartition(".")[2]
    part = KIND_OF_SLOT[slot_of(key)].part
    return next(n for n, info in part.model_fields.items() if (info.alias or n) == name)


def _role(facts: FieldFacts) -> Role:
    roles: dict[str, Role] = {
        "number": "number", "whole": "number", "flag": "flag", "points": "rows", "hours": "rows",
        "shade": "rows", "choice": "choice",
    }  # fmt: skip
    return roles.get(facts.kind, "text")


def _texts(display: Display, facts: FieldFacts, value: Any) -> tuple[str, str]:
    """Return what stands in a cell for a value, and the same as it is typed."""
    if facts.kind in ("number", "whole"):
        typed, unit = display.text(value, facts), display.unit(facts)
        return (with_unit(typed, unit) if typed else ""), typed
    if facts.kind == "choice":
        return word_of(value), ""
    if facts.kind == "flag":
        return ("yes" if value else "no"), ""
    if facts.kind in ("points", "hours", "shade"):
        return _rows_words(facts.kind, value), ""
    return str(value), str(value)


def _rows_words(kind: str, value: Any) -> str:
    if isinstance(value, str):
        return value
    if kind == "hours" and len(value) == 1:
        return f"{value[0][0]}–{value[0][1]}"
    if not value:
        return "none"
    noun = "point" if kind == "points" else "period"
    return f"{len(value)} {noun}{'s' if len(value) > 1 else ''}"


def _other_gauge(lead: Lead, key: str) -> str:
    """Return what a conductor comes to that is told in the other of the two ways."""
    size_mm2 = conductor_mm2(lead)
    if size_mm2 is None or key.rpartition(".")[2] not in ("awg", "size_mm2"):
        return ""
    if key.endswith("awg"):
        return f"≈ {plain(awg_of(size_mm2), 0)}"
    return f"≈ {quantity(size_mm2, 'mm²', 1)}"


def _part(around: Around, row: Row, index: int) -> Cell:
    station = around.scenario.stations[index]
    part = part_of(station, row.key)
    if part is None:
        is_slot = row.kind == "slot"
        return Cell("", "part" if is_slot else "", "none" if is_slot else NOTHING, is_quiet=True)
    guesses = 0 if row.is_open else _guesses(part, row.key)
    words = f"{guesses} guess{'es' if guesses > 1 else ''}" if guesses else ""
    if row.key in SETTINGS:
        return _settings(around, row.key, index, words)
    shown = _field(around, headline_key(row, slot_of(row.key)), index)
    if row.kind == "entry":
        shown = Cell("", "part", headline(part, around.display), value=part)
    count = getattr(part, "count", 1)
    text = f"{count} × {shown.text}" if count > 1 and not shown.is_refused else shown.text
    return Cell(
        shown.key, shown.role, text, shown.typed, words, tip=part.name or "", value=part,
        is_guess=shown.is_guess, is_refused=shown.is_refused,
    )  # fmt: skip


def _settings(around: Around, slot: str, index: int, guesses: str) -> Cell:
    """Return the cell of a part whose settings stand in its row."""
    part = part_of(around.scenario.stations[index], slot)
    held_stations = around.held.stations[index:] if around.held is not None else ()
    before = part_of(held_stations[0], slot) if held_stations else None
    settings = []
    for key in SETTINGS[slot]:
        state, held = (getattr(each, _python_name(key), "") for each in (part, before))
        settings.append(Setting(key, state, held if held != state else ""))
    named = SETTINGS[slot].values()
    text = ", ".join(f"{one.state} {name}" for one, name in zip(settings, named, strict=True))
    return Cell(
        "", "states", text, aside=guesses, tip=part.name, value=part, settings=tuple(settings)
    )


def _guesses(part: Any, key: str) -> int:
    """Return how many of the numbers that move charge or clocks are guesses."""
    return sum(
        can_have_source(f"{key}.{name}") and part.source_of(name).origin == "guess"
        for name in KIND_OF_SLOT[slot_of(key)].varied
    )


@lru_cache(maxsize=4096)
def can_have_source(key: str) -> bool:
    """Whether a part keeps the source of the number at this key below a station."""
    parent, _, name = key.rpartition(".")
    if not parent:
        return False
    try:
        field_at(f"stations.0.{parent}.sources.{name}")
    except KeyError:
        return False
    return facts_of(key).spread not in (None, 0.0)


def _with_words(around: Around, row: Row, index: int, cell: Cell) -> Cell:
    """Return a cell with what is found of it, what it was, its tip, and how it is read aloud."""
    said = _said_of(around, row, index)
    level = next((each for each in ("error", "warning", "hint") if _has(said, each)), "")
    was = _was(around, row, index, cell)
    aside = was or cell.aside
    source = ""
    if row.kind == "field" and cell.key and can_have_source(cell.key):
        part = part_of(around.scenario.stations[index], cell.key)
        found = part.source_of(cell.key.rpartition(".")[2])
        source = source_words(found, facts_of(cell.key).spread)
    sentences = [each.sentence for each in said]
    text = cell.text
    if row.kind == "slot" and (cell.key or cell.settings):
        # The part's name, and which of its numbers stands there.
        number = f"{in_sentence(facts_of(cell.key).label)} {text}" if cell.key else text
        text = f"{cell.tip}, {number}" if cell.tip.strip() else number
    words = [_place(row), text, "refused" if cell.is_refused else "", source, aside]
    spoken = ", ".join(word for word in words if word)
    head = f"{letter(index)} {name_at(around.scenario, index)}: {spoken}"
    tip = [cell.tip, source and f"Source: {source}", aside, *sentences]
    if row.kind == "field" and cell.key:
        tip.append(around.display.help(facts_of(cell.key)))
    for each in cell.settings:
        name = f"{each.state} {SETTINGS[row.key][each.key]}"
        tip.append(f"{name.capitalize()}: {tip_of(each.key, each.state)}")
    return Cell(
        cell.key, cell.role, cell.text, cell.typed, aside, ". ".join([head, *sentences]),
        "\n".join(line for line in tip if line), cell.value, level, cell.is_quiet, cell.is_guess,
        cell.is_refused, bool(was), cell.settings,
    )  # fmt: skip


def _has(said: tuple[Said, ...], level: str) -> bool:
    return any(each.level == level for each in said)


def _said_of(around: Around, row: Row, index: int) -> tuple[Said, ...]:
    """Return what is said beside a field, or of anything in a part."""
    if row.kind not in ("slot", "list", "entry"):
        return around.said.get((row.key, index), ())
    inside = f"{row.key}."
    return tuple(
        each
        for (key, station), found in around.said.items()
        if station == index and (key == row.key or key.startswith(inside))
        for each in found
    )


def _place(row: Row) -> str:
    """Return where a cell is, as it is read aloud: ``Battery, rated capacity``."""
    slot = slot_of(row.key)
    if row.kind in ("slot", "list") or not slot:
        return "Name" if row.kind == "name" else row.label
    kind = KIND_OF_SLOT[slot]
    place = row.key.split(".")[1] if kind.is_list and row.key.count(".") else ""
    part = f"{kind.label} {int(place) + 1}" if place.isdigit() else kind.label
    if row.kind == "entry":
        return part
    label = facts_of(row.key).label if row.kind == "field" else row.label
    return f"{part}, {in_sentence(label)}"


def _was(around: Around, row: Row, index: int, cell: Cell) -> str:
    """Return what stood here in the scenario that is held, where that is something else."""
    held = around.held
    if held is None or index >= len(held.stations) or row.kind == "add":
        return ""
    before = Around(held, around.display, {}, {})
    station: Station = held.stations[index]
    if row.kind in ("field", "name") and slot_of(row.key) and part_of(station, row.key) is None:
        return "" if cell.value is None and not cell.key else "was none"
    if row.kind == "list":
        parts = getattr(station, row.key)
        return f"was {len(parts) or 'none'}" if parts != cell.value else ""
    shown = (_part if row.kind in ("slot", "entry") else _field_of)(before, row, index)
    if shown.value == cell.value:
        return ""
    return f"was {shown.text}" if shown.text != cell.text else "changed"


def _field_of(around: Around, row: Row, index: int) -> Cell:
    return _field(around, row.key, index)
