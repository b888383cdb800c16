"""After the exercise: what the field log of each post says, a line a post, and across posts."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass

from model.field.causes import Cause
from model.field.field_words import cause_words
from model.field.log_check import FieldCheck, search_field_check
from model.group.group_run import GroupResult
from model.group.kits import PostKit
from model.results.wording import capital, listed
from model.support.figures import in_10, percent
from model.support.progress import Search, finish, within


@dataclass(frozen=True, eq=False)
class PostLearned:
    """What one post's log says.

    Attributes
    ----------
    kit : whose log it is.
    check : the log against the planned run; None where there is no log or no run.
    line : a sentence of it.
    """

    kit: PostKit
    check: FieldCheck | None
    line: str


@dataclass(frozen=True, eq=False)
class AfterAction:
    """All logs of a group.

    Attributes
    ----------
    posts : a line for each post, in the order of the file.
    across : what several logs say together.
    """

    posts: tuple[PostLearned, ...]
    across: tuple[str, ...]


def after_action(result: GroupResult) -> AfterAction:
    """Check the logs of all posts; see ``search_after_action``."""
    return finish(search_after_action(result))


def search_after_action(result: GroupResult) -> Search[AfterAction]:
    """Check the log of every post against its planned run.

    A log stands with the station of a scenario: one at which several posts are is nobody's own.

    Returns
    -------
    Gives the share done, 0..1, and at its end what was learned.
    """
    posts_of = Counter(_station_of(row.kit) for row in result.posts)
    learned = []
    for index, row in enumerate(result.posts):
        begin, end = index / len(result.posts), (index + 1) / len(result.posts)
        yield begin
        check = None
        is_own = posts_of[_station_of(row.kit)] == 1
        if row.planned is not None and row.kit.station.readings and is_own:
            check = yield from within(search_field_check(row.planned), begin, end)
        learned.append(PostLearned(row.kit, check, _line(row.kit, check, is_own=is_own)))
    posts = tuple(learned)
    return AfterAction(posts, tuple(_across(posts)))


def _station_of(kit: PostKit) -> tuple[str, int]:
    return kit.post.scenario, kit.post.station


def _line(kit: PostKit, check: FieldCheck | None, *, is_own: bool) -> str:
    name = capital(kit.name)
    if check is None and kit.runs and kit.station.readings and not is_own:
        return f"{name}: its log stands with a station of several posts; give it one of its own."
    if check is None:
        return f"{name}: no log." if kit.runs else f"{name}: not run."
    if check.found is None:
        return f"{name}: its log says nothing of this run."
    first = check.found.explanations[0]
    odds = in_10(first.share)
    if not first.causes:
        return f"{name}: all is about as entered ({odds})."
    said = listed([cause_words(check.predicted, cause) for cause in first.causes])
    return f"{name}: {said} ({odds})."


def likeliest(learned: PostLearned) -> tuple[Cause, ...]:
    """Return what the likeliest explanation of a log holds to be off."""
    if learned.check is None or learned.check.found is None:
        return ()
    return learned.check.found.explanations[0].causes


def _across(posts: tuple[PostLearned, ...]) -> Iterator[str]:
    logs = [each for each in posts if each.check is not None and each.check.found is not None]
    if not logs:
        return
    yield f"{len(logs)} of {len(posts)} posts have a log that can be read."
    off: dict[str, list[tuple[PostLearned, Cause]]] = {}
    for each in logs:
        for cause in likeliest(each):
            off.setdefault(cause.unknown.key, []).append((each, cause))
    for key, found in sorted(off.items(), key=lambda pair: -len(pair[1])):
        if len(found) < 2:
            continue
        numbers = listed([each.kit.post.kit for each, _ in found])
        middle = sorted(cause.factor for _, cause in found)[len(found) // 2]
        what = {"battery": "batteries", "sun": "the sun", "start": "the charge at the start"}.get(
            key, found[0][1].unknown.words
        )
        yield (
            f"{capital(what)} at posts {numbers}: about {percent(middle)} of what was entered, in"
            " the middle of them."
        )
        if key == "sun" and len(found) * 2 > len(logs):
            yield "More than half of the logs say so of the sun: the weather is behind it."
        if key == "battery":
            yield from _batches(found)


def _batches(found: list[tuple[PostLearned, Cause]]) -> Iterator[str]:
    of: dict[str, list[str]] = {}
    for each, _ in found:
        if each.kit.post.battery_batch:
            of.setdefault(each.kit.post.battery_batch, []).append(each.kit.post.kit)
    for batch, kits in of.items():
        if len(kits) > 1:
            yield f"Posts {listed(kits)} have batteries of one batch ({batch}): test all of it."
