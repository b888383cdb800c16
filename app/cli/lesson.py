"""``counterpoise lesson check``: what is wrong with lessons, one line a fault."""

from __future__ import annotations

from app.cli.answers import Answer
from app.cli.cases import Case
from model.editing.faults import Fault
from model.lessons.lesson_file import check_lesson
from model.support.figures import NBSP


def check(case: Case) -> Answer:
    """Find what is wrong with a lesson."""
    lesson, faults = check_lesson(case.file)
    lines = tuple(fault_line(fault) for fault in faults)
    title, steps, minutes = "", None, None
    if lesson is not None:
        title, steps, minutes = lesson.title, len(lesson.steps), lesson.minutes
    said = "1 step" if steps == 1 else f"{steps} steps"
    return Answer(
        case,
        text=f"{title}: {said}, {minutes}{NBSP}min, no fault\n",
        data={"title": title, "steps": steps, "minutes": minutes, "faults": len(faults)},
        faults=lines,
    )


def fault_line(fault: Fault) -> str:
    """Return a fault on one line, with the line of the file it stands in where that is known."""
    said = " ".join(str(fault).split())
    if fault.line is None or said.startswith("line "):
        return said
    return f"line {fault.line}: {said}"
