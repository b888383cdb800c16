"""Faults of a scenario in plain words, each with the dotted path of its place."""

from __future__ import annotations

import difflib
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from datetime import date, datetime, time
from typing import Any, cast

from pydantic import ValidationError

from model.editing.field_facts import field_at, in_sentence, known_keys
from model.scenario.declare import Value

FAULTS_LIMIT = 50
_ECHO_LIMIT = 40
_UNSHOWABLE = re.compile("[\x00-\x1f\x7f-\x9f\u200b-\u200f\u2028-\u202e\u2060-\u206f\ufeff]")
# A relation is refused by its part as "where: words"; a place holds no blank.
_PLACED = re.compile(r"([^\s:\"]+): (.*)", re.DOTALL)


@dataclass(frozen=True)
class Fault:
    """One thing that is wrong, where, and what would be right."""

    path: str
    message: str
    line: int | None = None

    def __str__(self) -> str:
        return f"{self.path}: {self.message}" if self.path else self.message

    @property
    def at_line(self) -> str:
        """The fault on one line, with the line of the file it stands in where that is known."""
        said = " ".join(str(self).split())
        # Where a file is no TOML at all, the sentence itself says the line.
        if self.line is None or said.startswith("line "):
            return said
        return f"line {self.line}: {said}"


class ScenarioError(Exception):
    """A scenario, or a change to one, that is refused; carries every fault."""

    def __init__(self, faults: tuple[Fault, ...]) -> None:
        super().__init__("\n".join(str(fault) for fault in faults))
        self.faults = faults


def faults_of(error: ValidationError, data: Any, at: str = "") -> tuple[Fault, ...]:
    """Return the faults that a refused value has, in the order the fields are declared.

    Parameters
    ----------
    error : what the model raised.
    data : the value that was refused, with the keys a file uses.
    at : path of that value inside the scenario.
    """
    refused = [
        details
        for details in cast(list[dict[str, Any]], error.errors(include_url=False))
        if not _is_echo_of_others(details)
    ]
    faults: list[Fault] = []
    for details in refused[:FAULTS_LIMIT]:
        path = _joined(at, _path_of(details["loc"], data))
        faults += _faults_from(path, details)
    if len(refused) > FAULTS_LIMIT:
        faults.append(Fault("", f"and {len(refused) - FAULTS_LIMIT} more"))
    return tuple(faults)


def _is_echo_of_others(details: dict[str, Any]) -> bool:
    """Whether a list is called short only because its refused entries were not counted."""
    given = details["input"]
    return (
        details["type"] == "too_short"
        and isinstance(given, list | tuple)
        and (len(given) >= details["ctx"]["min_length"])
    )


def shown(value: Any) -> str:
    """Return a value as a fault quotes it: short, on one line, without control characters."""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, str):
        # Cut first: a value may be as long as the file.
        plain = _UNSHOWABLE.sub("", value[: _ECHO_LIMIT * 2])
        return f'text "{plain[:_ECHO_LIMIT]}…"' if len(value) > _ECHO_LIMIT else f'text "{plain}"'
    if isinstance(value, int):
        # More digits than this cannot be meant, and turning them into text may be refused.
        return str(value) if value.bit_length() < 64 else "a number with too many digits"
    if isinstance(value, float):
        return f"{value:.15g}"
    if isinstance(value, date | datetime | time):
        return str(value)
    if value is None:
        return "nothing"
    return "a table" if isinstance(value, Mapping | Value) else "a list"


def _joined(start: str, rest: str) -> str:
    return f"{start}.{rest}" if start and rest else start or rest


def _path_of(location: tuple[int | str, ...], data: Any) -> str:
    """Follow a location through the data, leaving out what only the validator knows of."""
    segments: list[str] = []
    here = data
    steps = iter(location)
    for step in steps:
        if isinstance(here, Mapping):
            if isinstance(step, int):
                # A table kept as sorted pairs: the number counts its keys, 1 is the value.
                keys = sorted(here)
                if step >= len(keys):
                    # A table where one number or a list belongs.
                    break
                key = keys[step]
                next(steps, None)
            else:
                key = step
            segments.append(_segment(key))
            here = here.get(key)
        elif isinstance(step, int) and isinstance(here, list | tuple):
            segments.append(str(step))
            here = here[step] if step < len(here) else None
    return ".".join(segments)


def quoted_path(path: str) -> str:
    """Return a path from a file as a fault names it: each segment short, without control marks."""
    return ".".join(_segment(segment) for segment in path.split(".")[:40])


def _segment(key: object) -> str:
    plain = _UNSHOWABLE.sub("", str(key)[: _ECHO_LIMIT * 2])
    return plain[:_ECHO_LIMIT] + "…" if len(plain) > _ECHO_LIMIT else plain or '""'


def _leads_to_a_field(path: str) -> bool:
    try:
        field_at(path)
    except KeyError:
        return False
    return True


def _faults_from(path: str, details: dict[str, Any]) -> list[Fault]:
    kind, given = details["type"], details["input"]
    if kind == "value_error":
        return _refusals(path, str(details["ctx"]["error"]), given)
    if kind in _WITHOUT_ECHO:
        return [Fault(path, _WITHOUT_ECHO[kind](path, given))]
    if kind in _BOUNDS:
        words, key = _BOUNDS[kind]
        return [Fault(path, f"must be {words} {_plain(details['ctx'][key])}, got {shown(given)}")]
    words = _WORDS[kind] if kind in _WORDS else _WORDS_OF_PATH.get(kind, _other)(path)
    return [Fault(path, f"{words}, got {shown(given)}")]


def _plain(bound: Any) -> str:
    return f"{bound:.15g}" if isinstance(bound, float) else str(bound)


def _refusals(path: str, message: str, value: Any) -> list[Fault]:
    faults = []
    for line in message.splitlines():
        placed = _PLACED.fullmatch(line)
        if placed and _leads_to_a_field(_joined(path, placed[1].split(".")[0])):
            faults.append(Fault(_joined(path, placed[1]), placed[2]))
        elif line.startswith("must be") and isinstance(value, str | int | float):
            faults.append(Fault(path, f"{line}, got {shown(value)}"))
        else:
            faults.append(Fault(path, _UNSHOWABLE.sub("", line)))
    return faults


def _missing(path: str, _given: Any) -> str:
    facts = field_at(path)
    if facts.kind == "part":
        return f"is missing: the table [{_header(path)}]"
    in_unit = f", in {facts.unit}" if facts.unit else ""
    return f"is missing: {in_sentence(facts.label)}{in_unit}"


def _unknown_key(path: str, _given: Any) -> str:
    parent, _, key = path.rpartition(".")
    try:
        keys = list(known_keys(parent))
    except KeyError:
        return "is not a key here"
    nearest = difflib.get_close_matches(key, keys, n=1, cutoff=0.6)
    if nearest:
        return f'is not a key here; the nearest known key is "{nearest[0]}"'
    return f"is not a key here; known keys are {', '.join(keys)}"


def _count(path: str, given: Any) -> str:
    facts = field_at(path)
    low, high = facts.min_items, facts.max_items
    if high is None:
        return f"{_list(path)}, got {len(given)} values"
    noun = {"stations": "stations", "plan": "blocks", "variants": "variants"}.get(path, "entries")
    if low == high:
        return f"must hold exactly {high} {noun}, got {len(given)}"
    least = "at most" if low is None else f"{low} to"
    return f"must hold {least} {high} {noun}, got {len(given)}"


def _length(path: str, given: Any) -> str:
    return f"must be at most {field_at(path).max_length} characters long, got {len(given)}"


def _choice(path: str) -> str:
    choices = field_at(path).choices
    words = ", ".join(f'"{item}"' if isinstance(item, str) else str(item) for item in choices)
    return f"must be one of {words}" if len(choices) > 1 else f"must be {words}"


def _great_number(path: str) -> str:
    return _choice(path) if field_at(path).choices else "must be a whole number"


def _other(_path: str) -> str:
    return "is no value that can stand here"


def _header(path: str) -> str:
    return ".".join(segment for segment in path.split(".") if not segment.isdigit())


def _table(path: str) -> str:
    if path.rpartition(".")[2].isdigit():
        return f"must be a table, written [[{_header(path)}]]"
    return f"must be a table, written [{_header(path)}]"


def _list(path: str) -> str:
    facts = field_at(path)
    columns = ", ".join(in_sentence(column) for column in facts.columns)
    if facts.kind == "list":
        return f"must be a list of tables, each written [[{_header(path)}]]"
    if columns:
        is_pair = path.rpartition(".")[2].isdigit()
        return f"must be a pair, [{columns}]" if is_pair else f"must be pairs, [[{columns}], ...]"
    return "must be a list"


_WORDS = {
    "float_type": "must be a number",
    "finite_number": "must be a finite number",
    "int_type": "must be a whole number",
    "bool_type": "must be true or false",
    "string_type": "must be text in quotes",
    "string_unicode": "must be text in quotes",
    "date_type": "must be a date such as 2027-03-01, without quotes",
    "always_or_stretches": 'must be "always" or pairs of times, [["18:00", "23:00"]]',
}
_WORDS_OF_PATH: dict[str, Callable[[str], str]] = {
    "literal_error": _choice,
    "int_parsing_size": _great_number,
    "model_type": _table,
    "tuple_type": _list,
}
_BOUNDS = {
    "greater_than": ("greater than", "gt"),
    "greater_than_equal": ("at least", "ge"),
    "less_than": ("less than", "lt"),
    "less_than_equal": ("at most", "le"),
}
_WITHOUT_ECHO: dict[str, Callable[[str, Any], str]] = {
    "missing": _missing,
    "extra_forbidden": _unknown_key,
    "too_long": _count,
    "too_short": _count,
    "string_too_long": _length,
}


def at_lines(faults: tuple[Fault, ...], lines: Mapping[str, int]) -> tuple[Fault, ...]:
    """Return the faults with the file line of each, or of the nearest table that holds it."""
    return tuple(replace(fault, line=_line_of(fault.path, lines)) for fault in faults)


def _line_of(path: str, lines: Mapping[str, int]) -> int | None:
    while path:
        if path in lines:
            return lines[path]
        path = path.rpartition(".")[0]
    return None
