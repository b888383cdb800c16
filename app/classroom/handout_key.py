"""The answer key: every answer, sum and reason, worked out when the key is written."""

from __future__ import annotations

from app.classroom import units
from app.classroom.handout_sheets import title_of
from app.classroom.programme import Programme, Question
from app.printing.marks import BODY, HEADING, MM, STRONG, Piece, stacked
from app.printing.type import line_of, paragraph
from model.lessons.lesson import ChoiceAnswer, Lesson, OrderAnswer
from model.lessons.run import letter, truth_of

INDENT = 5 * MM


def answer_key(programme: Programme, width: float, *, us: bool = False) -> list[Piece]:
    """Return one piece for each question."""
    found = []
    told: list[Lesson] = []
    for question in programme.questions:
        lesson, before = question.lesson, []
        if lesson is not None and lesson not in told:
            told.append(lesson)
            planned = next(part for part in programme.parts if part.key == question.part)
            before = _for_instructor(lesson, planned.planned_s / 60.0, width)
        title = line_of(title_of(programme, question), style=HEADING)
        answered = _answer(programme, question, width, us=us)
        found.append(stacked(title, *before, answered, gap=0.3 * MM))
    return found


def _for_instructor(lesson: Lesson, planned_min: float, width: float) -> list[Piece]:
    """Return what to measure, what to mind, and the notes that no class screen shows."""
    said = (
        ("Minutes", f"{planned_min:g}"),
        ("Measure", lesson.measure),
        ("Cautions", " ".join(lesson.cautions)),
        ("Notes", lesson.notes),
    )
    return [
        paragraph(f"{name}: {' '.join(text.split())}", width - INDENT, x=INDENT)
        for name, text in said
        if text.strip()
    ]


def _answer(programme: Programme, question: Question, width: float, *, us: bool) -> Piece:
    run = programme.run_of(question)
    truth, sum_text = truth_of(run), units.text(run, run.step.sum, us=us)
    lines = [paragraph(units.text(run, run.step.question, us=us), width)]
    lines.append(paragraph(f"Answer: {units.told(run.step, truth.words, us=us)}", width, STRONG))
    answer = run.step.answer
    if isinstance(answer, ChoiceAnswer | OrderAnswer):
        listed = answer.choices if isinstance(answer, ChoiceAnswer) else answer.items
        each_said = [units.told(run.step, each, us=us) for each in truth.each]
        values = ", ".join(
            ": ".join(filter(None, (f"{letter(place)} {each.text}", each_said[place])))
            for place, each in enumerate(listed)
        )
        lines.append(paragraph(values, width - INDENT, x=INDENT))
    lines += [
        paragraph(line, width - INDENT, x=INDENT)
        for line in sum_text.strip().splitlines()
        if line.strip()
    ]
    for index, reason in enumerate(run.step.reasons):
        mark = ", right" if reason.right else ""
        said = f"Reason {letter(index)}{mark}: {reason.text}"
        lines.append(paragraph(said, width - INDENT, x=INDENT))
    if question.lesson is not None:
        explanation = units.text(run, run.step.explanation, us=us)
        lines.append(paragraph(" ".join(explanation.split()), width, BODY))
    return stacked(*lines, gap=0.2 * MM)
