"""Labels of the spares: what is in the box, what it fits, where it goes and what to mind."""

from __future__ import annotations

from collections.abc import Iterator

from app.printing.group_rows import GAP, filled
from app.printing.marks import (
    FRONT_STRONG,
    LOW_STRONG,
    MM,
    STRONG,
    Piece,
    Style,
    beside,
    box,
    stacked,
)
from app.printing.type import line_of, paragraph
from model.group.group import Spare
from model.group.group_run import GroupResult
from model.group.group_words import goal_words, leave_words
from model.group.power_matrix import SWAP_WORDS, lender_of_spare
from model.group.spares import Allotment, Order, numbers_of
from model.results.wording import capital
from model.support.figures import amount, percent

HIGH, EDGE = 56.0 * MM, 3.0 * MM
TEXT = Style(10.0)
BY_HAND = "Charged on ____________   by ____________   tested ____________"
CHECK = "Before it is connected: fuse out, polarity checked with a meter, plug looked at."
PANEL = "To a controller alone, after its battery; face down or covered until connected."


def label_bodies(result: GroupResult, spares: Allotment, width: float, room: float) -> list[Piece]:
    """Return sides of labels, two beside each other; none where there are no spares."""
    made = list(_labels(result, spares, (width - 4 * MM) / 2))
    pairs = [
        beside(
            *(
                (at * (width + 4 * MM) / 2, label)
                for at, label in enumerate(made[begin : begin + 2])
            )
        )
        for begin in range(0, len(made), 2)
    ]
    return filled(pairs, room)


def _labels(result: GroupResult, spares: Allotment, width: float) -> Iterator[Piece]:
    group = result.whole.group
    orders = {order.spare: order for order in spares.orders}
    for spare, numbers in zip(group.spares, numbers_of(group), strict=True):
        for number in numbers:
            yield _label(result, spare, number, orders.get(number), width)


def _label(
    result: GroupResult, spare: Spare, number: int, order: Order | None, width: float
) -> Piece:
    inner = width - 2 * EDGE
    lines = [line_of(f"SPARE {number}", style=LOW_STRONG)]
    lines.append(paragraph(spare.name or spare.slot, inner, FRONT_STRONG, most=2))
    lines += [paragraph(words, inner, TEXT, most=2) for words in _facts(spare, number)]
    lines.append(paragraph(f"Kept at: {spare.where or '____________'}", inner, TEXT, most=1))
    goes = "Stands by: as planned it goes to no post."
    if order is not None:
        leave = capital(leave_words(result, order))
        goes = f"Goes to {goal_words(result, order)}. {leave}."
    lines.append(paragraph(goes, inner, STRONG, most=2))
    mind = f"{SWAP_WORDS} {CHECK}" if spare.battery is not None else CHECK
    lines.append(paragraph(PANEL if spare.panel is not None else mind, inner, STRONG, most=4))
    lines.append(paragraph(BY_HAND, inner, Style(7.5), most=2))
    body = stacked(*lines, gap=0.7 * MM)
    high = max(HIGH, body.height + 2 * EDGE)
    return Piece(high + GAP, (box(0.0, 0.0, width, high, "none", 8.0), *body.moved(EDGE, EDGE)))


def _facts(spare: Spare, number: int) -> Iterator[str]:
    """Yield what is in the box and what it fits."""
    battery = spare.battery
    if battery is not None:
        lender = lender_of_spare(spare, number)
        profile = lender.profile if lender is not None else battery.chemistry
        count = f"{battery.count} x " if battery.count > 1 else ""
        cells = f", {battery.cells} cells" if battery.cells else ""
        yield (
            f"{battery.chemistry}, {count}{amount(battery.capacity_ah, 'Ah')}{cells};"
            f" charged to {percent(spare.start_fraction)}"
        )
        yield f"Controller set to: {profile}"
    elif spare.panel is not None:
        yield f"Solar panel, {amount(spare.panel.rated_w * spare.panel.count, 'W')}"
    part = spare.part
    plug = spare.plug or getattr(part, "plug", "")
    polarity, fuse = getattr(part, "polarity", ""), getattr(part, "fuse_type", "")
    fits = [f"plug: {plug or 'not stated'}"]
    fits += [f"{polarity} positive"] if polarity else []
    fits += [f"fuse: {fuse}"] if fuse else []
    yield "; ".join(fits)
