"""A drill: parts, spares or posts are taken away, and the group is run again."""

from __future__ import annotations

import difflib
import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from typing import Any

from model.editing.faults import Fault, ScenarioError, shown
from model.group.group_run import GroupResult, search_kits, search_suns
from model.group.kits import LoadedGroup, PostKit, kits_of
from model.group.spares import Allotment, search_spares
from model.scenario.kinds import KINDS
from model.support.progress import Search, finish, within

# Without one of these nothing is on the air.
NEEDED = ("radio", "antenna", "battery")
_NAME = re.compile(r"post([0-9A-Za-z-]{1,8})(?:\.([a-z]+)(?:\.([0-9]{1,3}))?)?|spare([0-9]{1,4})")


@dataclass(frozen=True, eq=False)
class Drill:
    """What is left of a group.

    Attributes
    ----------
    before : the group as it is.
    result : its posts after the drill; those taken away have no row.
    spares_before, spares : who gets which spare, before and after.
    lost : kit numbers of posts that lasted with their spares and do so no more; those taken away
        are not among them.
    unrelayed : kit numbers of posts whose relay was taken away or is off the air at some time.
    """

    before: GroupResult
    result: GroupResult
    spares_before: Allotment
    spares: Allotment
    lost: tuple[str, ...]
    unrelayed: tuple[str, ...]


@dataclass(frozen=True)
class Taken:
    """What a drill takes away: posts, parts by post, and spares, by their numbers."""

    posts: frozenset[str]
    parts: tuple[tuple[str, str], ...]
    spares: frozenset[int]


def drill(whole: LoadedGroup, without: Sequence[str]) -> Drill:
    """Take parts away and run the rest; see ``search_drill``."""
    return finish(search_drill(whole, without))


def search_drill(
    whole: LoadedGroup, without: Sequence[str], before: GroupResult | None = None
) -> Search[Drill]:
    """Take parts, spares or posts away, and run the rest again.

    Parameters
    ----------
    without : such as ``post04``, ``post04.battery``, ``post04.leads.2`` or ``spare2``.
    before : the group as it is, where it has been run already.

    Raises
    ------
    ScenarioError
        When there is nothing of such a name, or no post is left.
    """
    yield from search_suns(whole)
    taken = read_names(whole, without)
    kits = kits_of(whole)
    left = tuple(_less(kit, taken) for kit in kits if kit.post.kit not in taken.posts)
    if not left:
        raise ScenarioError((Fault("without", "no post is left"),))
    if before is None:
        before = yield from within(search_kits(whole, kits), 0.0, 0.4)
    spares_before = yield from within(search_spares(before), 0.4, 0.5)
    result = yield from within(search_kits(whole, left), 0.5, 0.9)
    result = replace(result, without=tuple(without))
    spares = yield from within(search_spares(result, taken.spares), 0.9, 1.0)
    stood = {kit.post.kit for kit in left}
    lost = [one for one in spares_before.lasting if one in stood and one not in spares.lasting]
    unrelayed = [
        kit.post.kit
        for kit in left
        if kit.post.relay and (kit.post.relay not in stood or kit.post.relay not in spares.lasting)
    ]
    return Drill(before, result, spares_before, spares, tuple(lost), tuple(unrelayed))


def read_names(whole: LoadedGroup, without: Iterable[str]) -> Taken:
    """Return what is named, each name checked.

    Raises
    ------
    ScenarioError
        One line for each name that nothing has.
    """
    kits = {kit.post.kit: kit for kit in kits_of(whole)}
    spares = sum(spare.count for spare in whole.group.spares)
    posts: set[str] = set()
    parts: list[tuple[str, str]] = []
    numbers: set[int] = set()
    faults = []
    for name in without:
        found = _NAME.fullmatch(name)
        if found and found[4] and 1 <= int(found[4]) <= spares:
            numbers.add(int(found[4]))
        elif found and found[1] in kits and found[2] is None:
            posts.add(found[1])
        elif found and found[1] in kits and _part_path(found) in parts_of(kits[found[1]]):
            parts.append((found[1], _part_path(found)))
        else:
            faults.append(Fault("without", _unknown(name, kits, spares)))
    if faults:
        raise ScenarioError(tuple(faults))
    return Taken(frozenset(posts), tuple(parts), frozenset(numbers))


def _part_path(found: re.Match[str]) -> str:
    return f"{found[2]}.{found[3]}" if found[3] else found[2]


def parts_of(kit: PostKit) -> tuple[str, ...]:
    """Return the parts of a kit as a drill names them: those in a list counted from 1."""
    names = []
    for kind in KINDS:
        for path, _ in kind.held_by(kit.station):
            slot, _, place = path.partition(".")
            names.append(f"{slot}.{int(place) + 1}" if place else slot)
    return tuple(names)


def _unknown(name: str, kits: dict[str, PostKit], spares: int) -> str:
    known = [f"post{kit}" for kit in kits] + [f"spare{n + 1}" for n in range(min(spares, 40))]
    words = shown(name).removeprefix("text ")
    found = _NAME.fullmatch(name)
    if found and found[1] in kits and found[2]:
        held = ", ".join(f"post{found[1]}.{part}" for part in parts_of(kits[found[1]]))
        return f"{words} is no part of post {found[1]}; it has {held}"
    near = difflib.get_close_matches(name, known, n=3, cutoff=0.5)
    if near:
        return f"{words} is neither a post, a part nor a spare; near it: {', '.join(near)}"
    return f"{words} is neither a post, a part nor a spare; write post01, post01.battery or spare1"


def _less(kit: PostKit, taken: Taken) -> PostKit:
    paths = [path for number, path in taken.parts if number == kit.post.kit]
    if not paths:
        return kit
    lacks = tuple(path for path in NEEDED if path in paths)
    gone: dict[str, set[int]] = {}
    changes: dict[str, Any] = {}
    for path in paths:
        slot, _, place = path.partition(".")
        if place:
            gone.setdefault(slot, set()).add(int(place) - 1)
        elif slot == "antenna" or slot not in NEEDED:
            changes[slot] = None
    for slot, places in gone.items():
        held = getattr(kit.station, slot)
        changes[slot] = tuple(part for at, part in enumerate(held) if at not in places)
    unplugged = kit.station.panel if "controller" in paths and "panel" not in paths else None
    if unplugged is not None:
        changes["panel"] = None
    left = kit.with_station(kit.station.model_copy(update=changes))
    return replace(left, lacks=lacks, unplugged=unplugged)
