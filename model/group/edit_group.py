"""Changes of a group as they are typed: one field of a post or a spare, one more, one less."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import date
from typing import Any, Literal

from pydantic import ValidationError

from model.editing.faults import Fault, ScenarioError, shown
from model.editing.record_faults import keys_below, record_faults
from model.editing.units import EntryError, read_entry
from model.group.group import POSTS_LIMIT, Group, Post, Spare, SpareSlot
from model.group.kits import LoadedGroup
from model.scenario.declare import Value

List = Literal["posts", "spares"]
_CLASSES: dict[List, type[Value]] = {"posts": Post, "spares": Spare}


def text_of(record: Post | Spare, key: str) -> str:
    """Return a field as it is typed; nothing where it is left empty."""
    value = getattr(record, key)
    if key == "start_fraction":
        return f"{value:g}"
    if isinstance(value, float):
        return f"{value:.6g}"
    return "" if value is None else str(value)


def with_text(group: Group, where: List, index: int, key: str, text: str) -> Group:
    """Return a group with another text in one field of a post or a spare.

    A kit number that others name as their relay is followed by them.

    Raises
    ------
    ScenarioError
        When the text is refused; its faults say why and where.
    """
    path = f"{where}.{index}.{key}"
    held = getattr(group, where)
    try:
        value = _READ.get(key, _words)(text.strip())
    except (ValueError, EntryError) as error:
        raise ScenarioError((Fault(path, str(error)),)) from None
    changed = _checked(_CLASSES[where], held[index], {key: value}, f"{where}.{index}")
    records = (*held[:index], changed, *held[index + 1 :])
    if key == "kit" and where == "posts":
        before = held[index].kit
        records = tuple(
            each.model_copy(update={"relay": value}) if each.relay == before else each
            for each in records
        )
    return _grouped(group, {where: records})


def with_post_like(group: Group, index: int) -> Group:
    """Return a group with one more post after another, like it, under the next free kit number.

    Raises
    ------
    ScenarioError
        When there are as many as a group holds.
    """
    post = group.posts[index]
    taken = {each.kit for each in group.posts}
    free = next(
        f"{number:02d}" for number in range(1, POSTS_LIMIT + 2) if f"{number:02d}" not in taken
    )
    like = post.model_copy(update={"kit": free, "call_sign": "", "battery_test_due": None})
    posts = (*group.posts[: index + 1], like, *group.posts[index + 1 :])
    return _grouped(group, {"posts": posts})


def without_post(group: Group, index: int) -> Group:
    """Return a group with one post less; who had it as a relay has none.

    Raises
    ------
    ScenarioError
        When it is the last one.
    """
    gone = group.posts[index].kit
    posts = tuple(
        post.model_copy(update={"relay": ""}) if post.relay == gone else post
        for at, post in enumerate(group.posts)
        if at != index
    )
    return _grouped(group, {"posts": posts})


def with_spare_like(whole: LoadedGroup, index: int, slot: SpareSlot) -> Group:
    """Return a group with one more spare: a part like that of a post, kept where the post stands.

    Raises
    ------
    ScenarioError
        When the post has no such part, or there are as many as a group holds.
    """
    post = whole.group.posts[index]
    station = dict(whole.scenarios)[post.scenario].stations[post.station - 1]
    part = getattr(station, slot)
    if part is None:
        raise ScenarioError((Fault("spares", f"post {post.kit} has no {slot}"),))
    spare = Spare.model_validate({"name": part.name or slot, "where": post.place, slot: part})
    return _grouped(whole.group, {"spares": (*whole.group.spares, spare)})


def without_spare(group: Group, index: int) -> Group:
    """Return a group with one entry of spares less."""
    return _grouped(group, {"spares": (*group.spares[:index], *group.spares[index + 1 :])})


def _words(text: str) -> str:
    return text


def _whole(text: str) -> int:
    if not text.isdecimal():
        raise ValueError(f"must be a whole number, got {shown(text)}")
    return int(text)


def _megahertz(text: str) -> float | None:
    return read_entry(text, "MHz").value if text else None


def _fraction(text: str) -> float:
    return read_entry(text, "").value


def _day(text: str) -> date | None:
    try:
        return date.fromisoformat(text) if text else None
    except ValueError:
        raise ValueError(f"must be a date such as 2027-03-01, got {shown(text)}") from None


def _chosen(text: str) -> str | None:
    return text or None


_READ: Mapping[str, Callable[[str], Any]] = {
    "station": _whole,
    "count": _whole,
    "frequency_mhz": _megahertz,
    "start_fraction": _fraction,
    "battery_test_due": _day,
    "profile": _chosen,
}


def _checked(kind: type[Value], record: Value, changes: Mapping[str, Any], path: str) -> Value:
    table = {name: getattr(record, name) for name in kind.model_fields} | dict(changes)
    try:
        return kind.model_validate(table)
    except ValidationError as error:
        faults = record_faults(error, table, keys_below(kind))
        raise ScenarioError(
            tuple(Fault(f"{path}.{fault.path}", fault.message) for fault in faults)
        ) from None


def _grouped(group: Group, changes: Mapping[str, Any]) -> Group:
    table = {name: getattr(group, name) for name in Group.model_fields} | dict(changes)
    try:
        return Group.model_validate(table)
    except ValidationError as error:
        raise ScenarioError(tuple(record_faults(error, table, keys_below(Group)))) from None
