"""How the fields of a group are typed and shown, and how a change of one is checked."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import date
from typing import Any, Literal

from pydantic import ValidationError

from model.editing.faults import Fault, ScenarioError, shown
from model.editing.record_faults import keys_below, record_faults
from model.editing.units import EntryError, read_entry
from model.group.group import Group, Post, Route, Spare
from model.scenario.declare import Value
from model.scenario.scenario import Site

List = Literal["posts", "spares", "places", "routes"]
Record = Post | Spare | Site | Route
CLASSES: dict[List, type[Record]] = {
    "posts": Post, "spares": Spare, "places": Site, "routes": Route,
}  # fmt: skip


def text_of(record: Value, key: str) -> str:
    """Return a field as it is typed; nothing where it is left empty.

    Parameters
    ----------
    key : its name; ``between.0`` and ``between.1`` are the ends of a route.
    """
    name, _, place = key.partition(".")
    value = getattr(record, name)
    if place:
        value = value[int(place)]
    if isinstance(value, float):
        # Degrees to eleven metres; all else as far as anybody types it.
        return f"{value:.8g}" if key.endswith("_deg") else f"{value:.6g}"
    return "" if value is None else str(value)


def with_field(path: str, record: Value, key: str, text: str) -> Any:
    """Return a record with another text in one of its fields.

    Raises
    ------
    ScenarioError
        When the text is refused; its faults say why, at ``path`` and the field.
    """
    try:
        value = _READ.get(key, _words)(text.strip())
    except (ValueError, EntryError) as error:
        raise ScenarioError((Fault(f"{path}.{key}", str(error)),)) from None
    name, _, place = key.partition(".")
    if place:
        held = list(getattr(record, name))
        held[int(place)] = value
        value = tuple(held)
    table = fields_of(record) | {name: value}
    try:
        return type(record).model_validate(table)
    except ValidationError as error:
        faults = record_faults(error, table, keys_below(type(record)))
        raise ScenarioError(
            tuple(Fault(f"{path}.{fault.path}", fault.message) for fault in faults)
        ) from None


def with_values(group: Group, changes: Mapping[str, Any]) -> Group:
    """Return a group with other values; raises ScenarioError where they do not fit together."""
    return as_group(fields_of(group) | dict(changes))


def as_group(table: Mapping[str, Any]) -> Group:
    """Return the group of its fields; raises ScenarioError where they do not fit together."""
    try:
        return Group.model_validate(table)
    except ValidationError as error:
        raise ScenarioError(tuple(record_faults(error, table, keys_below(Group)))) from None


def fields_of(record: Value) -> dict[str, Any]:
    """Return the fields of a record by their names."""
    return {name: getattr(record, name) for name in type(record).model_fields}


def _words(text: str) -> str:
    return text


def _whole(text: str) -> int:
    if not text.isdecimal():
        raise ValueError(f"must be a whole number, got {shown(text)}")
    return int(text)


def _number(unit: str) -> Callable[[str], float]:
    return lambda text: read_entry(text, unit).value


def _number_or_none(unit: str) -> Callable[[str], float | None]:
    return lambda text: read_entry(text, unit).value if text else None


def _day(text: str) -> date:
    try:
        return date.fromisoformat(text)
    except ValueError:
        raise ValueError(f"must be a date such as 2027-03-01, got {shown(text)}") from None


def _day_or_none(text: str) -> date | None:
    return _day(text) if text else None


def _chosen(text: str) -> str | None:
    return text or None


_READ: Mapping[str, Callable[[str], Any]] = {
    "station": _whole,
    "count": _whole,
    "days": _whole,
    "posts_needed": _whole,
    "frequency_mhz": _number_or_none("MHz"),
    "licence_max_w": _number_or_none("W"),
    "start_fraction": _number(""),
    "albedo": _number(""),
    "latitude_deg": _number("°"),
    "longitude_deg": _number("°"),
    "elevation_m": _number("m"),
    "hours": _number("h"),
    "start_hour": _number("h"),
    "wind_m_s": _number("m/s"),
    "weather_reach_km": _number("km"),
    "date": _day,
    "battery_test_due": _day_or_none,
    "profile": _chosen,
}
