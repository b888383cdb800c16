"""After the exercise: what was predicted of each post, blanks for what came, what the logs say."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial

from app.printing.group_rows import Row, filled, headed, on_sides_of, sentences
from app.printing.marks import MM, STRONG, TITLE, Piece, Style, rule, stacked
from app.printing.say import NONE, Blank
from app.printing.table import Column, spread, table
from app.printing.type import paragraph
from model.group.after_action import AfterAction
from model.group.group_run import GroupResult, PostRun
from model.group.group_words import moment_words
from model.results.wording import CLOCK_WORDS
from model.scenario.cautions import PREDICTION
from model.support.figures import percent

SMALL = Style(8.0)
HIGH, LINES, LINE = 10.0 * MM, 6, 9.0 * MM
HEADS = ("Kit", "Role", "Predicted", "First to fail, when", "Ah used", "Not used", "Missed")
SHARES = (1.2, 3.0, 4.0, 4.4, 2.0, 4.0, 4.0)


def after_action_bodies(
    result: GroupResult, after: AfterAction, width: float, room: float
) -> list[Piece]:
    """Return the sides of the page, without their foot."""
    title = f"After the exercise: {' '.join(result.whole.group.title.split()) or 'group'}"
    head = stacked(
        paragraph(title, width, TITLE), paragraph(PREDICTION, width, STRONG), gap=0.8 * MM
    )
    rows = [_row(result, row) for row in result.posts]
    make = partial(_table, width)
    bodies = on_sides_of([head, headed("Predicted, and what came", width)], make, rows, room)
    told: list[Piece] = []
    logged = [each.line for each in after.posts if each.check is not None]
    if logged:
        first, *others = sentences([*logged, *after.across], width)
        told += [stacked(headed("What the field logs say", width), first, gap=MM), *others]
    lines = Piece(LINES * LINE, tuple(rule(0.0, (at + 1) * LINE, width) for at in range(LINES)))
    told.append(stacked(headed("What we change for the next time", width), lines, gap=MM))
    told.append(paragraph("Date ________________   Written by __________________________", width))
    rest = filled(told, room)
    if stacked(bodies[-1], rest[0], gap=2 * MM).height <= room:
        bodies[-1] = stacked(bodies[-1], rest.pop(0), gap=2 * MM)
    return [*bodies, *rest]


def _table(width: float, rows: Sequence[Row]) -> Piece:
    columns = [Column(each, lines=2) for each in spread(width, *SHARES)]
    return table(columns, rows, header=HEADS, least_height=HIGH, ruled=True, style=SMALL)


def _row(result: GroupResult, row: PostRun) -> Row:
    post = row.kit.post
    return [post.kit, " ".join(post.role.split()), _predicted(result, row), *[Blank()] * 4]


def _predicted(result: GroupResult, row: PostRun) -> str:
    if row.planned is None or row.lowest is None:
        return NONE
    end = row.first_end
    if end is None:
        return f"lasts, lowest {percent(row.lowest.value)}"
    return f"{CLOCK_WORDS[end.clock]} until {moment_words(row, end.at)}"
