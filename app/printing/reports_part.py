"""Is the amplifier needed? What reports say of each station's powers, beside what it costs."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial

from app.printing.marks import MM, STRONG, Piece, stacked
from app.printing.say import Cell, Say
from app.printing.section import PART_GAP, Section
from app.printing.table import GAP, Column, table
from app.printing.type import paragraph
from model.editing.units import KG_PER_LB
from model.reception.requests import Answer
from model.reception.sentences import (
    MEANS,
    NOTHING,
    base_words,
    cell_words,
    few_sentence,
    price_sentence,
    share_words,
)
from model.reception.station_answers import StationAnswers
from model.reception.thresholds import MORSE, VOICE, Mode
from model.results.wording import capital, letter
from model.support.figures import entered

TITLE = "Is the amplifier needed? From reception reports"
BLANK = "Left out to be guessed."
NOT_KNOWN = "not known"
MODE_WIDTH = 30.0 * MM


def reports_sections(found: Sequence[StationAnswers], say: Say) -> list[Section]:
    """Return the section of the comparison page; none where no reports were read."""
    return [Section(TITLE, partial(_body, found, say))] if found else []


def _body(found: Sequence[StationAnswers], say: Say, width: float) -> list[Piece]:
    if say.variant == "class":
        return [paragraph(BLANK, width)]
    first = found[0]
    if not first.cells:
        lines = [NOTHING, *(few_sentence(cell) for cell in first.few[:1])]
        return [paragraph(" ".join(lines), width)]
    cell = first.cells[first.first_row].cell
    modes = (VOICE, MORSE, cell.mode)
    # In one piece: a share means little without its price and what it is of.
    return [
        stacked(
            paragraph(
                f"{base_words(cell)}, so many would have read (heard: {cell_words(cell)}):",
                width,
                STRONG,
            ),
            _shares(found, modes, width),
            paragraph(" ".join([*(_price(one, say) for one in found), MEANS]), width),
            gap=PART_GAP,
        )
    ]


def _shares(found: Sequence[StationAnswers], modes: Sequence[Mode], width: float) -> Piece:
    """Return a row for each mode, a column for each power of each station."""
    columns = [
        (f"{letter(one.index)}, {entered(watts, 'W')}", one, watts)
        for one in found
        for watts in one.powers_w
    ]
    step = (width - MODE_WIDTH) / len(columns) - GAP
    rows: list[list[Cell]] = [
        [capital(mode.label), *(_said(_answer(one, mode, watts)) for _, one, watts in columns)]
        for mode in modes
    ]
    head = ("Mode", *(name for name, _, _ in columns))
    shape = [Column(MODE_WIDTH), *(Column(step) for _ in columns)]
    return table(shape, rows, header=head, ruled=True)


def _answer(one: StationAnswers, mode: Mode, watts: float) -> Answer:
    answers = one.cells[one.first_row].answers
    return next(each for each in answers if each.mode is mode and each.power_w == watts)


def _said(answer: Answer) -> str:
    return share_words(answer.share) if answer.share is not None else NOT_KNOWN


def _price(one: StationAnswers, say: Say) -> str:
    return price_sentence(one, "lb", 1 / KG_PER_LB) if say.us else price_sentence(one)
