"""What a student takes home of a class: what was asked and found, its sum, what to measure."""

from __future__ import annotations

from dataclasses import dataclass

from model.lessons.playlist import ClassPlan
from model.lessons.run import StepRun, edited, scenario_at, truth_of


@dataclass(frozen=True)
class TakenHome:
    """One question with its answer; given out only when the class is over.

    Attributes
    ----------
    heading : what was found.
    reason : the right one; empty where none was asked for.
    sum : its lines, to be redone.
    at_home : what to measure on one's own station; empty where there is nothing.
    """

    heading: str
    question: str
    answer: str
    reason: str
    sum: tuple[str, ...]
    at_home: str


def taken_home(plan: ClassPlan) -> tuple[TakenHome, ...]:
    """Return everything for the page of a student: the lessons, then the closing questions."""
    found = []
    for asked in plan.lessons:
        lesson = asked.lesson
        for index in asked.steps:
            before = scenario_at(lesson, index - 1) if index else None
            run = StepRun(lesson.steps[index], scenario_at(lesson, index), before)
            found.append(_taken(run, lesson.title_after or lesson.title))
    if plan.questions is not None:
        for each in plan.closing:
            scenario = edited(plan.questions.scenario, each.changes, each.drops)
            found.append(_taken(StepRun(each.step, scenario, None), ""))
    return tuple(found)


def _taken(run: StepRun, heading: str) -> TakenHome:
    step = run.step
    lines = tuple(line for line in run.text(step.sum).splitlines() if line.strip())
    return TakenHome(
        heading,
        run.text(step.question),
        truth_of(run).words,
        next((reason.text for reason in step.reasons if reason.right), ""),
        lines,
        step.measure.words if step.measure is not None else "",
    )
