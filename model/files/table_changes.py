"""What differs between two nested tables, as paths with their new values; and putting it in.

It works on tables as a file holds them, before anything is checked: so what was written by an
earlier format is put together first and read by that format's rules.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

Change = list[Any]


def changes_between(before: Any, after: Any) -> list[Change]:
    """Return the changes that make ``after`` of ``before``.

    Each is ``[path, value]``, or ``[path]`` where a key goes; a path is a list of keys and places.
    A list of another length is one change as a whole.
    """
    return list(_changes([], before, after))


def _changes(path: list[Any], before: Any, after: Any) -> Iterator[Change]:
    if isinstance(before, Mapping) and isinstance(after, Mapping):
        yield from ([[*path, key]] for key in before if key not in after)
        for key, value in after.items():
            if key in before:
                yield from _changes([*path, key], before[key], value)
            else:
                yield [[*path, key], value]
    elif _is_list(before) and _is_list(after) and len(before) == len(after):
        for place, (one, other) in enumerate(zip(before, after, strict=True)):
            yield from _changes([*path, place], one, other)
    elif before is not after and (before != after or type(before) is not type(after)):
        yield [path, after]


def _is_list(value: Any) -> bool:
    return isinstance(value, Sequence) and not isinstance(value, str | bytes)


def with_changes(table: Any, changes: Sequence[Change]) -> Any:
    """Return a table with changes made; it shares all that they leave as it was.

    Raises
    ------
    LookupError, TypeError, ValueError
        When a change does not fit the table.
    """
    for change in changes:
        path, *value = change
        table = _with(table, list(path), value)
    return table


def _with(here: Any, path: list[Any], value: list[Any]) -> Any:
    if not path:
        (new,) = value
        return new
    key, *below = path
    if isinstance(here, Mapping):
        rest = dict(here)
        if not below and not value:
            del rest[key]
        else:
            rest[key] = _with(rest.get(key), below, value)
        return rest
    if not isinstance(here, list | tuple):
        raise TypeError("leads into a single value, not into a table or a list")
    return [*here[:key], _with(here[key], below, value), *here[key + 1 :]]
