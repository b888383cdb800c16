"""The answer key: every answer, sum and reason, worked out when the key is written."""

from __future__ import annotations

from collections.abc import Sequence

from app.printing.marks import BODY, HEADING, MM, STRONG, Piece, stacked
from app.printing.type import line_of, paragraph
from model.lessons.lesson import ChoiceAnswer, Lesson, OrderAnswer
from model.lessons.run import letter, reveal, step_run

INDENT = 5 * MM


def answer_key(lessons: Sequence[Lesson], width: float) -> list[Piece]:
    """Return one piece for each question."""
    found = []
    for lesson in lessons:
        for index in range(len(lesson.steps)):
            title = f"{lesson.number}.{index + 1}  {lesson.title}"
            before = [] if index else _for_instructor(lesson, width)
            answered = _answer(lesson, index, width)
            found.append(stacked(line_of(title, style=HEADING), *before, answered, gap=0.3 * MM))
    return found


def _for_instructor(lesson: Lesson, width: float) -> list[Piece]:
    """Return what to measure, what to mind, and the notes that no class screen shows."""
    said = (
        ("Minutes", f"{lesson.minutes}"),
        ("Measure", lesson.measure),
        ("Cautions", " ".join(lesson.cautions)),
        ("Notes", lesson.notes),
    )
    return [
        paragraph(f"{name}: {' '.join(text.split())}", width - INDENT, x=INDENT)
        for name, text in said
        if text.strip()
    ]


def _answer(lesson: Lesson, index: int, width: float) -> Piece:
    run, shown = step_run(lesson, index), reveal(lesson, index)
    lines = [paragraph(run.text(run.step.question), width)]
    lines.append(paragraph(f"Answer: {shown.truth.words}", width, STRONG))
    answer = run.step.answer
    if isinstance(answer, ChoiceAnswer | OrderAnswer):
        listed = answer.choices if isinstance(answer, ChoiceAnswer) else answer.items
        values = ", ".join(
            f"{letter(place)} {each.text}: {shown.truth.each[place]}"
            for place, each in enumerate(listed)
        )
        lines.append(paragraph(values, width - INDENT, x=INDENT))
    lines += [
        paragraph(line, width - INDENT, x=INDENT)
        for line in shown.sum.strip().splitlines()
        if line.strip()
    ]
    lines.append(paragraph(" ".join(shown.explanation.split()), width, BODY))
    return stacked(*lines, gap=0.2 * MM)
