"""Faults of the tables of lessons, playlists and questions in plain words, at their place."""

from __future__ import annotations

import difflib
from collections.abc import Callable, Iterator, Mapping, Sequence
from typing import Any, cast

from pydantic import ValidationError

from model.editing.faults import Fault, shown

KINDS = "time, number, choice, order or curve"
KeysAt = Callable[[str], Sequence[str]]


def faults_of_text(error: ValidationError, data: Any, keys_at: KeysAt) -> Iterator[Fault]:
    """Yield each fault of a table at its dotted path.

    Parameters
    ----------
    data : the table that was refused.
    keys_at : gives the keys that a table at a path may hold.
    """
    for details in cast(list[dict[str, Any]], error.errors(include_url=False)):
        path = _place(details["loc"], data)
        if details["type"] == "too_short" and len(details["input"]) >= details["ctx"]["min_length"]:
            # Called short only because its refused entries were not counted.
            continue
        yield Fault(path, _words(details, path, keys_at))


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


_PLAIN = {
    "string_type": "must be text in quotes",
    "bool_type": "must be true or false",
    "int_type": "must be a whole number",
    "float_type": "must be a number",
    "tuple_type": "must be a list",
    "model_type": "must be a table",
    "dict_type": "must be a table",
}
_BOUNDS = {
    "greater_than_equal": ("at least", "ge"), "less_than_equal": ("at most", "le"),
}  # fmt: skip


def _words(details: dict[str, Any], path: str, keys_at: KeysAt) -> str:
    kind, given, known = details["type"], details["input"], details.get("ctx", {})
    if kind == "missing":
        return "is missing"
    if kind == "extra_forbidden":
        return _unknown_key(path, keys_at)
    if kind in _PLAIN:
        return f"{_PLAIN[kind]}, got {shown(given)}"
    if kind in _BOUNDS:
        words, key = _BOUNDS[kind]
        return f"must be {words} {known[key]}, got {shown(given)}"
    if kind in ("union_tag_invalid", "union_tag_not_found"):
        said = given.get("kind") if isinstance(given, Mapping) else given
        return f"kind must be one of {KINDS}, got {shown(said)}"
    if kind == "literal_error":
        return f"must be {known['expected']}, got {shown(given)}"
    if kind in ("string_too_long", "too_long"):
        what = "characters" if kind == "string_too_long" else "entries"
        return f"must hold at most {known['max_length']} {what}, got {len(given)}"
    if kind in ("string_too_short", "too_short"):
        return f"must hold at least {known['min_length']}, got {len(given)}"
    if kind == "value_error":
        return str(known["error"])
    return str(details["msg"]).lower()


def _unknown_key(path: str, keys_at: KeysAt) -> str:
    parent, _, key = path.rpartition(".")
    keys = keys_at(parent)
    nearest = difflib.get_close_matches(key, keys, n=1, cutoff=0.6)
    if nearest:
        return f'is not a key here; the nearest known key is "{nearest[0]}"'
    return f"is not a key here; known keys are {', '.join(keys)}"


def last_key(path: str) -> str:
    """Return the last key of a dotted path, places in lists left out."""
    return next((part for part in reversed(path.split(".")) if part and not part.isdigit()), "")
