"""How the window and the printed set say who can power whom, and which spare goes where."""

from __future__ import annotations

from collections.abc import Iterator

from model.group.group import Group
from model.group.group_run import GroupResult
from model.group.power_matrix import ALONE_DAYS, PowerCell
from model.group.shared_odds import GroupOdds
from model.group.spares import Allotment
from model.odds.sentences import odds_text
from model.results.wording import capital, listed
from model.support.figures import NBSP, day_and_time, duration

OWN = "own"
MOST_H = 24.0 * ALONE_DAYS[-1]
# What a reason is called where there is room for one word.
REASONS = {
    "no radio": "no radio", "no battery": "none", "volts": "volts", "profile": "charge",
    "plug": "plug", "polarity": "polarity", "fuse": "fuse", "current": "current", "run": "volts",
}  # fmt: skip


def hours_text(hours_h: float | None) -> str:
    """Return whole hours, or that it is longer than was looked at."""
    if hours_h is None:
        return f"over {ALONE_DAYS[-1]}{NBSP}d"
    return f"{int(hours_h)}{NBSP}h" if hours_h >= 1 else duration(hours_h)


def cell_text(cell: PowerCell) -> str:
    """Return a cell of the matrix: hours, or the first reason why not."""
    if not cell.can_power:
        more = "…" if len(cell.refusals) > 1 else ""
        return f"✕ {REASONS[cell.refusals[0].reason]}{more}"
    return f"{hours_text(cell.hours_h)}{' ' + OWN if cell.is_own else ''}"


def cell_words(cell: PowerCell) -> str:
    """Return a cell as a sentence with its reasons."""
    name = f"The battery of {cell.lender}" if cell.lender.startswith("post") else cell.lender
    what = f"{capital(name)} on the radio of post {cell.kit}"
    if not cell.can_power:
        return f"{what}: no. {'; '.join(capital(each.words) for each in cell.refusals)}."
    hours = hours_text(cell.hours_h) if cell.hours_h is None else duration(cell.hours_h)
    notes = "".join(f" {capital(each)}." for each in cell.notes)
    own = ", its own" if cell.is_own else ""
    return f"{what}{own}: {hours} without sun.{notes}"


def allotment_lines(result: GroupResult, found: Allotment) -> Iterator[str]:
    """Yield who gets which spare by when, and what that makes of the posts."""
    days = result.whole.group.day.days
    for order in found.orders:
        name = result.whole.group.spares[order.entry].name
        what = f"Spare {order.spare}{f' ({name})' if name else ''}"
        yield (
            f"{what} to post {order.kit} by {day_and_time(order.by, days)};"
            f" it can be there {day_and_time(order.arrives, days)}."
        )
    if not found.orders:
        yield "No spare is sent: none is needed, or none reaches a post that needs it in time."
    before = [row.kit.post.kit for row in result.posts if row.lasts]
    after = found.lasting
    yield (
        f"Posts that last as planned: {len(before)} of {len(result.posts)} without spares,"
        f" {len(after)} with them."
    )
    short = [row.kit.post.kit for row in result.posts if row.kit.post.kit not in after]
    if short:
        yield f"Not to the end even so: {'posts' if len(short) > 1 else 'post'} {listed(short)}."
    if found.out_of_reach:
        yield f"No route leads from any spare to {listed(list(found.out_of_reach))}."
    if not found.exact:
        yield "Given out one after the other: with so many spares or posts not every way is tried."


def odds_sentence(found: GroupOdds, group: Group) -> str:
    """Return the odds that the net has all the posts that it needs all night."""
    needed = min(group.posts_needed, len(found.at_least) - 1)
    others = "1 other post" if needed == 1 else f"{needed} other posts"
    control = "Net control" if found.net_control is not None else "The net"
    what = f"{control} and at least {others}" if needed else control
    return f"{what} on the air in all dark hours: {odds_text(found.at_least[needed])}"
