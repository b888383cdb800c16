"""The field log: a sheet to write readings on, with what is expected where that is known."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial
from itertools import chain, repeat

from app.printing.day_part import expected_ah
from app.printing.flow import poured
from app.printing.foot import FOOT, Footer
from app.printing.marks import (
    FRONT,
    FRONT_HEADING,
    MM,
    STRONG,
    TITLE,
    Page,
    Piece,
    Stroke,
    rule,
    stacked,
)
from app.printing.meter_part import expected_words
from app.printing.paper import Paper
from app.printing.say import Say, brief_dates
from app.printing.section import SECTION_GAP, Section, blocks_of
from app.printing.table import GAP, Column, spread, table_parts
from app.printing.type import paragraph, width_of, wrapped
from model.export.kit_page import Kit
from model.scenario.cautions import PREDICTION
from model.sky.timeline import timeline
from model.support.figures import day_text

ROW = 8.0 * MM
# Lines to write on, with those for which something is expected, and how many are free at least.
ROWS, FREE_ROWS = 14, 4
SHARES = (2.6, 1.9, 1.2, 1.2, 1.1, 1.1, 1.3, 1.3)
HEADS = ("When", "Ah used, expected", "Ah used", "V at rest", "Load A", "Panel A", "Off the air",
         "Back at")  # fmt: skip
AFTER = ("Ah used in all", "Wh from the panel", "First to fail, when", "Not used", "Missed",
         "No change to the plan, or what was changed")  # fmt: skip


def field_log(kit: Kit, say: Say, paper: Paper, footer: Footer) -> list[Page]:
    """Return the log of one kit; a long run takes several sides."""
    width, room = paper.inner_width, paper.inner_height - FOOT
    sections = [
        Section("Readings", partial(_readings, kit, say), FRONT_HEADING, part_gap=0.0),
        Section("Before the trip, with a meter", partial(_meter, kit, say), FRONT_HEADING),
        Section("After the trip", _after, FRONT_HEADING),
    ]
    head = _head(kit, width)
    rooms = chain([room - head.height - SECTION_GAP], repeat(room))
    bodies = poured(blocks_of(sections, width), 1, 0.0, rooms)
    bodies[0] = stacked(head, bodies[0], gap=SECTION_GAP)
    return [
        _page(kit, paper, body, footer, f"field log {number} of {len(bodies)} · ")
        for number, body in enumerate(bodies, start=1)
    ]


def _page(kit: Kit, paper: Paper, body: Piece, footer: Footer, side: str) -> Page:
    marks = (*body.moved(paper.margin, paper.margin), *footer.marks(paper, side))
    return Page(paper.width, paper.height, f"{kit.name}, field log", marks)


def _head(kit: Kit, width: float) -> Piece:
    scenario = kit.scenario
    place = " ".join(scenario.site.name.split()) or "Place not named"
    when = brief_dates(timeline(scenario.site, scenario.day).start, scenario.day.days)
    return stacked(
        paragraph(f"Field log: {' '.join(kit.name.split())}", width, TITLE),
        paragraph(f"{place} · {when}", width, FRONT),
        paragraph(PREDICTION, width, STRONG),
        _to_write("Operator", width),
        gap=0.4 * MM,
    )


def _readings(kit: Kit, say: Say, width: float) -> list[Piece]:
    """Return a row for each dusk, midnight and dawn, and free ones."""
    columns = [Column(each, lines=2) for each in spread(width, *SHARES)]
    points = kit.results.charge_points if kit.results else ()
    cells = [
        (f"{day_text(point.at)} {point.at:%H:%M}", expected_ah(point, say, guess=""))
        for point in points
    ]
    cells += [("", "")] * max(ROWS - len(cells), FREE_ROWS)
    rows = [[when, expected, *[""] * (len(HEADS) - 2)] for when, expected in cells]
    pieces = table_parts(columns, rows, HEADS, least_height=ROW, ruled=True)
    edges = [sum(column.width + GAP for column in columns[:at]) - GAP / 2
             for at in range(1, len(columns))]  # fmt: skip
    return [_between(piece, edges) for piece in pieces]


def _between(piece: Piece, edges: Sequence[float]) -> Piece:
    """Return a row with lines between its columns."""
    top, bottom = piece.height - ROW, piece.height
    lines = [Stroke(((x, top), (x, bottom)), 2.0) for x in edges]
    return Piece(piece.height, (*piece.marks, *lines), piece.again)


def _meter(kit: Kit, say: Say, width: float) -> list[Piece]:
    if kit.results is None:
        return [_to_write("Not run: nothing is expected. Measured", width)]
    return [_to_write(words, width) for words in expected_words(kit.results, say)]


def _after(width: float) -> list[Piece]:
    return [_to_write(words, width) for words in AFTER]


def _to_write(words: str, width: float) -> Piece:
    text = paragraph(words, width * 0.7, FRONT)
    height = max(ROW, text.height + 1.0 * MM)
    begin = width_of(wrapped(words, width * 0.7, FRONT)[-1], FRONT) + 2.0 * MM
    marks = (*text.moved(0.0, height - text.height), rule(begin, height - 6.0, width - begin))
    return Piece(height, marks)
