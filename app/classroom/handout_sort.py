"""Cards to sort: what a question asks to be put in order, each on a card that says no more."""

from __future__ import annotations

from collections.abc import Sequence

from app.classroom.handout_cards import CONNECT_STEPS
from app.classroom.programme import Programme
from app.printing.marks import HEADING, MM, Mark, Piece, beside, box, stacked
from app.printing.type import line_of, paragraph
from model.lessons.lesson import OrderAnswer
from model.lessons.run import letter

GAP = 4 * MM
PAD = 3 * MM
HIGH = 20 * MM
BLANKS = 2


def sort_cards(programme: Programme, width: float) -> list[Piece]:
    """Return the cards of every question about an order, and of how to connect a station."""
    found = []
    for question in programme.questions:
        answer = question.step.answer
        if isinstance(answer, OrderAnswer):
            texts = [f"{letter(index)}   {each.text}" for index, each in enumerate(answer.items)]
            found += _pack(f"Question {programme.number_of(question)}", texts, width)
    # By the alphabet, so that their order on the sheet says nothing.
    connect = [*sorted(CONNECT_STEPS), *[""] * BLANKS]
    return [*found, *_pack("In which order is a station connected?", connect, width)]


def _pack(title: str, texts: Sequence[str], width: float) -> list[Piece]:
    card = (width - GAP) / 2
    rows = []
    for place in range(0, len(texts), 2):
        framed = [_card(text, card) for text in texts[place : place + 2]]
        places = zip((0.0, card + GAP), framed, strict=False)
        rows.append(beside(*places))
    return [stacked(line_of(title, style=HEADING), rows[0], gap=MM), *rows[1:]]


def _card(text: str, width: float) -> Piece:
    body = paragraph(text, width - 2 * PAD) if text else None
    marks: list[Mark] = [box(0.0, 0.0, width, HIGH)]
    if body is not None:
        marks += body.moved(PAD, max((HIGH - body.height) / 2, PAD))
    return Piece(HIGH, tuple(marks))
