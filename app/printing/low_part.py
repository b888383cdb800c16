"""Battery low: act now. Until when each step keeps the station on the air, as clock times."""

from __future__ import annotations

from app.printing.marks import FRONT, LOW, LOW_STRONG, MM, Mark, Piece, rule, stacked
from app.printing.say import ABOUT, Say
from app.printing.type import line_height, line_of, paragraph, width_of
from app.widgets.number_text import fixed
from model.advice.low_battery import LIMIT_DAYS, NOW, End, Noticed, Relief, told_at
from model.advice.noticed import told
from model.export.kit_page import KitResults
from model.support.figures import entered

ROW_GAP = 0.6 * MM
COLUMN_GAP = 3.0 * MM
EARLIER = "–"
BEYOND = f"over {entered(LIMIT_DAYS, 'd')}"


def low_title(results: KitResults, say: Say) -> str:
    """Return the heading: from which charge on this is to be done."""
    low = results.low
    if say.variant == "class":
        return "Battery low: at ______ Ah left"
    left, used = fixed(low.left_ah, 1, "Ah"), fixed(low.used_ah, 1, "Ah")
    if low.noticed[0].words == NOW:
        return f"Battery now: {left} left ({used} used)"
    if low.used_ah <= 0:
        return "Battery too small for the night: act from the start"
    return f"Battery low: {left} left ({used} used), or the counter is missing"


def low_body(results: KitResults, say: Say, width: float) -> list[Piece]:
    """Return the table, steps by columns of when it is noticed."""
    low = results.low
    about = results.planned.is_guessed
    rows = [low.no_change, *low.steps, *((low.together,) if low.together else ())]
    heads = [told(each) for each in low.noticed]
    cells = [
        [_cell(noticed, end, say, about=about)
         for noticed, end in zip(low.noticed, row.ends, strict=True)]
        for row in rows
    ]  # fmt: skip
    widths = [
        max(width_of(head, FRONT), *(width_of(row[at], LOW_STRONG) for row in cells))
        for at, head in enumerate(heads)
    ]
    first = width - sum(widths) - COLUMN_GAP * len(widths)
    pieces = [paragraph(_note(results), width, FRONT), _head(_key(results), heads, widths, width)]
    pieces += [
        _row(row, texts, widths, first, width, is_last=row is low.together)
        for row, texts in zip(rows, cells, strict=True)
    ]
    return [stacked(*pieces)]


def _note(results: KitResults) -> str:
    low = results.low
    source = "sun or charger" if results.run.station.chargers else "sun"
    if not low.steps:
        return (
            f"Tell net control before you go quiet. Off the air at, without {source}. Nothing here"
            " can be switched off."
        )
    each = "each alone, then together" if low.together else "alone"
    return f"First tell net control before you go quiet. Off the air at, without {source}; {each}:"


def _key(results: KitResults) -> str:
    """Return what the signs beside the times mean, as far as they are there."""
    low, notes = results.low, [f"+{entered(1, 'd')}: the next date"]
    if low.leaves_out:
        notes.append(f"{EARLIER}: ends earlier")
    if results.planned.is_guessed:
        notes.append("≈: from guesses")
    return "; ".join(notes)


def _cell(noticed: Noticed, end: End | None, say: Say, *, about: bool) -> str:
    if say.variant == "class":
        return "______"
    if end is None:
        return EARLIER
    if end.hours is None:
        return BEYOND
    at, days = told_at(noticed, end.hours, about=about)
    later = f" +{entered(days, 'd')}" if days else ""
    return f"{ABOUT if about else ''}{at:%H:%M}{later}"


def _head(key: str, heads: list[str], widths: list[float], width: float) -> Piece:
    marks: list[Mark] = [*line_of(key, style=FRONT).marks]
    right = width
    for head, wide in zip(reversed(heads), reversed(widths), strict=True):
        marks += line_of(head, right=right, style=FRONT).marks
        right -= wide + COLUMN_GAP
    height = line_height(FRONT) + 6.0
    return Piece(height, (*marks, rule(0.0, height - 2.0, width, 5.0)))


def _row(
    row: Relief, texts: list[str], widths: list[float], first: float, width: float, *, is_last: bool
) -> Piece:
    name = paragraph(row.words, first, LOW_STRONG if is_last else LOW)
    height = name.height + ROW_GAP
    marks: list[Mark] = [*name.moved(0.0, ROW_GAP / 2)]
    right = width
    ends = zip(reversed(texts), reversed(widths), reversed(row.ends), strict=True)
    for text, wide, end in ends:
        style = LOW_STRONG if is_last or (end is not None and end.gains) else LOW
        marks += line_of(text, right=right, style=style).moved(0.0, ROW_GAP / 2)
        right -= wide + COLUMN_GAP
    marks.append(rule(0.0, height, width, 2.0))
    return Piece(height, tuple(marks))
