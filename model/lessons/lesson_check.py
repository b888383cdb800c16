"""What is wrong with a lesson or a playlist: its text, its runs, and what it shows too early."""

from __future__ import annotations

import os
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any

from model.editing.faults import Fault, ScenarioError, at_lines
from model.files.scenario_file import read_bytes, table_of
from model.files.toml_text import lines_of
from model.lessons.formula import FormulaError, names_in
from model.lessons.glossary import GLOSSARY
from model.lessons.leaks import leaks, lesson_leaks
from model.lessons.lesson import Lesson
from model.lessons.lesson_file import ReadLesson, read_with_faults
from model.lessons.playlist import ClassPlan, Questions
from model.lessons.playlist_file import read_class_plan, read_questions
from model.lessons.run import StepRun, edited, truth_of, watched
from model.lessons.shown_results import faults_of_shown
from model.lessons.text import formulas_in
from model.lessons.timing import planned_min


def check_lesson(source: str | os.PathLike[str]) -> tuple[Lesson | None, tuple[Fault, ...]]:
    """Return a lesson with every fault of its text and of its runs, each with its line."""
    try:
        read = read_with_faults(source)
    except ScenarioError as error:
        return None, error.faults
    return checked(read)


def checked(read: ReadLesson) -> tuple[Lesson | None, tuple[Fault, ...]]:
    """Return a lesson that was read with the faults of its text, or else of its runs."""
    if read.lesson is None or read.faults:
        return None, read.faults
    faults = tuple(_faults_of_runs(read.lesson)) or tuple(
        Fault(leak.path, f"{leak.shown} holds the answer of {leak.answer}")
        for leak in lesson_leaks(read.lesson, "step")
    )
    return read.lesson, at_lines(faults, read.lines)


def check_playlist(
    source: str | os.PathLike[str], folders: Sequence[Path] = ()
) -> tuple[ClassPlan | None, tuple[Fault, ...]]:
    """Return a playlist with every fault of its text, its lessons and its times, with its line.

    Parameters
    ----------
    folders : where lessons are looked for besides the folder of the playlist and the one above.
    """
    try:
        plan = read_class_plan(source, folders)
        lines = lines_of(table_of(read_bytes(source))[1])
    except ScenarioError as error:
        return None, error.faults
    faults = tuple(_faults_of_plan(plan)) or tuple(
        Fault(
            "lessons" if leak.lesson is None else f"lessons.{leak.lesson}",
            f"{leak.shown} holds the answer of {leak.answer}",
        )
        for leak in leaks(plan)
    )
    return plan, at_lines(faults, lines)


def check_questions(source: str | os.PathLike[str]) -> tuple[Questions | None, tuple[Fault, ...]]:
    """Return opening and closing questions with every fault of their text and their runs."""
    try:
        questions = read_questions(source)
        lines = lines_of(table_of(read_bytes(source))[1])
    except ScenarioError as error:
        return None, error.faults
    return questions, at_lines(tuple(_faults_of_questions(questions)), lines)


def _faults_of_plan(plan: ClassPlan) -> Iterator[Fault]:
    for key, entries in (("lessons", plan.lessons), ("spares", plan.spares)):
        for place, asked in enumerate(entries):
            for fault in _faults_of_runs(asked.lesson):
                yield Fault(f"{key}.{place}.lesson", f"{asked.path.name}: {fault}")
    if plan.questions is not None:
        for fault in _faults_of_questions(plan.questions):
            yield Fault("opening", str(fault))
    planned = planned_min(plan)
    if planned > plan.playlist.minutes:
        yield Fault("minutes", f"are {plan.playlist.minutes}, and {planned:g} are planned")


def _faults_of_questions(questions: Questions) -> Iterator[Fault]:
    for place, each in enumerate(questions.questions):
        path = f"questions.{place}"
        try:
            run = StepRun(each.step, edited(questions.scenario, each.changes, each.drops), None)
        except ScenarioError as error:
            yield from _of_edits(path, each.drops, error)
            continue
        yield from _withheld(path, run)
        for key in ("question", "given"):
            text = getattr(each, key)
            yield from _tried(f"{path}.{key}", run.text, text)
            yield from _leaks(f"{path}.{key}", run, text)
        yield from _tried(f"{path}.sum", run.text, each.sum)
        try:
            truth_of(run)
        except FormulaError as error:
            yield Fault(f"{path}.answer", str(error))


def _faults_of_runs(lesson: Lesson) -> Iterator[Fault]:
    """Run every step and try, and tell what cannot be worked out."""
    scenario, before = lesson.scenario, None
    for index, step in enumerate(lesson.steps):
        path = f"steps.{index}"
        try:
            scenario = edited(scenario, step.changes, step.drops)
        except ScenarioError as error:
            yield from _of_edits(path, step.drops, error)
            # What follows rests on this change.
            return
        run = StepRun(step, scenario, before)
        yield from _withheld(path, run)
        yield from _faults_of_step(path, run)
        before = scenario


def _of_edits(path: str, drops: tuple[str, ...], error: ScenarioError) -> Iterator[Fault]:
    for fault in error.faults:
        is_drop = fault.path in drops
        place = f"{path}.drops" if is_drop else f"{path}.changes.{fault.path}"
        message = f"{fault.path}: {fault.message}" if is_drop else fault.message
        yield Fault(place, message)


def _withheld(path: str, run: StepRun) -> Iterator[Fault]:
    for index, done in enumerate(run.comparison.runs):
        if done is None:
            words = next(f.sentence for f in run.comparison.findings if f.level == "error")
            yield Fault(path, f"station {index + 1} cannot be run: {words}")


def _faults_of_step(path: str, run: StepRun) -> Iterator[Fault]:
    step = run.step
    for key in ("question", "given"):
        text = getattr(step, key)
        yield from _tried(f"{path}.{key}", run.text, text)
        yield from _leaks(f"{path}.{key}", run, text)
    for name, formula in step.numbers:
        yield from _tried(f"{path}.numbers.{name}", run.value, formula)
    for key in ("explanation", "sum", "watch"):
        yield from _tried(f"{path}.{key}", run.text, getattr(step, key))
    try:
        truth_of(run)
    except FormulaError as error:
        yield Fault(f"{path}.answer", str(error))
    except ScenarioError as error:
        yield from (Fault(f"{path}.answer", str(fault)) for fault in error.faults)
    yield from _faults_of_parts(path, run)
    yield from _faults_of_tries(path, run)


def _faults_of_parts(path: str, run: StepRun) -> Iterator[Fault]:
    """Tell what a step shows, explains or measures that is not there."""
    step = run.step
    for index, shown in enumerate(step.show):
        for words in faults_of_shown(run.comparison, shown):
            yield Fault(f"{path}.show.{index}", words)
    for index, word in enumerate(step.glossary):
        if word not in GLOSSARY:
            yield Fault(f"{path}.glossary.{index}", f'"{word}" is not explained anywhere')
    measure = step.measure
    if measure is None:
        return
    if measure.path is not None and not isinstance(_number_at(run, measure.path), float):
        yield Fault(f"{path}.measure.path", f"{measure.path} is no number of the scenario")
    elif measure.path is None and step.answer.kind not in ("number", "time"):
        yield Fault(f"{path}.measure", "needs a path: its answer is no number that a meter shows")


def _tried(path: str, work: Any, text: str) -> Iterator[Fault]:
    try:
        work(text)
    except FormulaError as error:
        yield Fault(path, str(error))


def _leaks(path: str, run: StepRun, text: str) -> Iterator[Fault]:
    """Tell of outcomes that stand in a question: they would give its answer away."""
    for formula in formulas_in(text):
        try:
            names = names_in(formula)
        except FormulaError:
            continue
        for name in names:
            if run.is_outcome(name):
                yield Fault(path, f"{name} is an outcome: it would give the answer away")


def _faults_of_tries(path: str, run: StepRun) -> Iterator[Fault]:
    for index, change in enumerate(run.step.tries):
        place = f"{path}.tries.{index}"
        if change.path is None and not change.changes and not change.drops:
            yield Fault(place, "changes nothing: give changes, drops or a path")
            continue
        try:
            scenario = edited(run.scenario, change.changes, change.drops)
            watched(StepRun(run.step, scenario, run.scenario))
        except ScenarioError as error:
            yield from (Fault(place, str(fault)) for fault in error.faults)
            continue
        except FormulaError as error:
            yield Fault(place, str(error))
        if change.path is not None and not isinstance(_number_at(run, change.path), float):
            yield Fault(place, f"{change.path} is no number that could be typed in")


def _number_at(run: StepRun, path: str) -> Any:
    try:
        return run.value(path)
    except FormulaError:
        return None
