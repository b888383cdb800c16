"""The class: lessons, their questions, and how answers are judged."""

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from model.lessons.lesson import Lesson as Lesson
    from model.lessons.lesson import Step as Step
    from model.lessons.lesson_check import check_lesson as check_lesson
    from model.lessons.lesson_file import read_lesson as read_lesson
    from model.lessons.run import StepRun as StepRun
    from model.lessons.run import reveal as reveal
    from model.lessons.run import step_run as step_run
else:
    from model.support.facade import offers

    __getattr__, __dir__, __all__ = offers(
        __name__,
        lesson="Lesson Step",
        lesson_check="check_lesson",
        lesson_file="read_lesson",
        run="StepRun step_run reveal",
    )
