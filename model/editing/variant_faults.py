"""What is wrong with the changes of variants in a file, whatever the stations there are.

Here a path must lead to a field that some scenario could have, and its value must be one that may
stand there. Whether this scenario has that station or part is a finding: see
``model.editing.variants``.
"""

from __future__ import annotations

import difflib
import re
from collections.abc import Iterator, Mapping
from functools import lru_cache
from typing import Annotated, Any

from pydantic import Field, TypeAdapter, ValidationError

from model.editing.faults import Fault, faults_of, quoted_path
from model.editing.field_facts import field_at, is_index, known_keys
from model.scenario.scenario import CHANGES_LIMIT, VARIANTS_LIMIT, pairs_below

# What the whole file is, and what a variant never holds.
_NOT_IN_A_VARIANT = ("format", "variants")
_ENTRY = re.compile("0|[1-9][0-9]{0,3}")


def faults_of_variants(table: Mapping[str, Any]) -> tuple[Fault, ...]:
    """Return the faults of all changes in the tables of a file, in its order.

    Tables of another shape have none: the scenario itself refuses them.
    """
    variants = table.get("variants")
    if not isinstance(variants, list) or len(variants) > VARIANTS_LIMIT:
        return ()
    faults: list[Fault] = []
    for index, variant in enumerate(variants):
        if isinstance(variant, Mapping):
            faults += _faults_of_variant(variant, f"variants.{index}")
    return tuple(faults)


def _faults_of_variant(variant: Mapping[str, Any], at: str) -> Iterator[Fault]:
    changes, left_out = variant.get("changes"), variant.get("left_out")
    if isinstance(changes, Mapping):
        pairs = dict(pairs_below(changes))
        for path, value in pairs.items() if len(pairs) <= CHANGES_LIMIT else ():
            place = f"{at}.changes.{quoted_path(path)}"
            yield from (Fault(place, words) for words in why_no_change(path, value))
    if isinstance(left_out, list) and len(left_out) <= CHANGES_LIMIT:
        for entry, path in enumerate(left_out):
            words = why_not_left_out(path) if isinstance(path, str) else None
            if words:
                yield Fault(f"{at}.left_out.{entry}", words)


def why_no_change(path: str, value: Any) -> list[str]:
    """Return why a value cannot stand at a path in any scenario; empty where it can."""
    strange = _why_strange(path)
    if strange:
        return [strange]
    kind = field_at(path).kind
    if kind in ("part", "list", "sources"):
        keys = ", ".join(known_keys(f"{path}.0" if kind == "list" else path)) or "a field"
        return [f"leads to a table; name one value in it: {keys}"]
    try:
        _reader(path).validate_python(value)
    except ValidationError as error:
        return [fault.message for fault in faults_of(error, value, path)]
    return []


def why_not_left_out(path: str) -> str | None:
    """Return why nothing at a path can be left out in any scenario; None where it can."""
    strange = _why_strange(path)
    if strange:
        return strange
    above, _, _ = path.rpartition(".")
    if field_at(path).optional or above.endswith(".sources"):
        return None
    return "cannot be left out: only parts and numbers that a file may do without can"


def _why_strange(path: str) -> str | None:
    """Return why a path leads to no field of any scenario, with the nearest that does."""
    at = ""
    segments = path.split(".")
    for place, segment in enumerate(segments):
        if not at and segment in _NOT_IN_A_VARIANT:
            return "is not for a variant to change"
        here = f"{at}.{segment}" if at else segment
        rest = ".".join(segments[place + 1 :])
        kind = field_at(at).kind if at else "part"
        if kind == "list":
            if not _ENTRY.fullmatch(segment):
                return f'leads nowhere: entries are counted from 0, as in "{at}.0"'
        elif kind == "part":
            keys = known_keys(at)
            if segment not in keys:
                return _nearest_words(segment, list(keys), at, rest)
        elif kind == "sources":
            keys = known_keys(at.rpartition(".")[0])
            if segment not in keys:
                return _nearest_words(segment, list(keys), at, rest)
        else:
            return f'leads into a single value; write the whole of it at "{at}"'
        at = here
    return None


def _nearest_words(segment: str, keys: list[str], at: str, rest: str) -> str:
    nearest = difflib.get_close_matches(segment[:80], keys, n=1, cutoff=0.6)
    if nearest:
        below = quoted_path(rest) if rest else ""
        known = ".".join(filter(None, (at, nearest[0], below)))
        return f'leads nowhere; the nearest known path is "{known}"'
    where = f'"{at}"' if at else "a scenario"
    return f"leads nowhere; known in {where} are {', '.join(keys)}"


@lru_cache(maxsize=512)
def _reader_of(above: str, key: str) -> TypeAdapter[Any]:
    info = known_keys(above)[key]
    # A field of its own last, as a type without any bound is no annotated one.
    annotation: Any = Annotated[(info.annotation, *info.metadata, Field())]
    return TypeAdapter(annotation)


def _reader(path: str) -> TypeAdapter[Any]:
    """Return what reads one field; entries of a list share one."""
    above, _, key = path.rpartition(".")
    first = ".".join("0" if is_index(segment) else segment for segment in above.split("."))
    return _reader_of(first, key)
