"""Spares allotted so that most posts last: net control and relays first, then role by role.

What is compared is told in ``Worth``. Up to twelve spares and twenty posts every way of giving them
out is weighed; beyond that they are given one after the other, and the answer says so.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime

from model.group.group import Group, Post
from model.group.group_run import GroupResult, PostRun
from model.group.kits import is_net_control, is_relay, place_of
from model.group.routes import hours_from, place_key
from model.group.swap import Served, served_as_it_is, with_spare
from model.sky.timeline import timeline
from model.support.progress import Search, finish

EXACT_SPARES, EXACT_POSTS = 12, 20
# Nobody comes more often to one post: common practice, no source.
BROUGHT_LIMIT = 3
MINUTES_AN_HOUR = 60.0

# What giving out is worth, compared from left to right: how many of net control and relays last;
# hours gained at those that do not; how many posts last; the same for each role in the order of the
# file; hours gained in all; spares that stay in the box; posts that come earlier in the file.
Worth = tuple[float, ...]


@dataclass(frozen=True, eq=False)
class Option:
    """Some spares for one post, none to keep it as it is.

    Attributes
    ----------
    uses : how many of each entry of the group's spares.
    served : what they make of the post.
    worth : of this post alone.
    """

    uses: tuple[int, ...]
    served: Served
    worth: Worth


@dataclass(frozen=True)
class Order:
    """One spare that goes to one post.

    Attributes
    ----------
    spare : its number, counted from 1 through the file.
    entry : its entry in the group's spares.
    kit : number of the post's kit.
    by : when it has to be there.
    arrives : the earliest that it can be there.
    """

    spare: int
    entry: int
    kit: str
    by: datetime
    arrives: datetime


@dataclass(frozen=True, eq=False)
class Allotment:
    """Who gets which spare.

    Attributes
    ----------
    orders : in the order of time.
    served : every post with what was brought to it, in the order of the file.
    exact : no other way of giving them out is worth more.
    out_of_reach : kit numbers of posts that do not last and to which no route leads from any spare.
    """

    orders: tuple[Order, ...]
    served: tuple[Served, ...]
    exact: bool
    out_of_reach: tuple[str, ...]

    @property
    def lasting(self) -> tuple[str, ...]:
        """Kit numbers of the posts that then last."""
        return tuple(each.kit.post.kit for each in self.served if each.lasts)


def allot_spares(result: GroupResult, taken: frozenset[int] = frozenset()) -> Allotment:
    """Allot the spares of a group; see ``search_spares``."""
    return finish(search_spares(result, taken))


def search_spares(result: GroupResult, taken: frozenset[int] = frozenset()) -> Search[Allotment]:
    """Allot the spares of a group.

    Parameters
    ----------
    result : its posts as they are run.
    taken : numbers of spares that a drill took away.

    Returns
    -------
    Gives the share done, 0..1, and at its end who gets what.
    """
    group = result.whole.group
    numbers = numbers_of(group, taken)
    stock = tuple(len(each) for each in numbers)
    options: list[tuple[Option, ...]] = []
    for index, row in enumerate(result.posts):
        yield index / len(result.posts)
        options.append(tuple(_options(result, row, stock)))
    exact = sum(stock) <= EXACT_SPARES and len(options) <= EXACT_POSTS
    given = best_of(options, stock) if exact else one_after_another(options, stock, result)
    served = tuple(option.served for option in given)
    return Allotment(
        tuple(_orders(result, served, numbers)), served, exact, tuple(_out_of_reach(result, served))
    )


def numbers_of(group: Group, taken: frozenset[int] = frozenset()) -> list[list[int]]:
    """Return the numbers of the spares of each entry, those taken away left out."""
    found, number = [], 1
    for spare in group.spares:
        counted = range(number, number + spare.count)
        found.append([each for each in counted if each not in taken])
        number += spare.count
    return found


def _options(result: GroupResult, row: PostRun, stock: tuple[int, ...]) -> Iterator[Option]:
    """Yield what can be made of a post, the best way for each handful of spares."""
    group, nothing = result.whole.group, (0,) * len(stock)
    as_it_is = served_as_it_is(row.kit, row.planned)
    yield Option(nothing, as_it_is, worth_of(result, row.kit.post, as_it_is, as_it_is))
    if row.lasts or row.kit.withheld is not None:
        return
    reach = {entry: _arrival_h(group, entry, row) for entry, left in enumerate(stock) if left}
    waiting: dict[tuple[int, ...], Served] = {nothing: as_it_is}
    for _ in range(BROUGHT_LIMIT):
        found: dict[tuple[int, ...], Served] = {}
        for uses, served in waiting.items():
            for entry, arrives_h in reach.items():
                if uses[entry] >= stock[entry] or arrives_h is None:
                    continue
                after = with_spare(served, group.spares[entry], entry, arrives_h)
                if after is None or _is_no_gain(after, served):
                    continue
                more = tuple(n + (at == entry) for at, n in enumerate(uses))
                if more not in found or _better(after, found[more]):
                    found[more] = after
        for uses, served in found.items():
            yield Option(uses, served, worth_of(result, row.kit.post, served, as_it_is))
        waiting = {uses: served for uses, served in found.items() if not served.lasts}


def _is_no_gain(after: Served, before: Served) -> bool:
    return after.run is not None and not after.lasts and after.served_h <= before.served_h


def _better(one: Served, other: Served) -> bool:
    return (one.lasts, one.served_h) > (other.lasts, other.served_h)


def _arrival_h(group: Group, entry: int, row: PostRun) -> float | None:
    reach = hours_from(group, group.spares[entry].where)
    return reach.get(place_key(place_of(row.kit)))


def is_served_first(post: Post, posts: tuple[Post, ...]) -> bool:
    """Return whether a post is served beside net control: itself, and the relays."""
    return is_net_control(post) or is_relay(post, posts)


def worth_of(result: GroupResult, post: Post, served: Served, before: Served) -> Worth:
    """Return what one post is worth with what was brought to it, against how it was before."""
    roles = result.whole.group.roles
    posts = tuple(row.kit.post for row in result.posts)
    first, lasts = is_served_first(post, posts), float(served.lasts)
    gained_h = round(served.served_h - before.served_h, 3)
    return (
        lasts * first,
        gained_h * first * (1.0 - lasts),
        lasts,
        *(lasts * (role == post.role) for role in roles),
        gained_h,
        -float(len(served.brought)),
        -float(len(served.brought) * posts.index(post)),
    )


def best_of(options: Sequence[Sequence[Option]], stock: tuple[int, ...]) -> tuple[Option, ...]:
    """Return the option of each post that together are worth most; worths add up.

    Post by post, for every stock that may be left: R. Bellman, "Dynamic Programming" (1957).
    """
    best: dict[tuple[int, ...], tuple[Worth, tuple[Option, ...]]] = {stock: ((), ())}
    for of_post in options:
        after: dict[tuple[int, ...], tuple[Worth, tuple[Option, ...]]] = {}
        for left, (worth, chosen) in best.items():
            for option in of_post:
                rest = tuple(have - use for have, use in zip(left, option.uses, strict=True))
                if min(rest, default=0) < 0:
                    continue
                total = added(worth, option.worth)
                if rest not in after or total > after[rest][0]:
                    after[rest] = (total, (*chosen, option))
        best = after
    return max(best.values(), key=lambda found: found[0])[1]


def added(one: Worth, other: Worth) -> Worth:
    """Return two worths together; an empty one is nothing yet."""
    if not one:
        return other
    return tuple(round(a + b, 3) for a, b in zip(one, other, strict=True))


def one_after_another(
    options: Sequence[Sequence[Option]], stock: tuple[int, ...], result: GroupResult
) -> tuple[Option, ...]:
    """Serve the posts in their order, each by what is then worth most of what is left."""
    posts = tuple(row.kit.post for row in result.posts)
    roles = result.whole.group.roles

    def rank(index: int) -> tuple[bool, int, int]:
        post = posts[index]
        return not is_served_first(post, posts), roles.index(post.role), index

    chosen: dict[int, Option] = {}
    left = stock
    for index in sorted(range(len(options)), key=rank):
        able = [
            option
            for option in options[index]
            if all(use <= have for use, have in zip(option.uses, left, strict=True))
        ]
        chosen[index] = max(able, key=lambda option: option.worth)
        left = tuple(have - use for have, use in zip(left, chosen[index].uses, strict=True))
    return tuple(chosen[index] for index in range(len(options)))


def _orders(
    result: GroupResult, served: tuple[Served, ...], numbers: list[list[int]]
) -> list[Order]:
    group = result.whole.group
    wanted = sorted(
        (need_h, index, entry)
        for index, each in enumerate(served)
        for need_h, entry in zip(each.needed_h, each.brought, strict=True)
    )
    boxes = [list(each) for each in numbers]
    found = []
    for need_h, index, entry in wanted:
        row = result.posts[index]
        arrives_h = _arrival_h(group, entry, row) or 0.0
        at = timeline(row.kit.site, group.day).at
        found.append(
            Order(
                boxes[entry].pop(0), entry, row.kit.post.kit,
                at(need_h * MINUTES_AN_HOUR), at(arrives_h * MINUTES_AN_HOUR),
            )
        )  # fmt: skip
    return found


def _out_of_reach(result: GroupResult, served: tuple[Served, ...]) -> Iterator[str]:
    group = result.whole.group
    for row, each in zip(result.posts, served, strict=True):
        if not each.lasts and group.spares:
            reached = [_arrival_h(group, entry, row) for entry in range(len(group.spares))]
            if all(hours_h is None for hours_h in reached):
                yield row.kit.post.kit
