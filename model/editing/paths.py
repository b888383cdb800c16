"""Reading and changing a scenario by dotted path; a change shares all that it does not touch."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import Any, cast

from pydantic import ValidationError

from model.editing.faults import Fault, ScenarioError, faults_of
from model.editing.field_facts import FieldFacts, describe, field_at, is_index
from model.scenario.declare import Source, Value
from model.scenario.scenario import Scenario

__all__ = [
    "FieldFacts",
    "describe",
    "field_at",
    "value_at",
    "with_inserted",
    "with_moved",
    "with_removed",
    "with_value",
    "with_values",
]


def value_at(scenario: Scenario, path: str) -> Any:
    """Return what stands at a path.

    Raises
    ------
    KeyError
        When this scenario has nothing there.
    """
    here: Any = scenario
    for segment in _segments(path):
        here = _child(here, segment, path)
    return here


def with_value(scenario: Scenario, path: str, value: Any) -> Scenario:
    """Return a scenario in which ``value`` stands at ``path``; the rest is shared.

    Parts may be given as values or as the tables a file would hold; None clears what may be left
    out.

    Raises
    ------
    KeyError
        When this scenario has nothing that could hold the path.
    ScenarioError
        When the value is refused; its faults say why and where.
    """
    return _changed(scenario, path, lambda _: value)


def with_values(scenario: Scenario, changes: Mapping[str, Any]) -> Scenario:
    """Return a scenario with several values changed at once; what lies between is not checked.

    None clears what may be left out, and takes a source away.

    Raises
    ------
    KeyError
        When this scenario has nothing that could hold a path, or one path leads below another.
    ScenarioError
        When the changed scenario is refused; its faults say why and where.
    """
    tree: _Tree = {}
    for path, value in changes.items():
        *above, last = _segments(path)
        here: Any = tree
        for segment in above:
            here = here.setdefault(segment, {})
            if isinstance(here, _Put):
                raise KeyError(f"{path}: leads below another change")
        if last in here:
            raise KeyError(f"{path}: leads above another change")
        here[last] = _Put(value)
    return cast(Scenario, _regrown(scenario, tree, ""))


def with_inserted(scenario: Scenario, path: str, index: int, value: Any) -> Scenario:
    """Return a scenario with one more entry in the list at ``path``, before ``index``.

    Raises
    ------
    KeyError
        When there is no list at the path, or it has no such place.
    ScenarioError
        When the entry is refused, or one more is too many.
    """

    def insert(entries: Any) -> tuple[Any, ...]:
        _refuse_place(entries, index, path)
        return (*entries[:index], value, *entries[index:])

    return _changed(scenario, path, insert)


def with_removed(scenario: Scenario, path: str) -> Scenario:
    """Return a scenario without the list entry, the source or the field at ``path``.

    A field that a file may leave out takes its default again; one it may not is refused.
    """
    parent, _, last = path.rpartition(".")
    value_at(scenario, path)
    if isinstance(value_at(scenario, parent), Value):
        facts = field_at(path)
        if facts.required:
            raise ScenarioError((Fault(path, "may not be left out"),))
        return with_value(scenario, path, facts.default)

    def remove(held: tuple[Any, ...]) -> tuple[Any, ...]:
        if is_index(last):
            return held[: int(last)] + held[int(last) + 1 :]
        return tuple(pair for pair in held if pair[0] != last)

    return _changed(scenario, parent, remove)


def with_moved(scenario: Scenario, path: str, index: int) -> Scenario:
    """Return a scenario with the list entry at ``path`` moved so that it stands at ``index``."""
    parent, _, last = path.rpartition(".")
    entry = value_at(scenario, path)

    def move(entries: Any) -> tuple[Any, ...]:
        rest = entries[: int(last)] + entries[int(last) + 1 :]
        _refuse_place(rest, index, parent)
        return (*rest[:index], entry, *rest[index:])

    return _changed(scenario, parent, move)


def _refuse_place(entries: Any, index: int, path: str) -> None:
    if not isinstance(entries, tuple) or not 0 <= index <= len(entries):
        raise KeyError(f"{path}: this scenario has no place {index} in a list there")


def _segments(path: str) -> list[str]:
    return path.split(".") if path else []


@lru_cache(maxsize=64)
def _names(part: type[Value]) -> dict[str, str]:
    """Return the Python name of each key as a file spells it."""
    return {info.alias or name: name for name, info in part.model_fields.items()}


def _child(here: Any, segment: str, path: str) -> Any:
    if isinstance(here, Value) and segment in _names(type(here)):
        return getattr(here, _names(type(here))[segment])
    if isinstance(here, tuple):
        if is_index(segment) and int(segment) < len(here):
            return here[int(segment)]
        if any(_is_source(pair, segment) for pair in here):
            return dict(here)[segment]
    raise KeyError(f"{path}: this scenario has nothing there")


def _is_source(pair: Any, key: str) -> bool:
    return isinstance(pair, tuple) and pair[0] == key and isinstance(pair[1], Source)


def _changed(scenario: Scenario, path: str, change: Callable[[Any], Any]) -> Scenario:
    if not path:
        raise KeyError("an empty path leads to no value of a scenario")
    return cast(Scenario, _rebuilt(scenario, _segments(path), 0, change))


def _rebuilt(here: Any, segments: list[str], depth: int, change: Callable[[Any], Any]) -> Any:
    """Return ``here`` with the change made below it, checking each part on the way back up."""
    if depth == len(segments):
        return change(here)
    segment, path = segments[depth], ".".join(segments)
    if isinstance(here, Value):
        new = _rebuilt(_child(here, segment, path), segments, depth + 1, change)
        return _checked(here, segment, new, ".".join(segments[:depth]))
    if isinstance(here, tuple) and depth and segments[depth - 1] == "sources":
        sources = dict(here)
        new = _rebuilt(sources.get(segment), segments, depth + 1, change)
        return sources | {segment: new}
    new = _rebuilt(_child(here, segment, path), segments, depth + 1, change)
    return (*here[: int(segment)], new, *here[int(segment) + 1 :])


@dataclass(frozen=True)
class _Put:
    """A value to be put where a tree of changes ends."""

    value: Any


_Tree = dict[str, "_Tree | _Put"]


def _regrown(here: Any, tree: _Tree, at: str) -> Any:
    """Return ``here`` with all changes made below it, each part checked once."""
    is_sources = at.rpartition(".")[2] == "sources"
    if is_sources:
        return _with_sources(dict(here), tree, at)
    new = {}
    for key, node in tree.items():
        path = f"{at}.{key}" if at else key
        child = _child(here, key, path)
        new[key] = node.value if isinstance(node, _Put) else _regrown(child, node, path)
    if isinstance(here, Value):
        return _all_checked(here, new, at)
    changed = {int(key): value for key, value in new.items()}
    return tuple(changed.get(index, entry) for index, entry in enumerate(here))


def _with_sources(sources: dict[str, Any], tree: _Tree, at: str) -> dict[str, Any]:
    for key, node in tree.items():
        if isinstance(node, _Put):
            sources[key] = node.value
        elif key in sources:
            sources[key] = _regrown(sources[key], node, f"{at}.{key}")
        else:
            sources[key] = {name: put.value for name, put in node.items() if isinstance(put, _Put)}
    return {key: source for key, source in sources.items() if source is not None}


def _checked(part: Value, key: str, new: Any, at: str) -> Value:
    """Return the part with one key changed, held to every bound and relation of its class."""
    return _all_checked(part, {key: new}, at)


def _all_checked(part: Value, new: Mapping[str, Any], at: str) -> Value:
    names = _names(type(part))
    values = {known: getattr(part, name) for known, name in names.items()} | dict(new)
    try:
        checked = type(part).model_validate(values, by_alias=True, by_name=False)
    except ValidationError as error:
        raise ScenarioError(faults_of(error, values, at)) from None
    # A copy shares the other fields themselves, where a checked part holds equal new lists.
    return part.model_copy(update={names[key]: getattr(checked, names[key]) for key in new})
