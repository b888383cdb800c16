"""Strips on which everybody writes their guesses, to be handed in and typed in a line."""

from __future__ import annotations

from app.classroom.programme import Programme, Question
from app.printing.marks import MM, STRONG, Piece, Stroke, stacked
from app.printing.say import Blank, Cell
from app.printing.table import Column, spread, table
from app.printing.type import line_of
from model.lessons.lesson import CurveAnswer, NumberAnswer
from model.lessons.run import letter

ROW = 8.0 * MM
STRIPS = 2
# Long dashes: cut here.
CUT = (12.0, 8.0)
NAME = "Answer strip · name or number: ______________"


def answer_strips(programme: Programme, width: float) -> list[Piece]:
    """Return strips for two people: the number of each question, and room for both guesses."""
    return [_strip(programme, width) for _ in range(STRIPS)]


def _strip(programme: Programme, width: float) -> Piece:
    wide = spread(width, 1.2, 1.0, 2.2, 2.0, 2.2)
    columns = [Column(each) for each in wide]
    rows: list[list[Cell]] = [
        [
            programme.number_of(question),
            _asked_in(question),
            Blank(),
            _reasons(question),
            "drawn on the screen" if _is_drawn(question) else Blank(),
        ]
        for question in programme.questions
    ]
    header = ("No.", "In", "First, or at the start", "Reason", "After talking, or at the end")
    return stacked(
        line_of(NAME, style=STRONG, height=ROW),
        table(columns, rows, header=header, ruled=True, least_height=ROW),
        Piece(4 * MM, (Stroke(((0.0, 2 * MM), (width, 2 * MM)), 4.0, CUT),)),
        gap=MM,
    )


def _asked_in(question: Question) -> str:
    answer = question.step.answer
    if isinstance(answer, NumberAnswer):
        return answer.unit or "number"
    return {"time": "hh:mm", "choice": "letter", "order": "letters"}.get(answer.kind, "")


def _reasons(question: Question) -> Cell:
    count = len(question.step.reasons)
    return "   ".join(letter(index) for index in range(count)) if count else ""


def _is_drawn(question: Question) -> bool:
    return isinstance(question.step.answer, CurveAnswer)
