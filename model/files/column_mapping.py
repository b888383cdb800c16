"""Which column of somebody else's table holds what: by its heading, or as a person has said."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from model.editing.faults import shown

COLUMNS_LIMIT = 200
_NO_WORD = re.compile(r"[\W_]+")


class MappingError(Exception):
    """A table without a column that is needed; one line that says which."""


@dataclass(frozen=True)
class Column:
    """What is looked for: its name, the headings it is known by, whether nothing goes without."""

    key: str
    headings: tuple[str, ...]
    is_needed: bool = True


def mapped(
    heads: Sequence[str], wanted: Sequence[Column], chosen: Mapping[str, str] | None = None
) -> dict[str, int]:
    """Return the place of each column that is there, from 0.

    Headings are the same whatever their case, blanks and signs: ``SNR (dB)`` is ``snr_db``.

    Parameters
    ----------
    heads : the first line of the table.
    wanted : what is looked for.
    chosen : for a name in ``wanted`` the heading that a person has said; it goes before any other.

    Raises
    ------
    MappingError
        When a column that is needed or was chosen is missing, or stands there twice.
    """
    if len(heads) > COLUMNS_LIMIT:
        raise MappingError(f"has {len(heads)} columns, more than {COLUMNS_LIMIT}")
    plain = [plain_heading(head) for head in heads]
    known = {column.key for column in wanted}
    for key in chosen or {}:
        if key not in known:
            raise MappingError(f"{quoted(key)} is no column; known are {', '.join(sorted(known))}")
    found: dict[str, int] = {}
    for column in wanted:
        said = (chosen or {}).get(column.key)
        names = [plain_heading(each) for each in ((said,) if said else column.headings)]
        places = [place for place, head in enumerate(plain) if head and head in names]
        if len(places) > 1 and len({plain[place] for place in places}) == 1:
            raise MappingError(f"the column {quoted(heads[places[0]])} stands there twice")
        if places:
            found[column.key] = min(places, key=lambda place: names.index(plain[place]))
        elif said:
            raise MappingError(f"has no column {quoted(said)} for {column.key}")
        elif column.is_needed:
            raise MappingError(
                f"has no column for {column.key}, such as {quoted(column.headings[0])}"
            )
    return found


def plain_heading(text: str) -> str:
    """Return a heading without case, blanks and signs."""
    return _NO_WORD.sub("", text[:100]).casefold()


def quoted(text: str) -> str:
    """Return what stands in a file as a fault quotes it: short and on one line."""
    return shown(text).removeprefix("text ")
