"""Spares allotted so that most posts last: net control and relays first, then role by role.

What is compared is told in ``Worth``. Up to twelve spares and twenty posts every way of giving them
out is weighed; beyond that they are given one after the other, and the answer says so.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime
from itertools import product
from math import prod

import numpy as np

from model.group.group import Group, Post
from model.group.group_run import GroupResult, PostRun
from model.group.kits import is_net_control, is_relay, place_of
from model.group.routes import hours_from, place_key
from model.group.swap import Served, served_as_it_is, with_spare
from model.sky.timeline import timeline
from model.support.progress import Search, finish, within

EXACT_SPARES, EXACT_POSTS = 12, 20
# Nobody comes more often to one post: common practice, no source.
BROUGHT_LIMIT = 3
MINUTES_AN_HOUR = 60.0

# What giving out is worth, compared from left to right: how many of net control and relays last;
# hours gained at those that do not; how many posts last; the same for each role in the order of the
# file; hours gained in all; spares that stay in the box; posts that come earlier in the file.
Worth = tuple[int, ...]
PARTS_OF_HOUR = 1000
# No sum of a part reaches half of two to this power.
WORTH_BITS = 48


@dataclass(frozen=True)
class Option:
    """Some spares for one post, none to keep it as it is.

    Attributes
    ----------
    uses : how many of each entry of the group's spares.
    sequence : the entries in the order in which they are put to use.
    lasts : the post then lasts to the end.
    served_h : hours that it is then on the air until its first end [h].
    """

    uses: tuple[int, ...]
    sequence: tuple[int, ...]
    lasts: bool
    served_h: float

    @property
    def rank(self) -> tuple[bool, float]:
        """What tells the better of two for one post."""
        return self.lasts, self.served_h


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
    numbers = numbers_of(result.whole.group, taken)
    stock = tuple(len(each) for each in numbers)
    exact = sum(stock) <= EXACT_SPARES and len(result.posts) <= EXACT_POSTS
    find = _search_best if exact else _search_one_after_another
    sequences = yield from find(result, stock)
    served = tuple(
        _replayed(result, row, sequence)
        for row, sequence in zip(result.posts, sequences, strict=True)
    )
    return Allotment(
        tuple(_orders(result, served, numbers)), served, exact, tuple(_out_of_reach(result, served))
    )


def _replayed(result: GroupResult, row: PostRun, sequence: tuple[int, ...]) -> Served:
    """Return a post with spares put to use one after the other, as they were when weighed."""
    group, served = result.whole.group, served_as_it_is(row.kit, row.planned)
    for entry in sequence:
        after = with_spare(served, group.spares[entry], entry, _arrival_h(group, entry, row) or 0.0)
        assert after is not None
        served = after
    return served


def numbers_of(group: Group, taken: frozenset[int] = frozenset()) -> list[list[int]]:
    """Return the numbers of the spares of each entry, those taken away left out."""
    found, number = [], 1
    for spare in group.spares:
        counted = range(number, number + spare.count)
        found.append([each for each in counted if each not in taken])
        number += spare.count
    return found


def _search_best(result: GroupResult, stock: tuple[int, ...]) -> Search[list[tuple[int, ...]]]:
    """Weigh every way of giving the spares out; posts alike are looked at once."""
    known: dict[object, list[Option]] = {}
    options: list[list[Option]] = []
    for index, row in enumerate(result.posts):
        kit = row.kit
        alike = (
            kit.station, kit.shared, kit.plan, kit.site, kit.trip, kit.lacks, kit.withheld,
            place_key(place_of(kit)),
        )  # fmt: skip
        if alike not in known:
            begin, end = index / len(result.posts), (index + 1) / len(result.posts)
            known[alike] = yield from within(_search_options(result, row, stock), begin, end)
        options.append(known[alike])
    worths = [
        [worth_of(result, row.kit.post, option, of_post[0]) for option in of_post]
        for row, of_post in zip(result.posts, options, strict=True)
    ]
    chosen = best_of(options, worths, stock)
    return [of_post[at].sequence for of_post, at in zip(options, chosen, strict=True)]


def _search_options(
    result: GroupResult, row: PostRun, stock: tuple[int, ...]
) -> Search[list[Option]]:
    """Find what can be made of a post, the best way for each handful of spares; none first."""
    group, nothing = result.whole.group, (0,) * len(stock)
    as_it_is = served_as_it_is(row.kit, row.planned)
    options = [Option(nothing, (), as_it_is.lasts, as_it_is.served_h)]
    if row.lasts or row.kit.withheld is not None:
        return options
    reach = {entry: _arrival_h(group, entry, row) for entry, left in enumerate(stock) if left}
    waiting: dict[tuple[int, ...], Served] = {nothing: as_it_is}
    for turn in range(BROUGHT_LIMIT):
        found: dict[tuple[int, ...], Served] = {}
        best: dict[tuple[int, ...], Option] = {}
        for done, (uses, served) in enumerate(waiting.items()):
            yield (turn + done / len(waiting)) / BROUGHT_LIMIT
            for entry, arrives_h in reach.items():
                if uses[entry] >= stock[entry] or arrives_h is None:
                    continue
                after = with_spare(served, group.spares[entry], entry, arrives_h)
                if after is None or is_no_gain(after, served):
                    continue
                more = tuple(n + (at == entry) for at, n in enumerate(uses))
                option = Option(more, after.brought, after.lasts, after.served_h)
                if more not in best or option.rank > best[more].rank:
                    best[more] = option
                    # A run is large: those that are not gone on from are not kept.
                    if turn + 1 < BROUGHT_LIMIT:
                        found[more] = after
        options += best.values()
        waiting = {uses: served for uses, served in found.items() if not served.lasts}
    return options


def is_no_gain(after: Served, before: Served) -> bool:
    """Return whether a post is no better off with one more spare."""
    return after.run is not None and not after.lasts and after.served_h <= before.served_h


def _arrival_h(group: Group, entry: int, row: PostRun) -> float | None:
    reach = hours_from(group, group.spares[entry].where)
    return reach.get(place_key(place_of(row.kit)))


def is_served_first(post: Post, posts: tuple[Post, ...]) -> bool:
    """Return whether a post is served beside net control: itself, and the relays."""
    return is_net_control(post) or is_relay(post, posts)


def worth_of(result: GroupResult, post: Post, option: Option, nothing: Option) -> Worth:
    """Return what one post is worth with some spares, against how it is with none."""
    roles = result.whole.group.roles
    posts = tuple(row.kit.post for row in result.posts)
    first, lasts = is_served_first(post, posts), int(option.lasts)
    gained = round((option.served_h - nothing.served_h) * PARTS_OF_HOUR)
    brought = len(option.sequence)
    return (
        lasts * first,
        gained * first * (1 - lasts),
        lasts,
        *(lasts * (role == post.role) for role in roles),
        gained,
        -brought,
        -brought * posts.index(post),
    )


def best_of(
    options: Sequence[Sequence[Option]], worths: Sequence[Sequence[Worth]], stock: tuple[int, ...]
) -> list[int]:
    """Return which option of each post together are worth most; worths add up.

    Post by post, for every stock that may be left: R. Bellman, "Dynamic Programming" (1957).
    """
    left = np.array(list(product(*(range(most + 1) for most in stock))), dtype=np.int64)
    left = left.reshape(len(left), len(stock))
    strides = np.array(
        [prod(most + 1 for most in stock[at + 1 :]) for at in range(len(stock))], dtype=np.int64
    )
    best = np.full(len(left), None, dtype=object)
    best[-1] = 0
    picks = []
    for of_post, of_worth in zip(options, worths, strict=True):
        after = np.full(len(left), None, dtype=object)
        pick = np.full(len(left), -1, dtype=np.int64)
        reached = np.array([value is not None for value in best])
        for number, (option, worth) in enumerate(zip(of_post, of_worth, strict=True)):
            uses = np.array(option.uses, dtype=np.int64)
            begin = np.flatnonzero(reached & (left >= uses).all(axis=1))
            end = begin - int(uses @ strides)
            total = best[begin] + packed(worth)
            is_better = np.array(
                [old is None or new > old for new, old in zip(total, after[end], strict=True)],
                dtype=np.bool_,
            )
            after[end[is_better]] = total[is_better]
            pick[end[is_better]] = number
        best = after
        picks.append(pick)
    at = max((value, place) for place, value in enumerate(best) if value is not None)[1]
    chosen = []
    for of_post, pick in zip(reversed(options), reversed(picks), strict=True):
        number = int(pick[at])
        chosen.append(number)
        at += int(np.array(of_post[number].uses, dtype=np.int64) @ strides)
    return chosen[::-1]


def packed(worth: Worth) -> int:
    """Return a worth as one number: sums of such compare as the worths from left to right do."""
    value = 0
    for part in worth:
        value = (value << WORTH_BITS) + part
    return value


def _search_one_after_another(
    result: GroupResult, stock: tuple[int, ...]
) -> Search[list[tuple[int, ...]]]:
    """Serve the posts in their order: first those that then last, then those that gain hours."""
    posts = tuple(row.kit.post for row in result.posts)
    roles = result.whole.group.roles

    def turn(index: int) -> tuple[bool, int, int]:
        post = posts[index]
        return not is_served_first(post, posts), roles.index(post.role), index

    left = list(stock)
    sequences: list[tuple[int, ...]] = [() for _ in posts]
    order = sorted(range(len(posts)), key=turn)
    visits = [(must_last, index) for must_last in (True, False) for index in order]
    for number, (must_last, index) in enumerate(visits):
        yield number / len(visits)
        if not sequences[index]:
            sequences[index] = _handful(result, result.posts[index], left, must_last=must_last)
            for entry in sequences[index]:
                left[entry] -= 1
    return sequences


def _handful(
    result: GroupResult, row: PostRun, stock: Sequence[int], *, must_last: bool
) -> tuple[int, ...]:
    """Return spares for one post, each time the one that helps it most; none without success."""
    group, served, left = result.whole.group, served_as_it_is(row.kit, row.planned), list(stock)
    if row.lasts or row.kit.withheld is not None:
        return ()
    for _ in range(BROUGHT_LIMIT):
        best: Served | None = None
        for entry, spare in enumerate(group.spares):
            arrives_h = _arrival_h(group, entry, row) if left[entry] else None
            after = None
            if arrives_h is not None:
                after = with_spare(served, spare, entry, arrives_h)
            if after is None or is_no_gain(after, served):
                continue
            if best is None or (after.lasts, after.served_h) > (best.lasts, best.served_h):
                best = after
        if best is None:
            break
        served = best
        left[served.brought[-1]] -= 1
        if served.lasts:
            return served.brought
    return () if must_last else served.brought


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
