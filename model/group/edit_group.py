"""Changes of a group's posts and spares as they are typed: one field, one more, one less."""

from __future__ import annotations

from typing import Any

from model.editing.faults import Fault, ScenarioError
from model.group.group import POSTS_LIMIT, Group, Spare, SpareSlot
from model.group.kits import LoadedGroup
from model.group.typed_fields import List, Record, with_field, with_values


def with_text(group: Group, where: List, index: int, key: str, text: str) -> Group:
    """Return a group with another text in one field of a post, a spare, a place or a route.

    A kit number that others name as their relay is followed by them, and the name of a place by
    the posts that stand there, the spares kept there and the routes that lead there.

    Raises
    ------
    ScenarioError
        When the text is refused; its faults say why and where.
    """
    held: tuple[Record, ...] = getattr(group, where)
    changed = with_field(f"{where}.{index}", held[index], key, text)
    changes: dict[str, Any] = {where: (*held[:index], changed, *held[index + 1 :])}
    if (where, key) == ("posts", "kit"):
        changes["posts"] = tuple(
            each.model_copy(update={"relay": changed.kit}) if each.relay == old else each
            for old in (group.posts[index].kit,)
            for each in changes["posts"]
        )
    elif (where, key) == ("places", "name"):
        changes |= _moved(group, group.places[index].name, changed.name)
    return with_values(group, changes)


def _moved(group: Group, old: str, new: str) -> dict[str, Any]:
    """Return posts, spares and routes that call a place by its new name."""
    return {
        "posts": tuple(
            each.model_copy(update={"place": new}) if each.place == old else each
            for each in group.posts
        ),
        "spares": tuple(
            each.model_copy(update={"where": new}) if each.where == old else each
            for each in group.spares
        ),
        "routes": tuple(
            each.model_copy(
                update={"between": tuple(new if end == old else end for end in each.between)}
            )
            for each in group.routes
        ),
    }


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
    return with_values(group, {"posts": posts})


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
    return with_values(group, {"posts": posts})


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
    return with_values(whole.group, {"spares": (*whole.group.spares, spare)})


def without_spare(group: Group, index: int) -> Group:
    """Return a group with one entry of spares less."""
    return with_values(group, {"spares": (*group.spares[:index], *group.spares[index + 1 :])})
