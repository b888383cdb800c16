"""What many kits rest on together: one plug, one licence, one backup, one relay, one batch."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Literal

from model.group.kits import LoadedGroup, PostKit, kits_of
from model.group.power_matrix import lender_of
from model.results.wording import listed

Shared = Literal["plug", "licence", "backup", "relay", "batch"]


@dataclass(frozen=True)
class SharedPoint:
    """One thing whose failure is felt at several posts at once.

    Attributes
    ----------
    kind : what kind of thing it is.
    what : the thing, in the words of the file.
    kits : numbers of the posts that rest on it.
    words : a sentence about it.
    """

    kind: Shared
    what: str
    kits: tuple[str, ...]
    words: str


def shared_points(whole: LoadedGroup) -> tuple[SharedPoint, ...]:
    """Return what several posts rest on, of each kind the one with most posts first.

    A plug or a backup counts where half of the posts or more have it, a licence, a relay or a
    batch of batteries that is not tested from two posts on.
    """
    kits = kits_of(whole)
    half = max(2, -(-len(kits) // 2))
    end = whole.group.day.date + timedelta(days=whole.group.day.days)
    return (
        *_shared(kits, "plug", lambda kit: lender_of(kit).plug, half, _plug_words),
        *_shared(kits, "licence", lambda kit: kit.post.licence, 2, _licence_words),
        *_shared(kits, "backup", lambda kit: kit.post.backup, half, _backup_words),
        *_shared(kits, "relay", lambda kit: kit.post.relay, 2, _relay_words),
        *_shared(kits, "batch", lambda kit: _untested(kit, end), 2, _batch_words),
    )


def is_test_due(kit: PostKit, end: date) -> bool:
    """Return whether a battery was never tested, or is to be tested again before a date."""
    due = kit.post.battery_test_due
    return due is None or due < end


def _untested(kit: PostKit, end: date) -> str:
    return kit.post.battery_batch if is_test_due(kit, end) else ""


def _shared(
    kits: tuple[PostKit, ...],
    kind: Shared,
    of: Callable[[PostKit], str],
    least: int,
    say: Callable[[str, int, int], str],
) -> Iterator[SharedPoint]:
    holders: dict[str, list[PostKit]] = {}
    for kit in kits:
        words = " ".join(of(kit).split())
        if words:
            holders.setdefault(words.casefold(), []).append(kit)
    for found in sorted(holders.values(), key=lambda each: -len(each)):
        if len(found) >= least:
            what = " ".join(of(found[0]).split())
            numbers = tuple(kit.post.kit for kit in found)
            sentence = f"{say(what, len(found), len(kits))}: posts {listed(list(numbers))}."
            yield SharedPoint(kind, what, numbers, sentence)


def _plug_words(what: str, posts: int, of: int) -> str:
    return f"One plug ({what}) on the batteries of {posts} of {of} posts: carry spare plugs of it"


def _licence_words(what: str, posts: int, _of: int) -> str:
    return f"One licence ({what}) covers {posts} posts, none of which transmits without its holder"


def _backup_words(what: str, posts: int, of: int) -> str:
    return f"One backup ({what}) for {posts} of {of} posts: where it fails they have no other"


def _relay_words(what: str, posts: int, _of: int) -> str:
    return f"One relay (post {what}) passes on the traffic of {posts} posts"


def _batch_words(what: str, posts: int, _of: int) -> str:
    return f"One batch of batteries ({what}) at {posts} posts, not tested or due for a test"
