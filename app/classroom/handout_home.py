"""The page a student takes home: what was asked, what came out, and what to measure."""

from __future__ import annotations

from app.classroom import units
from app.classroom.programme import Programme, Question
from app.printing.marks import BODY, HEADING, MM, STRONG, Piece, stacked
from app.printing.type import line_of, paragraph
from model.lessons.glossary import GLOSSARY
from model.lessons.run import truth_of

INDENT = 5 * MM
LINE = 8.0 * MM
AT_HOME = (
    "My radio takes ________ A on receive, measured on ____________",
    "My battery gives ________ Ah of the ________ Ah on its label, tested on ____________",
    "So I can listen for ________ Ah ÷ ________ A = ________ h",
    "The first thing I will switch off: ______________________________________",
)
WORDS = ("A", "Ah", "key-down", "standby")


def take_home(programme: Programme, width: float, *, us: bool = False) -> list[Piece]:
    """Return the answers of the class in a few lines each, and lines to fill in at home."""
    found = [_found(programme, each, width, us=us) for each in programme.questions if each.lesson]
    words = [
        paragraph(f"{word}: {GLOSSARY[word]}", width - INDENT, x=INDENT)
        for word in WORDS
        if word in GLOSSARY
    ]
    return [
        *found,
        stacked(line_of("Words", style=HEADING), *words, gap=0.3 * MM),
        stacked(
            line_of("At home", style=HEADING),
            *(line_of(each, height=LINE, style=BODY) for each in AT_HOME),
        ),
    ]


def _found(programme: Programme, question: Question, width: float, *, us: bool) -> Piece:
    run, lesson = programme.run_of(question), question.lesson
    assert lesson is not None
    truth = units.told(run.step, truth_of(run).words, us=us)
    lines = [
        paragraph(units.text(run, run.step.question, us=us), width - INDENT, x=INDENT),
        paragraph(f"By the sum: {truth}", width - INDENT, STRONG, x=INDENT),
    ]
    lines += [
        paragraph(line, width - INDENT, x=INDENT)
        for line in units.text(run, run.step.sum, us=us).strip().splitlines()
        if line.strip()
    ]
    title = line_of(lesson.title_after or lesson.title, style=HEADING)
    return stacked(title, *lines, gap=0.2 * MM)
