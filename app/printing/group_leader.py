"""The leader's sheet: net, posts, spares, what is shared, the nights to fill in, the roster."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date
from functools import partial

from app.printing.group_rows import Row, filled, headed, on_sides_of, sentences
from app.printing.marks import MM, STRONG, TITLE, Piece, Style, box, stacked
from app.printing.say import NONE, Blank, Units, brief_dates
from app.printing.table import Column, spread, table
from app.printing.type import paragraph
from app.widgets.number_text import fixed, quantity
from model.group.board import MOMENTS, Board, BoardCell, nights, tonight
from model.group.group import Post
from model.group.group_run import FirstEnd, GroupResult, PostRun
from model.group.group_words import (
    ORDER_MEANS,
    moment_words,
    net_words,
    order_words,
    reserve_words,
    spares_words,
)
from model.group.power_matrix import SWAP_WORDS
from model.group.shared_odds import GroupOdds
from model.group.single_points import SharedPoint
from model.group.spares import Allotment
from model.results.wording import CLOCK_WORDS, capital
from model.scenario.cautions import ELECTRICAL, PREDICTION
from model.sky.cloud_words import sky_text
from model.support.figures import day_text, percent, short_in_10, short_span_in_10

SMALL = Style(8.0)
# So many that the longest field of a post stands whole in the narrowest column that holds one.
LINES = 14
ROW, SIGN_ROW, TICK = 7.6 * MM, 13.0 * MM, 5.0 * MM
POST_HEADS = ("Kit", "Role, place", "First end as planned", "First end in bad sky",
              "On the air to the end", "Lowest", "Ah a day", "Guesses", "Carried")  # fmt: skip
POST_SHARES = (1.2, 4.0, 3.3, 3.3, 4.2, 1.5, 1.6, 1.6, 1.9)
ROSTER_HEADS = ("Kit", "Role, place", "Call sign", "Licence", "Shift, relief",
                "MHz, backup", "Relay", "Battery test", "Signature")  # fmt: skip
ROSTER_SHARES = (1.1, 2.9, 2.3, 2.9, 3.7, 3.4, 1.3, 2.4, 3.4)
LEFT_MEANS = "Where a post reports the Ah used since full: Ah left is Ah full less Ah used."
BOARD_SHARES = (1.2, 3.6, 2.0, 1.8, 2.0, 1.8, 2.0, 1.8, 3.0)


def leader_bodies(
    result: GroupResult,
    spares: Allotment,
    points: Sequence[SharedPoint],
    odds: GroupOdds | None,
    units: Units,
    width: float,
    room: float,
) -> list[Piece]:
    """Return the sides of the leader's sheet, without their foot."""
    posts = [_post_row(result, row, units) for row in result.posts]
    make = partial(_table, width, POST_SHARES, POST_HEADS, ROW)
    tops = [_head(result, odds, width), headed("Posts", width)]
    first = on_sides_of(tops, make, posts, room)
    told = filled([*_spares(result, spares, width), *_points(points, width)], room)
    if told and stacked(first[-1], told[0], gap=2 * MM).height <= room:
        first[-1] = stacked(first[-1], told.pop(0), gap=2 * MM)
    roster = [_roster_row(row.kit.post, result.whole.group.day.date) for row in result.posts]
    sign = partial(_table, width, ROSTER_SHARES, ROSTER_HEADS, SIGN_ROW)
    signed = on_sides_of([headed("Roster", width)], sign, roster, room)
    return [*first, *told, *signed, *_boards(result, width, room)]


def _table(
    width: float, shares: Sequence[float], heads: Sequence[str], high: float, rows: Sequence[Row]
) -> Piece:
    columns = [Column(each, lines=LINES) for each in spread(width, *shares)]
    return table(columns, rows, header=heads, least_height=high, ruled=True, style=SMALL)


def _head(result: GroupResult, odds: GroupOdds | None, width: float) -> Piece:
    group = result.whole.group
    lines = [paragraph(f"Leader's sheet: {_plain(group.title) or 'group'}", width, TITLE)]
    run = next((row.planned for row in result.posts if row.planned is not None), None)
    if run is not None:
        lines.append(paragraph(brief_dates(run.clock.start, group.day.days), width))
    lines.append(paragraph(f"{PREDICTION} {ELECTRICAL}", width, STRONG))
    lasting = sum(row.lasts for row in result.posts)
    last_bad = sum(row.bad is not None and row.bad_first_end is None for row in result.posts)
    total = len(result.posts)
    bad = ", then ".join(sky if isinstance(sky, str) else sky_text(sky) for sky in group.bad_sky)
    said = (
        f"{lasting} of {total} posts last as planned, {last_bad} in the bad sky ({bad}), without"
        " spares."
    )
    lines.append(paragraph(f"{said} {reserve_words(result)}".strip(), width))
    if odds is not None:
        lines.append(paragraph(net_words(result, odds), width))
    return stacked(*lines, gap=0.8 * MM)


def _plain(words: str) -> str:
    return " ".join(words.split())


def _post_row(result: GroupResult, row: PostRun, units: Units) -> Row:
    post, lowest = row.kit.post, row.lowest
    odds = row.odds
    return [
        post.kit,
        _lines(post.role, post.place or row.kit.site.name),
        _end(result, row, row.first_end),
        _end(result, row, row.bad_first_end),
        NONE if odds is None
        else f"{short_in_10(odds.value)} ({short_span_in_10(odds.low, odds.high)})",
        NONE if lowest is None else percent(lowest.value),
        NONE if row.ah_a_day is None else fixed(row.ah_a_day, 1),
        NONE if row.guess_share is None else percent(row.guess_share),
        quantity(row.mass_kg, "kg", 1, us=units == "us"),
    ]  # fmt: skip


def _lines(*texts: str) -> str:
    return "\n".join(filter(None, map(_plain, texts)))


def _end(result: GroupResult, row: PostRun, end: FirstEnd | None) -> str:
    if row.planned is None:
        return "not run"
    if end is None:
        return "lasts"
    return f"{moment_words(row, end.at)}\n{CLOCK_WORDS[end.clock]}"


def _spares(result: GroupResult, spares: Allotment, width: float) -> Iterator[Piece]:
    """Yield the orders, each with a box to tick, then what they make of the posts."""
    if not result.whole.group.spares:
        return
    orders = [f"{capital(order_words(result, order))}." for order in spares.orders]
    rest = [line for line in spares_words(result, spares) if line not in orders]
    begin = stacked(headed("Spares", width), paragraph(SWAP_WORDS, width, STRONG), gap=0.8 * MM)
    yield begin
    for line in orders:
        text = paragraph(line, width - TICK - 2 * MM, x=TICK + 2 * MM)
        high = max(text.height, TICK)
        yield Piece(high, (box(0.0, (high - TICK) / 2, TICK, TICK, "none", 5.0),
                           *text.moved(0.0, (high - text.height) / 2)))  # fmt: skip
    yield from sentences([*rest, ORDER_MEANS], width)


def _points(points: Sequence[SharedPoint], width: float) -> Iterator[Piece]:
    if points:
        first, *others = sentences([each.words for each in points], width)
        yield stacked(headed("What several posts rest on", width), first, gap=0.8 * MM)
        yield from others


def _roster_row(post: Post, start: date) -> Row:
    due = post.battery_test_due
    tested = "overdue since" if due is not None and due < start else "due"
    return [
        post.kit,
        _lines(post.role, post.place),
        _plain(post.call_sign) or Blank(),
        _plain(post.licence),
        _lines(post.shift, f"then {post.relief}" if post.relief else ""),
        _lines("" if post.frequency_mhz is None else f"{post.frequency_mhz:.6g}", post.backup),
        post.relay,
        f"{tested} {due:%Y-%m-%d}" if due is not None else "never tested",
        Blank(),
    ]


def _boards(result: GroupResult, width: float, room: float) -> Iterator[Piece]:
    """Yield a table for each night: what is expected, and blanks for what is reported."""
    heads = ["Kit", "Role"]
    heads += [head for name in MOMENTS for head in (f"{capital(name)}: Ah", "reported")]
    make = partial(_table, width, BOARD_SHARES, [*heads, "First end"], ROW)
    for night in range(nights(result)):
        board = tonight(result, (), night)
        rows = [_board_row(board, at) for at in range(len(board.rows))]
        title = f"Night from {_night_name(board)}: Ah left, expected without spares and as reported"
        top = stacked(headed(title, width), paragraph(LEFT_MEANS, width), gap=0.8 * MM)
        yield from on_sides_of([top], make, rows, room)


def _night_name(board: Board) -> str:
    cells = next((row.cells for row in board.rows if row.cells), ())
    return day_text(cells[0].at) if cells else NONE


def _expected(cell: BoardCell | None) -> str:
    if cell is None:
        return NONE
    left = "off" if cell.is_off else fixed(cell.expected_ah, 1)
    return f"{left} ({cell.at:%H:%M})"


def _board_row(board: Board, at: int) -> Row:
    row = board.rows[at]
    found = {cell.name: cell for cell in row.cells}
    moments: list[str | Blank] = []
    for name in MOMENTS:
        moments += [_expected(found.get(name)), Blank()]
    end = row.end
    lasts = "not run" if row.run is None else "lasts"
    said = lasts if end is None else moment_words(row.row, end.at)
    full = "" if row.run is None else f"full: {fixed(row.run.inputs.bounds.full_ah, 1, 'Ah')}"
    return [row.row.kit.post.kit, _lines(row.row.kit.post.role, full), *moments, said]
