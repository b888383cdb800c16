"""The parts library as a value: parts of every kind by name, and how two parts differ.

A library is an immutable value: every change gives a new one, and undoing keeps the old one.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Any

from model.scenario import kinds
from model.scenario.station import Battery, Extra, Part

# The key of a row of ``model.scenario.kinds.KINDS``.
Kind = str
CLASSES: dict[Kind, type[Part]] = {kind.key: kind.part for kind in kinds.KINDS}
KINDS: tuple[Kind, ...] = tuple(CLASSES)
KIND_LABELS: dict[Kind, str] = {kind.key: kind.label for kind in kinds.KINDS}
# Where a station carries each kind of which there may be several.
LISTS: dict[Kind, str] = {kind.key: kind.slot for kind in kinds.KINDS if kind.is_list}

PARTS_LIMIT = 500
NAME_LIMIT = 120


class LibraryError(Exception):
    """A change to the library that is refused; says why in one line."""


def kind_of(part: Part) -> Kind:
    """Return the kind of a part."""
    return kinds.kind_of(part).key


@dataclass(frozen=True)
class Library:
    """Parts in the order in which they are shown; a name is unique within its kind."""

    parts: tuple[Part, ...] = ()

    def of(self, kind: str) -> tuple[Part, ...]:
        """Return all parts of a kind.

        Raises
        ------
        KeyError
            When there is no such kind.
        """
        of_kind = CLASSES[kind]
        return tuple(part for part in self.parts if isinstance(part, of_kind))

    def find(self, kind: str, name: str) -> Part:
        """Return the part of a kind with a name.

        Raises
        ------
        KeyError
            When the library has none.
        """
        for part in self.of(kind):
            if part.name == name:
                return part
        raise KeyError(f'the library has no {kind} named "{name}"')

    def search(self, words: str, kind: str | None = None) -> tuple[Part, ...]:
        """Return the parts whose kind, name or group holds every word, whatever the case."""
        wanted = words.casefold().split()
        among = self.parts if kind is None else self.of(kind)
        return tuple(part for part in among if all(word in _searched(part) for word in wanted))

    def free_name(self, kind: str, wanted: str) -> str:
        """Return the wanted name, or the first numbered one that no part of this kind has."""
        taken = {part.name for part in self.of(kind)}
        start = wanted.strip() or KIND_LABELS[kind]
        return next(name for name in _numbered(start) if name not in taken)

    def with_added(self, part: Part) -> Library:
        """Return a library with one more part, under a free name if its own is taken.

        Raises
        ------
        LibraryError
            When the library is full.
        """
        kind = self._kind_with_room(part)
        return replace(self, parts=(*self.parts, named(part, self.free_name(kind, part.name))))

    def with_all(self, parts: tuple[Part, ...]) -> Library:
        """Return a library with more parts; one that it holds already is not added again."""
        grown = self
        for part in parts:
            if part not in grown.of(kind_of(part)):
                grown = grown.with_added(part)
        return grown

    def with_replaced(self, old: Part, new: Part) -> Library:
        """Return a library in which ``new`` stands where ``old`` stood.

        Raises
        ------
        LibraryError
            When they are of different kinds, or another part has that name, or none.
        """
        kind = kind_of(old)
        if kind_of(new) != kind:
            raise LibraryError(f"a {kind} cannot become a {kind_of(new)}")
        if not new.name.strip():
            raise LibraryError("a part in the library needs a name")
        if new.name != old.name and new.name in {part.name for part in self.of(kind)}:
            raise LibraryError(f'the library already has a {kind} named "{new.name}"')
        place = self._place(old)
        return replace(self, parts=(*self.parts[:place], new, *self.parts[place + 1 :]))

    def with_duplicate(self, part: Part) -> Library:
        """Return a library with a copy of a part right after it.

        Raises
        ------
        LibraryError
            When the library is full.
        """
        kind, place = self._kind_with_room(part), self._place(part)
        copy = named(part, self.free_name(kind, part.name))
        return replace(self, parts=(*self.parts[: place + 1], copy, *self.parts[place + 1 :]))

    def without(self, part: Part) -> Library:
        """Return a library without a part."""
        place = self._place(part)
        return replace(self, parts=self.parts[:place] + self.parts[place + 1 :])

    def _kind_with_room(self, part: Part) -> Kind:
        kind = kind_of(part)
        if len(self.of(kind)) >= PARTS_LIMIT:
            raise LibraryError(f"a library holds at most {PARTS_LIMIT} parts of one kind")
        return kind

    def _place(self, part: Part) -> int:
        for place, held in enumerate(self.parts):
            if kind_of(held) == kind_of(part) and held.name == part.name:
                return place
        raise LibraryError(f'the library has no {kind_of(part)} named "{part.name}"')


def _searched(part: Part) -> str:
    group = part.group if isinstance(part, Extra) else ""
    chemistry = part.chemistry if isinstance(part, Battery) else ""
    return f"{KIND_LABELS[kind_of(part)]} {part.name} {group} {chemistry}".casefold()


def _numbered(start: str) -> Iterator[str]:
    yield start[:NAME_LIMIT]
    for number in range(2, PARTS_LIMIT + 3):
        ending = f" ({number})"
        yield start[: NAME_LIMIT - len(ending)] + ending


def named(part: Part, name: str) -> Part:
    """Return a part under another name; the name has been checked before."""
    return part if part.name == name else part.model_copy(update={"name": name})


@dataclass(frozen=True)
class DifferenceRow:
    """One field, as a file spells it, in which two parts differ; None stands for one left empty."""

    field: str
    label: str
    unit: str
    before: Any
    after: Any


def difference(old: Part | None, new: Part | None) -> tuple[DifferenceRow, ...]:
    """Return every field in which two parts of one kind differ, in the order of the fields.

    A source that changed is a row of its own: its ``field`` is ``sources.receive_a``. Either part
    may be None, for one that is new or goes.
    """
    part = new or old
    if part is None:
        return ()
    rows: list[DifferenceRow] = []
    for name, info in type(part).model_fields.items():
        if name == "sources":
            continue
        label, extra = info.title or name, info.json_schema_extra
        unit = str(extra.get("unit", "")) if isinstance(extra, dict) else ""
        before, after = getattr(old, name, None), getattr(new, name, None)
        key = info.alias or name
        if before != after:
            rows.append(DifferenceRow(key, label, unit, before, after))
        origins = tuple(one.source_of(key) if one else None for one in (old, new))
        if origins[0] != origins[1] and None not in origins:
            rows.append(DifferenceRow(f"sources.{key}", f"{label}: source", "", *origins))
    return tuple(rows)
