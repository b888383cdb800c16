"""``counterpoise lesson check``: what is wrong with a lesson, one line a fault."""

from __future__ import annotations

from app.cli.outputs import tell, write_text
from model.editing.faults import Fault
from model.lessons.lesson_file import check_lesson
from model.support.figures import NBSP


def check(file: str) -> int:
    """Print what is wrong with a lesson; return 2 if anything is, else 0."""
    lesson, faults = check_lesson(file)
    for fault in faults:
        tell(fault_line(fault))
    if lesson is None or faults:
        return 2
    steps = "1 step" if len(lesson.steps) == 1 else f"{len(lesson.steps)} steps"
    write_text(f"{lesson.title}: {steps}, {lesson.minutes}{NBSP}min, no fault\n", "-")
    return 0


def fault_line(fault: Fault) -> str:
    """Return a fault on one line, with the line of the file it stands in where that is known."""
    said = " ".join(str(fault).split())
    if fault.line is None or said.startswith("line "):
        return said
    return f"line {fault.line}: {said}"
