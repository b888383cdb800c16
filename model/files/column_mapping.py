"""Which column of somebody else's table holds what: by its heading, or as a person has said."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from model.editing.faults import shown

COLUMNS_LIMIT = 200
LONGEST_HEAD = 100
_NO_WORD = re.compile(r"[\W_]+")


class MappingError(Exception):
    """A table without a column that is needed; one line that says which."""


@dataclass(frozen=True)
class Column:
    """What is looked for in a table.

    Attributes
    ----------
    key : its name.
    headings : headings that are it, the best first.
    label : what a person is asked for.
    like : pattern of a heading that is it where none of ``headings`` is there; empty for none.
    is_needed : whether nothing goes without it.
    """

    key: str
    headings: tuple[str, ...]
    label: str = ""
    like: str = ""
    is_needed: bool = True


def mapped(
    heads: Sequence[str], wanted: Sequence[Column], chosen: Mapping[str, str] | None = None
) -> dict[str, int]:
    """Return the place of each column that is there, from 0.

    Headings are the same whatever their case, blanks and signs: ``SNR (dB)`` is ``snr_db``.

    Parameters
    ----------
    heads : the first line of the table; an empty one is no column.
    wanted : what is looked for.
    chosen : for a name in ``wanted`` the heading that a person has said; it goes before any other.

    Raises
    ------
    MappingError
        When a column that is needed or was chosen is missing, or stands there twice.
    """
    if len(heads) > COLUMNS_LIMIT:
        raise MappingError(f"has {len(heads)} columns, more than {COLUMNS_LIMIT}")
    said = chosen or {}
    known = {column.key for column in wanted}
    for key in said:
        if key not in known:
            raise MappingError(f"{quoted(key)} is no column; known are {', '.join(sorted(known))}")
    found = {}
    for column in wanted:
        place = _named_place(heads, column, said.get(column.key))
        if place is not None:
            found[column.key] = place
    for column in wanted:
        if column.key not in found and column.like:
            alike = re.compile(column.like, re.IGNORECASE)
            free = [place for place in range(len(heads)) if place not in found.values()]
            place = next((at for at in free if alike.search(heads[at][:LONGEST_HEAD])), None)
            if place is not None:
                found[column.key] = place
        if column.key not in found and column.is_needed:
            raise MappingError(
                f"has no column for {column.key}, such as {quoted(column.headings[0])}"
            )
    return found


def _named_place(heads: Sequence[str], column: Column, said: str | None) -> int | None:
    """Return where a column stands by its very name; None where it is not there.

    Raises
    ------
    MappingError
        When it is there twice, or was said and is not there.
    """
    if said is not None and list(heads).count(said) == 1:
        return list(heads).index(said)
    plain = [plain_heading(head) for head in heads]
    names = [plain_heading(each) for each in ((said,) if said else column.headings)]
    places = [place for place, head in enumerate(plain) if head and head in names]
    if len(places) > 1 and len({plain[place] for place in places}) == 1:
        raise MappingError(f"the column {quoted(heads[places[0]])} stands there twice")
    if said and not places:
        raise MappingError(f"has no column {quoted(said)} for {column.key}")
    return min(places, key=lambda place: names.index(plain[place]), default=None)


def plain_heading(text: str) -> str:
    """Return a heading without case, blanks and signs."""
    return _NO_WORD.sub("", text[:LONGEST_HEAD]).casefold()


def quoted(text: str) -> str:
    """Return what stands in a file as a fault quotes it: short and on one line."""
    return shown(text).removeprefix("text ")
