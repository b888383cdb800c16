"""Faults of records other than a scenario, such as a lesson or a group, each with its place."""

from __future__ import annotations

import difflib
import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from typing import Any, cast, get_args

from pydantic import ValidationError

from model.editing.faults import Fault, quoted_path, shown
from model.scenario.declare import Value

# A relation is refused as "where: words", one a line; a place holds no blank.
_PLACED = re.compile(r"([a-z0-9_.]+): (.*)", re.DOTALL)
_PLAIN = {
    "string_type": "must be text in quotes",
    "bool_type": "must be true or false",
    "int_type": "must be a whole number",
    "int_parsing_size": "must be a whole number",
    "float_type": "must be a number",
    "finite_number": "must be a finite number",
    "date_type": "must be a date such as 2027-03-01, without quotes",
    "tuple_type": "must be a list",
    "model_type": "must be a table",
    "dict_type": "must be a table",
}
_BOUNDS = {
    "greater_than_equal": ("at least", "ge"), "less_than_equal": ("at most", "le"),
    "greater_than": ("greater than", "gt"), "less_than": ("less than", "lt"),
}  # fmt: skip


def record_faults(
    error: ValidationError,
    data: Any,
    keys_at: Callable[[str], Sequence[str]],
    *,
    kinds: str = "",
) -> Iterator[Fault]:
    """Yield what is wrong with a refused record.

    Parameters
    ----------
    error : what the model raised.
    data : the table that was refused, with the keys a file uses.
    keys_at : the keys that the table at a path may hold; none where they are not known.
    kinds : of a table that is told apart by its ``kind``, as a sentence lists them.
    """
    for details in cast(list[dict[str, Any]], error.errors(include_url=False)):
        path = _place(details["loc"], data)
        if details["type"] == "too_short" and len(details["input"]) >= details["ctx"]["min_length"]:
            # Called short only because its refused entries were not counted.
            continue
        if details["type"] == "value_error":
            yield from _relations(path, str(details["ctx"]["error"]), details["input"])
        else:
            yield Fault(quoted_path(path) if path else path, _words(details, path, keys_at, kinds))


def _relations(path: str, message: str, given: Any) -> Iterator[Fault]:
    for line in message.splitlines():
        placed = _PLACED.fullmatch(line)
        if placed:
            yield Fault(f"{path}.{placed[1]}" if path else placed[1], placed[2])
        elif line.startswith("must be") and isinstance(given, str | int | float):
            yield Fault(path, f"{line}, got {shown(given)}")
        else:
            yield Fault(path, line)


def _place(location: tuple[int | str, ...], data: Any) -> str:
    """Return the dotted path of a fault, without what only the validator knows of."""
    segments: list[str] = []
    here: Any = data
    for step in location:
        if isinstance(here, Mapping):
            if not isinstance(step, str) or (step not in here and step != location[-1]):
                continue
            segments.append(step)
            here = here.get(step)
        elif isinstance(here, list | tuple) and isinstance(step, int):
            segments.append(str(step))
            here = here[step] if step < len(here) else None
    return ".".join(segments)


def _words(
    details: dict[str, Any], path: str, keys_at: Callable[[str], Sequence[str]], kinds: str
) -> str:
    kind, given, known = details["type"], details["input"], details.get("ctx", {})
    if kind == "missing":
        return "is missing"
    if kind == "extra_forbidden":
        return _unknown_key(path, keys_at)
    if kind in _PLAIN:
        return f"{_PLAIN[kind]}, got {shown(given)}"
    if kind in _BOUNDS:
        words, key = _BOUNDS[kind]
        return f"must be {words} {shown(known[key])}, got {shown(given)}"
    if kind in ("union_tag_invalid", "union_tag_not_found"):
        said = given.get("kind") if isinstance(given, Mapping) else given
        return f"kind must be one of {kinds}, got {shown(said)}"
    if kind == "literal_error":
        return f"must be {known['expected']}, got {shown(given)}"
    if kind in ("string_too_long", "too_long"):
        what = "characters" if kind == "string_too_long" else "entries"
        return f"must hold at most {known['max_length']} {what}, got {len(given)}"
    if kind in ("string_too_short", "too_short"):
        return f"must hold at least {known['min_length']}, got {len(given)}"
    return str(details["msg"]).lower()


def _unknown_key(path: str, keys_at: Callable[[str], Sequence[str]]) -> str:
    parent, _, key = path.rpartition(".")
    keys = keys_at(parent)
    nearest = difflib.get_close_matches(key, keys, n=1, cutoff=0.6)
    if nearest:
        return f'is not a key here; the nearest known key is "{nearest[0]}"'
    if not keys:
        return "is not a key here"
    return f"is not a key here; known keys are {', '.join(keys)}"


def keys_below(root: type[Value]) -> Callable[[str], list[str]]:
    """Return what gives the keys of the table at a path below a class; none of what is no table."""

    def keys_at(path: str) -> list[str]:
        here: type[Value] | None = root
        for segment in path.split("."):
            if here is not None and segment and not segment.isdigit():
                fields = {info.alias or name: info for name, info in here.model_fields.items()}
                here = _table_in(fields[segment].annotation) if segment in fields else None
        if here is None:
            return []
        return [info.alias or name for name, info in here.model_fields.items()]

    return keys_at


def last_key(path: str) -> str:
    """Return the last key of a dotted path, places in lists left out."""
    return next((part for part in reversed(path.split(".")) if part and not part.isdigit()), "")


def _table_in(annotation: Any) -> type[Value] | None:
    """Return the class of a table, or of each table of a list."""
    if isinstance(annotation, type) and issubclass(annotation, Value):
        return annotation
    inner = (_table_in(each) for each in get_args(annotation))
    return next((found for found in inner if found is not None), None)
