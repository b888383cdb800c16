"""What a group's results say, in sentences and cells for window, page and command line."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta

from model.group.board import Board
from model.group.drill import Drill
from model.group.group_run import FirstEnd, GroupResult, PostRun
from model.group.kits import is_net_control, place_of
from model.group.power_matrix import ALONE_DAYS
from model.group.shared_odds import GroupOdds
from model.group.spares import Allotment, Order
from model.odds.sentences import odds_text
from model.results.wording import CLOCK_WORDS, capital, listed, moment
from model.sky.timeline import timeline
from model.support.figures import (
    ABOUT_MIN,
    amount,
    day_and_time,
    duration,
    entered,
    percent,
    short_in_10,
    short_span_in_10,
)
from model.verdict.order import is_guessed

NO_END = "none"
EXACT_WORDS = "No other way of giving them out is worth more."
GREEDY_WORDS = (
    "So many spares or posts were served one after the other: another way of giving them out may"
    " be worth more."
)
ORDER_MEANS = (
    "Net control and relays come first, then as many posts as can last, then the roles in the order"
    " of the file. A battery is swapped in when the one before ends."
)
ODDS_MEAN = (
    "One sky is drawn for all posts in reach of each other, each under its own sun; spares are not"
    " counted."
)


def time_words(result: GroupResult, at: datetime) -> str:
    """Return a moment of the run, such as "Sat 05:00"."""
    return day_and_time(at, result.whole.group.day.days)


def moment_words(row: PostRun, at: datetime) -> str:
    """Return a moment that a post's run came to: to ten minutes where most of it is guessed."""
    assert row.planned is not None
    return moment(row.planned, at, about=is_guessed(row.planned))


def end_words(row: PostRun, end: FirstEnd | None) -> str:
    """Return what ends first: "receive Sun 13:28"; for a kit that is not run that it is not."""
    if row.planned is None:
        return not_run_words(row)
    return NO_END if end is None else f"{CLOCK_WORDS[end.clock]} {moment_words(row, end.at)}"


def not_run_words(row: PostRun) -> str:
    """Return why a post has no run; empty where it has one."""
    if row.kit.lacks:
        return f"off the air: no {listed(list(row.kit.lacks))}"
    return "not run: see its findings" if row.planned is None else ""


def odds_words(row: PostRun) -> str:
    """Return the odds to be on the air to the end; empty until they are worked out."""
    if row.odds is None:
        return ""
    return f"{short_in_10(row.odds.value)} ({short_span_in_10(row.odds.low, row.odds.high)})"


def order_words(result: GroupResult, order: Order) -> str:
    """Return one order: "spare 2 to post 04, Ford, by Sat 05:00: leave Base by Sat 03:30"."""
    spare = result.whole.group.spares[order.entry]
    name = _plain(spare.name)
    box = f" ({name})" if name else ""
    return f"spare {order.spare}{box} to {goal_words(result, order)}: {leave_words(result, order)}"


def goal_words(result: GroupResult, order: Order) -> str:
    """Return which post a spare goes to, and by when: "post 04, Ford, by Sat 05:00"."""
    place = _plain(place_of(result.post(order.kit).kit))
    at_place = f", {place}," if place else ""
    return f"post {order.kit}{at_place} by {time_words(result, _by(result, order))}"


def leave_words(result: GroupResult, order: Order) -> str:
    """Return when a spare has to set off at the latest."""
    start = timeline(result.post(order.kit).kit.site, result.whole.group.day).start
    way = order.arrives.astimezone(UTC) - start.astimezone(UTC)
    if not way:
        return "it is kept at that place"
    by = _by(result, order)
    leaves = (by.astimezone(UTC) - way).astimezone(by.tzinfo)
    where = _plain(result.whole.group.spares[order.entry].where)
    return f"leave {where} by {time_words(result, leaves)}"


def _by(result: GroupResult, order: Order) -> datetime:
    """Return when a spare has to be there: of a guess the ten minutes before, as it is told."""
    run, by = result.post(order.kit).planned, order.by
    if run is not None and is_guessed(run) and order.by > order.arrives:
        by = max(by - timedelta(minutes=by.minute % ABOUT_MIN), order.arrives)
    return by


def _plain(words: str) -> str:
    return " ".join(words.split())


def hours_text(hours_h: float | None) -> str:
    """Return whole hours, never more than there are, or that it is longer than was looked at."""
    if hours_h is None:
        return f"over {entered(ALONE_DAYS[-1], 'd')}"
    return entered(int(hours_h), "h") if hours_h >= 1 else duration(hours_h)


def reserve_words(result: GroupResult) -> str:
    """Return which posts that last fall below their reserve, and since when; empty if none."""
    low = [
        f"post {row.kit.post.kit} from {moment_words(row, row.planned.reserve_crossed_at)}"
        for row in result.posts
        if row.lasts and row.planned is not None and row.planned.reserve_crossed_at is not None
    ]
    return f"Lasting as planned, but below the reserve: {listed(low)}." if low else ""


def spares_words(result: GroupResult, found: Allotment) -> Iterator[str]:
    """Yield what is to be done with the spares, and what then is left undone."""
    for order in found.orders:
        yield f"{capital(order_words(result, order))}."
    short = [each.kit.post.kit for each in found.served if not each.lasts]
    total = len(found.served)
    if not short:
        yield f"As planned, all {total} posts then last to the end."
    else:
        does = "does" if len(short) == 1 else "do"
        yield (
            f"As planned, {total - len(short)} of {total} posts then last."
            f" {capital(_posts(short))} {does} not."
        )
    if found.out_of_reach:
        yield f"No route leads from any spare to {_posts(found.out_of_reach)}."
    if result.whole.group.spares:
        yield EXACT_WORDS if found.exact else GREEDY_WORDS


def net_words(result: GroupResult, found: GroupOdds) -> str:
    """Return the odds of the net: net control and the posts that it needs, all night."""
    needed = min(result.whole.group.posts_needed, len(found.at_least) - 1)
    share = odds_text(found.at_least[needed])
    posts = "post" if needed == 1 else "posts"
    who = f"at least {needed} {posts}"
    if found.net_control is not None:
        who = f"net control and at least {needed} other {posts}" if needed else "net control"
    return f"On the air in all dark hours, {who}: {share}."


def drill_words(found: Drill) -> Iterator[str]:
    """Yield what a drill comes to."""
    yield f"Without {listed(list(found.result.without))}."
    if found.lost:
        yield f"No longer lasting, spares counted: {_posts(found.lost)}."
    else:
        yield "Every other post that lasted with its spares still does."
    running = {row.kit.post.kit for row in found.result.posts if row.planned is not None}
    led = [row.kit.post for row in found.before.posts if is_net_control(row.kit.post)]
    gone = [post.kit for post in led if post.kit not in running]
    if gone:
        yield f"Without net control: {_posts(gone)}."
    if found.unrelayed:
        yield f"Without a relay that lasts: {_posts(found.unrelayed)}."


def next_words(board: Board) -> str:
    """Return who ends next, by the last reports."""
    ending = board.ends_next
    if not ending:
        return "No post ends within the run."
    first = ending[0]
    assert first.end is not None
    said = f"Post {first.row.kit.post.kit} ends next, {moment_words(first.row, first.end.at)}"
    if len(ending) == 1:
        return f"{said}; no other ends within the run."
    return f"{said}, then {_posts([row.row.kit.post.kit for row in ending[1:]])}."


def _posts(kits: list[str] | tuple[str, ...]) -> str:
    return f"{'post' if len(kits) == 1 else 'posts'} {listed(list(kits))}"


def cells_of(row: PostRun) -> tuple[str, ...]:
    """Return the cells of a row, as ``HEADS`` name them."""
    lowest = row.lowest
    return (
        row.kit.post.kit,
        row.kit.post.role,
        row.kit.post.place or row.kit.site.name,
        end_words(row, row.first_end),
        end_words(row, row.bad_first_end) if row.bad is not None else "",
        odds_words(row),
        percent(lowest.value) if lowest is not None else "",
        amount(row.ah_a_day, "Ah", 2) if row.ah_a_day is not None else "",
        percent(row.guess_share) if row.guess_share is not None else "",
        amount(row.mass_kg, "kg", 3),
    )


HEADS = (
    "Post", "Role", "Place", "First end, planned", "First end, bad sky", "On the air to the end",
    "Lowest", "A day", "From guesses", "Carried",
)  # fmt: skip
