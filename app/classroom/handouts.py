"""Handouts of a class as one PDF: sheets to fill in, cards to cut out, and the answer key."""

from __future__ import annotations

import os
from collections.abc import Iterator, Sequence
from typing import BinaryIO

from app.classroom.handout_cards import cards
from app.classroom.handout_home import take_home
from app.classroom.handout_key import answer_key
from app.classroom.handout_sheets import bench_sheet, kit_form, plan_sheet, worksheet
from app.classroom.handout_sort import sort_cards
from app.classroom.handout_strips import answer_strips
from app.classroom.programme import Programme
from app.printing.document import ensure_application, pdf_bytes, save
from app.printing.marks import BODY, MM, TITLE, Mark, Page, Piece, rule, stacked
from app.printing.paper import PAPERS, Paper, PaperName
from app.printing.type import line_of, paragraph
from model.scenario.cautions import PREDICTION

GAP = 2.2 * MM
DOCUMENT = "Class handouts"


def write_handouts(
    programme: Programme,
    target: str | os.PathLike[str] | BinaryIO,
    *,
    paper: PaperName = "a4",
    us: bool = False,
) -> None:
    """Write all handouts; raises PageError where the file cannot be written."""
    save(pdf_bytes(handout_pages(programme, paper=paper, us=us), DOCUMENT), target)


def handout_pages(programme: Programme, *, paper: PaperName = "a4", us: bool = False) -> list[Page]:
    """Return the pages of all handouts, the answer key last and on pages of its own."""
    ensure_application()
    sheet = PAPERS[paper]
    width = sheet.inner_width
    parts = (
        ("Worksheet: guess first", worksheet(programme, width, us=us)),
        ("Answer strips: cut across, one a person", answer_strips(programme, width)),
        ("Bench sheet: thirty minutes with a meter", bench_sheet(width, us=us)),
        ("A day on the air: plan and power budget", plan_sheet(width)),
        ("My kit: hours on the battery alone", kit_form(width)),
        ("Cards to sort: cut along the frames", sort_cards(programme, width)),
        ("To take home: hand out at the end", take_home(programme, width, us=us)),
        ("Cards to take home: hand out at the end", cards(width, us=us)),
        ("ANSWER KEY: not for the class", answer_key(programme, width, us=us)),
    )
    return [page for title, pieces in parts for page in _pages(title, pieces, sheet)]


def _pages(title: str, pieces: Sequence[Piece], sheet: Paper) -> Iterator[Page]:
    """Fill as many pages as the pieces need; none is cut in two."""
    head, foot = _head(title, sheet.inner_width), _foot(sheet.inner_width)
    room = sheet.inner_height - head.height - foot.height - 2 * GAP
    held: list[Piece] = []
    used = 0.0
    for piece in pieces:
        if held and used + GAP + piece.height > room:
            yield _page(title, held, sheet, head, foot)
            held, used = [], 0.0
        used += piece.height + (GAP if held else 0.0)
        held.append(piece)
    if held:
        yield _page(title, held, sheet, head, foot)


def _head(title: str, width: float) -> Piece:
    line = line_of(title, style=TITLE)
    name = line_of("Name or number: ______________", right=width, style=BODY, height=line.height)
    ruled = rule(0.0, line.height + 0.6 * MM, width, 6.0)
    return Piece(line.height + MM, (*line.marks, *name.marks, ruled))


def _foot(width: float) -> Piece:
    return paragraph(PREDICTION, width, BODY)


def _page(title: str, pieces: Sequence[Piece], sheet: Paper, head: Piece, foot: Piece) -> Page:
    body = stacked(*pieces, gap=GAP)
    marks: list[Mark] = [
        *head.moved(sheet.margin, sheet.margin),
        *body.moved(sheet.margin, sheet.margin + head.height + GAP),
        *foot.moved(sheet.margin, sheet.height - sheet.margin - foot.height),
    ]
    return Page(sheet.width, sheet.height, title, tuple(marks))
