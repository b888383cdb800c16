"""The back of a kit page: why it is so, what is carried, how it is wired, what it rests on."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from functools import partial
from itertools import product

from app.printing.assumptions_part import assumptions_body
from app.printing.carry_part import carry_body, carry_title, grouped_body
from app.printing.caution_texts import brief_cautions_body, cautions_body
from app.printing.charge_part import LOW_PLOT_HEIGHT, PLOT_HEIGHT, plot_body
from app.printing.energy_part import brief_sun_body, budget_body, sun_body
from app.printing.flow import fits, flowed
from app.printing.front_head import side_title
from app.printing.marks import MM, STRONG, Piece, stacked
from app.printing.meter_part import brief_meter_body, brief_spares_body, meter_body, spares_body
from app.printing.say import Say
from app.printing.section import SECTION_GAP, Section, blocks_of
from app.printing.sides import on_sides
from app.printing.type import paragraph
from app.printing.verdict_part import verdict_body
from app.printing.wiring_table import wiring_body
from model.export.kit_page import Kit, KitResults
from model.scenario.cautions import PREDICTION

COLUMNS = 3
COLUMN_GAP = 3.0 * MM


def back_sides(
    kit: Kit, say: Say, width: float, room: float, left_over: Sequence[Section]
) -> list[Piece]:
    """Return the sides of the back; ``left_over`` are sections that the front has no room for."""
    title = stacked(side_title(kit, "back: understand", say, width, STRONG),
                    paragraph(PREDICTION, width, STRONG))  # fmt: skip
    column = (width - COLUMN_GAP * (COLUMNS - 1)) / COLUMNS
    wiring = Section("Wiring and fuses", partial(wiring_body, kit, say))
    settings = partial(assumptions_body, kit, say)
    rest = Section("Settings this page assumes", settings, part_gap=0.0)
    carry = Section(carry_title(kit, say), partial(carry_body, kit, say))
    first, *others = _narrow(kit, say)
    for narrow, wide in (
        ([first, *left_over, *others], [carry, wiring, rest]),
        ([first, *left_over, *_brief(kit, say)], [wiring, rest]),
    ):
        below = sum(each.height(width) + SECTION_GAP for each in wide)
        free = room - title.height - SECTION_GAP - below
        columns = _evenest(narrow, column, free)
        if columns is not None:
            pieces = [title, columns, *(each.whole(width) for each in wide)]
            return [stacked(*pieces, gap=SECTION_GAP)]
    blocks = blocks_of([first, *left_over, *others], column)
    *full, last = on_sides([title], blocks, COLUMNS, column + COLUMN_GAP, room)
    return [*full, *on_sides([last], blocks_of([carry, wiring, rest], width), 1, 0.0, room)]


def _narrow(kit: Kit, say: Say) -> list[Section]:
    """Return the sections in columns, the verdict first."""
    results = kit.results
    found = [Section("Verdict", partial(verdict_body, kit, say))]
    if results is not None:
        found += [
            *_figures(kit, results, say, PLOT_HEIGHT, sun_body),
            Section("What the meter should read", partial(meter_body, kit, results, say)),
            Section("If one thing fails", partial(spares_body, results, say)),
        ]
    found.append(Section("Cautions", partial(cautions_body, kit, say)))
    return found


Sun = Callable[[Kit, KitResults, Say, float], list[Piece]]


def _figures(kit: Kit, results: KitResults, say: Say, height: float, sun: Sun) -> list[Section]:
    return [
        Section("State of charge", partial(plot_body, kit, results, say, height)),
        Section("Power budget of 24 hours", partial(budget_body, results, say)),
        Section("Sun", partial(sun, kit, results, say)),
    ]


def _brief(kit: Kit, say: Say) -> list[Section]:
    """Return the sections after the verdict where there is little room: all is said, closer."""
    results = kit.results
    found = [Section(carry_title(kit, say), partial(grouped_body, kit, say))]
    if results is not None:
        found += [
            *_figures(kit, results, say, LOW_PLOT_HEIGHT, brief_sun_body),
            Section("What the meter should read", partial(brief_meter_body, kit, results, say)),
            Section("If one thing fails", partial(brief_spares_body, results, say)),
        ]
    found.append(Section("Cautions", partial(brief_cautions_body, kit, say)))
    return found


def _evenest(sections: Sequence[Section], column: float, room: float) -> Piece | None:
    """Return sections in columns, in order or else with one or two out of it; None without room."""
    laid = [section.blocks(column) for section in sections]
    if sum(block.piece.height for each in laid for block in each) > COLUMNS * room:
        return None
    for order in _orders(range(len(laid))):
        blocks = [block for at in order for block in laid[at]]
        if fits(blocks, COLUMNS, room):
            return flowed(blocks, COLUMNS, column + COLUMN_GAP, room)
    return None


def _orders(order: Sequence[int]) -> Iterator[list[int]]:
    """Yield the order, then with one out of it, then with two; the verdict stays first."""
    yield list(order)
    ones = [_moved(order, *move) for move in product(order[1:], repeat=2)]
    yield from ones
    for one in ones:
        for move in product(order[1:], repeat=2):
            yield _moved(one, *move)


def _moved(order: Sequence[int], taken: int, put: int) -> list[int]:
    rest = [each for at, each in enumerate(order) if at != taken]
    return [*rest[:put], order[taken], *rest[put:]]
