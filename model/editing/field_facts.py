"""Facts about a field, read from the class that declares it: label, unit, bounds, choices, help."""

from __future__ import annotations

import types
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from functools import lru_cache
from typing import Annotated, Any, Literal, Union, get_args, get_origin

from pydantic.fields import FieldInfo

from model.scenario.declare import ClockTime, Prose, Source, Value
from model.scenario.kinds import KINDS
from model.scenario.scenario import Scenario

Kind = Literal[
    "number",
    "whole",
    "text",
    "prose",
    "choice",
    "flag",
    "clock",
    "date",
    "hours",
    "numbers",
    "points",
    "shade",
    "list",
    "part",
    "sources",
    "sky",
    "skies",
]

_ITEM_WORDS = {
    "stations": "station",
    "plan": "block",
    "readings": "reading",
    "variants": "variant",
    "years": "year",
    **{kind.slot: kind.key for kind in KINDS if kind.is_list},
}
# What stations are called wherever they are read of, in their order.
LETTERS = "ABCD"
MONTHS = (
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
)
_ROW_WORDS = {
    "key_down": "point",
    "horizon": "point",
    "hours": "period",
    "shade": "period",
    "sky": "date",
}


@dataclass(frozen=True)
class FieldFacts:
    """What a form, a fault or a page needs to know of one field.

    ``low`` and ``high`` are the bounds of the number (of each number in ``numbers``), ``low_open``
    and ``high_open`` say that the bound itself is refused. ``min_items`` and ``max_items`` bound a
    list, ``max_length`` a text. ``columns`` names the members of one of the ``points``.
    """

    path: str
    label: str
    kind: Kind
    unit: str = ""
    decimals: int = 0
    help: str = ""
    low: float | date | None = None
    high: float | date | None = None
    low_open: bool = False
    high_open: bool = False
    required: bool = True
    optional: bool = False
    default: Any = None
    choices: tuple[Any, ...] = ()
    spread: float | None = None
    min_items: int | None = None
    max_items: int | None = None
    max_length: int | None = None
    columns: tuple[str, ...] = ()
    part: type[Value] | None = None


@dataclass(frozen=True)
class _Spot:
    """One step of a walk through the classes: what stands there and which field declared it."""

    annotation: Any
    info: FieldInfo | None
    segment: str
    column: int | None = None
    is_item: bool = False


def field_at(path: str, root: type[Value] = Scenario) -> FieldFacts:
    """Return the facts of the field at a dotted path such as ``stations.0.radio.receive_a``.

    Parameters
    ----------
    root : what the path begins in.

    Raises
    ------
    KeyError
        When no scenario, or no other root, can have a field there.
    """
    return _facts(path, root)


@lru_cache(maxsize=4096)
def _facts(path: str, root: type[Value]) -> FieldFacts:
    *_, spot = _spots(path, root)
    info = spot.info
    optional, bare = _without_none(spot.annotation)
    bare, inner_metadata = _without_annotation(bare)
    kind = _kind(spot, bare)
    metadata = list(inner_metadata)
    if info is not None and not spot.is_item:
        metadata += info.metadata
    bounds_from = metadata + (_item_metadata(bare) if kind == "numbers" else [])
    extra = _extra(info)
    units = str(extra.get("unit", "")).split(", ")
    columns = tuple(extra.get("columns", ()))
    required = info is None or info.is_required() or spot.is_item
    return FieldFacts(
        path=path,
        label=_label(spot, columns),
        kind=kind,
        unit=", ".join(units) if spot.column is None else units[spot.column % len(units)],
        decimals=int(extra.get("decimals", 2 if kind in ("number", "numbers") else 0)),
        help=(info.description or "") if info else "",
        required=required,
        optional=optional,
        default=None if required or info is None else info.get_default(call_default_factory=True),
        choices=_choices(bare),
        spread=extra.get("spread"),
        columns=columns if spot.column is None else (),
        part=_part_class(bare),
        **_bounds(bounds_from),
        **_sizes(kind, metadata),
    )


def known_keys(path: str) -> dict[str, FieldInfo]:
    """Return the keys that the table at ``path`` may hold, as a file spells them."""
    *_, spot = _spots(path)
    part = _part_class(_without_annotation(_without_none(spot.annotation)[1])[0])
    return _keys(part) if part else {}


@lru_cache(maxsize=4096)
def describe(path: str) -> str:
    """Return where a path leads, counted from one: ``station 2, battery, rated capacity``."""
    words: list[str] = []
    spots = list(_spots(path))
    for index, spot in enumerate(spots[1:], start=1):
        before = spots[index - 1]
        if not spot.is_item:
            words.append(in_sentence(_label(spot, ())))
        elif _is_sources(before):
            of_field = ".".join([*path.split(".")[: index - 2], spot.segment])
            words[-1] = f"source of {in_sentence(field_at(of_field).label)}"
        elif spot.column is not None:
            columns = tuple(_extra(spot.info).get("columns", ()))
            words.append(in_sentence(_label(spot, columns)))
        elif _is_monthly(before, path) and int(spot.segment) < len(MONTHS):
            words[-1] = f"{words[-1]} in {MONTHS[int(spot.segment)]}"
        elif before.segment in _ITEM_WORDS:
            words[-1] = f"{_ITEM_WORDS[before.segment]} {int(spot.segment) + 1}"
        else:
            words.append(f"{_ROW_WORDS.get(before.segment, 'number')} {int(spot.segment) + 1}")
    return ", ".join(words)


def place_words(path: str) -> str:
    """Return where a path leads as people read it, by letter: ``station B, battery, mass``."""
    words, (*_, last) = describe(path), path.split(".")[:2]
    if not path.startswith("stations.") or not is_index(last):
        return words
    return f"station {LETTERS[int(last)]}{words.removeprefix(f'station {int(last) + 1}')}"


INDEX_DIGITS = 9


def _is_monthly(spot: _Spot, path: str) -> bool:
    return path.count(".") == 2 and path.startswith(f"climate.{spot.segment}.")


def is_index(segment: str) -> bool:
    """Whether a segment of a path counts the entries of a list."""
    # No list is that long, and very many digits are no number to the interpreter.
    return segment.isascii() and segment.isdigit() and len(segment) <= INDEX_DIGITS


def in_sentence(label: str) -> str:
    """Return a label as it reads inside a sentence: ``RF power`` keeps its capitals."""
    starts_plain = label[1:2].islower() or label[1:2] in ("", " ")
    return label[:1].lower() + label[1:] if starts_plain else label


def _spots(path: str, root: type[Value] = Scenario) -> Iterator[_Spot]:
    spot = _Spot(root, None, "")
    yield spot
    for segment in path.split(".") if path else ():
        spot = _step(spot, segment, path)
        yield spot


def _step(spot: _Spot, segment: str, path: str) -> _Spot:
    bare, _ = _without_annotation(_without_none(spot.annotation)[1])
    part = _part_class(bare)
    if part is not None:
        info = _keys(part).get(segment)
        if info is None:
            raise KeyError(f"{path}: no scenario has a field here")
        return _Spot(info.annotation, info, segment)
    if _is_sources(spot):
        return _Spot(Source, None, segment, is_item=True)
    bare = _list_type(bare)
    if bare is None or not is_index(segment):
        raise KeyError(f"{path}: no scenario has a field here")
    items = get_args(bare)
    if items[-1] is Ellipsis:
        return _Spot(items[0], spot.info, segment, is_item=True)
    if int(segment) >= len(items):
        raise KeyError(f"{path}: no scenario has a field here")
    return _Spot(items[int(segment)], spot.info, segment, column=int(segment), is_item=True)


@lru_cache(maxsize=64)
def _keys(part: type[Value]) -> dict[str, FieldInfo]:
    return {info.alias or name: info for name, info in part.model_fields.items()}


def _without_none(annotation: Any) -> tuple[bool, Any]:
    if get_origin(annotation) in (Union, types.UnionType):
        rest = [item for item in get_args(annotation) if item is not type(None)]
        if len(rest) == 1:
            return True, rest[0]
    return False, annotation


def _without_annotation(annotation: Any) -> tuple[Any, list[Any]]:
    if get_origin(annotation) is Annotated:
        bare, *metadata = get_args(annotation)
        return bare, _flat(metadata)
    return annotation, []


def _flat(metadata: list[Any]) -> list[Any]:
    flat: list[Any] = []
    for item in metadata:
        flat += item.metadata if isinstance(item, FieldInfo) else [item]
    return flat


def _list_type(bare: Any) -> Any:
    """Return the tuple type among what may stand here, or None."""
    if get_origin(bare) is tuple:
        return bare
    if get_origin(bare) in (Union, types.UnionType):
        for item in get_args(bare):
            found = _list_type(_without_annotation(item)[0])
            if found is not None:
                return found
    return None


def _item_metadata(bare: Any) -> list[Any]:
    return _without_annotation(get_args(bare)[0])[1]


def _part_class(bare: Any) -> type[Value] | None:
    return bare if isinstance(bare, type) and issubclass(bare, Value) else None


def _is_sources(spot: _Spot) -> bool:
    return spot.segment == "sources" and not spot.is_item


def _kind(spot: _Spot, bare: Any) -> Kind:
    if _part_class(bare):
        return "part"
    if _is_sources(spot):
        return "sources"
    if get_origin(bare) is Literal:
        return "choice"
    if get_origin(bare) in (Union, types.UnionType):
        return "sky" if float in get_args(bare) else "hours"
    if get_origin(bare) is tuple:
        return _list_kind(get_args(bare))
    if bare is str:
        return _text_kind(spot)
    simple: dict[Any, Kind] = {bool: "flag", int: "whole", float: "number", date: "date"}
    return simple[bare]


def _list_kind(items: tuple[Any, ...]) -> Kind:
    item, _ = _without_annotation(items[0])
    if _part_class(item):
        return "list"
    if get_origin(item) in (Union, types.UnionType):
        return "skies"
    if item is float:
        return "numbers"
    # Names left out are plain texts and have no parts.
    return "shade" if ClockTime in get_args(item)[:1] else "points"


def _text_kind(spot: _Spot) -> Kind:
    metadata = _without_annotation(spot.annotation)[1]
    if spot.info is not None and not spot.is_item:
        metadata = metadata + spot.info.metadata
    if _BEFORE_CLOCK in metadata:
        return "clock"
    return "prose" if _AFTER_PROSE in metadata else "text"


_BEFORE_CLOCK = get_args(ClockTime)[1]
_AFTER_PROSE = get_args(Prose)[2]


def _label(spot: _Spot, columns: tuple[str, ...]) -> str:
    if spot.column is not None and spot.column < len(columns):
        return columns[spot.column]
    if spot.info is not None and spot.info.title:
        return spot.info.title
    return spot.segment.replace("_", " ").capitalize()


def _extra(info: FieldInfo | None) -> dict[str, Any]:
    extra = info.json_schema_extra if info else None
    return dict(extra) if isinstance(extra, dict) else {}


def _choices(bare: Any) -> tuple[Any, ...]:
    return get_args(bare) if get_origin(bare) is Literal else ()


def _bounds(metadata: list[Any]) -> dict[str, Any]:
    found: dict[str, Any] = {}
    for item in metadata:
        for name, side, is_open in (
            ("gt", "low", True),
            ("ge", "low", False),
            ("lt", "high", True),
            ("le", "high", False),
        ):
            bound = getattr(item, name, None)
            if bound is not None:
                found[side] = bound
                found[f"{side}_open"] = is_open
    return found


def _sizes(kind: Kind, metadata: list[Any]) -> dict[str, Any]:
    found: dict[str, Any] = {}
    for item in metadata:
        shortest, longest = getattr(item, "min_length", None), getattr(item, "max_length", None)
        if shortest is not None:
            found["min_items"] = shortest
        if longest is not None:
            found["max_length" if kind in ("text", "prose") else "max_items"] = longest
    return found
