"""Variants follow their stations, blocks and parts when these are moved, added or removed."""

from __future__ import annotations

from typing import Any

from model.editing.field_facts import is_index
from model.scenario.declare import Value
from model.scenario.scenario import Scenario, Variant

# What an entry of a list is known by when it was edited while its list grew or shrank.
_KNOWN_BY = ("start", "end", "name")


def following(before: Scenario, after: Scenario) -> Scenario:
    """Return a changed scenario with its variants' paths led to where things now stand.

    What a variant changes of an entry that is gone goes with it. A change that brings variants of
    its own keeps them as they are.
    """
    if not after.variants or after.variants != before.variants:
        return after
    variants = tuple(_followed(variant, before, after) for variant in after.variants)
    return after if variants == after.variants else after.model_copy(update={"variants": variants})


def _followed(variant: Variant, before: Scenario, after: Scenario) -> Variant:
    changes = sorted(
        (path, value)
        for old, value in variant.changes
        if (path := _path_after(old, before, after)) is not None
    )
    left_out = [_path_after(path, before, after) for path in variant.left_out]
    kept = tuple(path for path in left_out if path is not None)
    return variant.model_copy(update={"changes": tuple(changes), "left_out": kept})


def _path_after(path: str, before: Any, after: Any) -> str | None:
    """Return where a path leads after a change, None where its entry is gone."""
    segments = path.split(".")
    for place, segment in enumerate(segments):
        if _is_list(before) and _is_list(after) and is_index(segment):
            if int(segment) >= len(before):
                break
            moved = _place_after(before, int(segment), after)
            if moved is None:
                return None
            segments[place] = str(moved)
            before, after = before[int(segment)], after[moved]
        elif isinstance(before, Value) and isinstance(after, Value):
            before, after = getattr(before, segment, None), getattr(after, segment, None)
        else:
            break
    return ".".join(segments)


def _is_list(value: Any) -> bool:
    return isinstance(value, tuple) and all(isinstance(entry, Value) for entry in value)


def _place_after(before: tuple[Any, ...], at: int, after: tuple[Any, ...]) -> int | None:
    """Return where an entry stands after a change of its list, None where it is gone."""
    entry = before[at]
    if at < len(after) and after[at] is entry:
        return at
    for place, other in enumerate(after):
        if other is entry:
            return place
    kept = {id(other) for other in before}
    fresh = [place for place, other in enumerate(after) if id(other) not in kept]
    if at in fresh and len(before) == len(after):
        return at
    for key in _KNOWN_BY:
        for place in fresh:
            if getattr(entry, key, None) and getattr(entry, key) == getattr(after[place], key):
                return place
    return None
