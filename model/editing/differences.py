"""What differs between two scenarios: the fields, by path and in words."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from model.editing.field_facts import place_words
from model.scenario.declare import Value
from model.scenario.scenario import Scenario


def changed_paths(before: Scenario, after: Scenario) -> tuple[str, ...]:
    """Return the path of every field that differs, in the order of the file.

    A part that only one of the two has counts as one field, and so does a list of another length.
    """
    return tuple(_changed("", before, after))


def changes_in_words(before: Scenario, after: Scenario, limit: int) -> tuple[str, ...]:
    """Return what differs, one line a field; beyond ``limit`` lines only how many more."""
    words = [place_words(path) for path in changed_paths(before, after)]
    more = len(words) - limit
    return tuple(words) if more <= 0 else (*words[:limit], f"and {more} more")


def _changed(path: str, before: Any, after: Any) -> Iterator[str]:
    if before == after:
        return
    if isinstance(before, Value) and type(before) is type(after):
        for name, info in type(before).model_fields.items():
            at = _joined(path, info.alias or name)
            yield from _changed(at, getattr(before, name), getattr(after, name))
    elif _is_list_of_parts(before) and _is_list_of_parts(after) and len(before) == len(after):
        for index, (one, other) in enumerate(zip(before, after, strict=True)):
            yield from _changed(_joined(path, str(index)), one, other)
    else:
        yield path


def _is_list_of_parts(value: Any) -> bool:
    return isinstance(value, tuple) and all(isinstance(entry, Value) for entry in value)


def _joined(path: str, key: str) -> str:
    return f"{path}.{key}" if path else key
