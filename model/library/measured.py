"""What was measured on a station's parts, taken into the parts of the same name in a library."""

from __future__ import annotations

from collections.abc import Iterator

from pydantic import ValidationError

from model.library.catalogue import KINDS, LISTS, Library, kind_of
from model.scenario.declare import Source
from model.scenario.station import Part, Station


def measured_parts(station: Station, library: Library) -> tuple[Part, ...]:
    """Return the parts of a library as they are with the numbers that a station's were measured at.

    Each number brings its date, its spread and its note; all else of the part stays as the library
    has it. A part that the library has not is taken as the station has it, and so is one whose
    other numbers do not go with those measured. What is there already is left out.

    Parameters
    ----------
    station : whose parts were measured; one without a name is nobody's in a library.
    library : where parts of the same kind and name are looked for.
    """
    return tuple(dict.fromkeys(_measured(station, library)))


def nameless_measured(station: Station) -> tuple[Part, ...]:
    """Return the parts with a measured number that have no name to be found by in a library."""
    return tuple(part for part in parts_of(station) if _taken(part) and not part.name.strip())


def _taken(part: Part) -> dict[str, Source]:
    return {key: each for key, each in part.sources if each.origin == "measured"}


def _measured(station: Station, library: Library) -> Iterator[Part]:
    for part in parts_of(station):
        taken = _taken(part)
        if not taken or not part.name.strip():
            continue
        try:
            held = library.find(kind_of(part), part.name)
        except KeyError:
            yield part
            continue
        made = _with_numbers(held, part, taken)
        if made != held:
            yield made


def _with_numbers(held: Part, part: Part, taken: dict[str, Source]) -> Part:
    names = {info.alias or name: name for name, info in type(part).model_fields.items()}
    table = {key: getattr(held, name) for key, name in names.items()}
    table |= {key: getattr(part, names[key]) for key in taken if key in names}
    table["sources"] = tuple(sorted((dict(held.sources) | taken).items()))
    try:
        return type(held).model_validate(table, by_alias=True, by_name=False)
    except ValidationError:
        return part


def parts_of(station: Station) -> tuple[Part, ...]:
    """Return every part that a station carries, in the order of the kinds."""
    parts: list[Part] = []
    for kind in KINDS:
        held = getattr(station, LISTS.get(kind, kind))
        parts += held if kind in LISTS else [held] if held is not None else []
    return tuple(parts)
