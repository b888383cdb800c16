"""Two people, or two windows, changed one library: what both wanted, and nothing lost."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from model.editing.faults import ScenarioError
from model.library.catalogue import KINDS, Kind, Library
from model.library.store import read_part
from model.scenario.station import Part

# The kind, and the part as a table before and after; None where there was or is none.
PartChange = tuple[str, Mapping[str, Any] | None, Mapping[str, Any] | None]


@dataclass(frozen=True)
class Merged:
    """The library that holds both sets of changes, and a sentence for each that met another."""

    library: Library
    remarks: tuple[str, ...] = ()


def merged(base: Library, ours: Library, theirs: Library) -> Merged:
    """Return their library with our changes since ``base`` made in it.

    A part that both changed differently stands twice; one that was changed on one side and deleted
    on the other stays.

    Raises
    ------
    LibraryError
        When a kind would hold too many parts.
    """
    if _is_alike(theirs, base) or _is_alike(theirs, ours):
        return Merged(ours)
    library, remarks = theirs, []
    for kind in KINDS:
        was, mine = _by_name(base, kind), _by_name(ours, kind)
        for name in [*mine, *(each for each in was if each not in mine)]:
            old, new = was.get(name), mine.get(name)
            there = _by_name(library, kind).get(name)
            if new == old or there == new:
                continue
            if there == old:
                library = _changed(library, old, new)
            elif new is None:
                remarks.append(f"{name} was changed elsewhere and stays in the library")
            elif there is None:
                library = library.with_all((new,))
                remarks.append(f"{name} was deleted elsewhere and is back, as it was changed here")
            else:
                library = library.with_added(new)
                remarks.append(f"{name} was changed elsewhere too: both are in the library")
    return Merged(library, tuple(remarks))


def base_of(base: Library, tried: Library, theirs: Library) -> Library:
    """Return the base after a save that failed on its way: of each kind, what its file holds."""
    parts: list[Part] = []
    for kind in KINDS:
        was_written = theirs.of(kind) == tried.of(kind)
        parts += tried.of(kind) if was_written else base.of(kind)
    return Library(tuple(parts))


def _is_alike(one: Library, other: Library) -> bool:
    """Whether every kind holds the same; between the kinds there is no order."""
    return all(one.of(kind) == other.of(kind) for kind in KINDS)


def _by_name(library: Library, kind: Kind) -> dict[str, Part]:
    return {part.name: part for part in library.of(kind)}


def _changed(library: Library, old: Part | None, new: Part | None) -> Library:
    if old is None:
        return library.with_all((new,)) if new is not None else library
    return library.without(old) if new is None else library.with_replaced(old, new)


def changes_of(base: Library, ours: Library) -> tuple[PartChange, ...]:
    """Return what differs, as tables that can be kept in a journal."""
    found: list[PartChange] = []
    for kind in KINDS:
        was, mine = _by_name(base, kind), _by_name(ours, kind)
        for name in dict.fromkeys([*was, *mine]):
            old, new = was.get(name), mine.get(name)
            if old != new:
                found.append((kind, _table(old), _table(new)))
    return tuple(found)


def with_changes_of(theirs: Library, changes: Iterable[PartChange]) -> Merged:
    """Return a library with changes made that ``changes_of`` has told; raises LibraryError."""
    before, after = Library(()), Library(())
    for kind, was, now in changes:
        before = before.with_all(_parts(kind, was))
        after = after.with_all(_parts(kind, now))
    return merged(before, after, theirs)


def _table(part: Part | None) -> dict[str, Any] | None:
    return part.model_dump(exclude_defaults=True, by_alias=True) if part is not None else None


def _parts(kind: str, table: Mapping[str, Any] | None) -> tuple[Part, ...]:
    known = next((each for each in KINDS if each == kind), None)
    if known is None or table is None:
        return ()
    try:
        return (read_part(known, table, kind),)
    except ScenarioError:
        # Of an earlier format, or damaged: the rest is not lost with it.
        return ()
