"""What a class shows too early: a thing on a screen or a card that holds a later answer."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from pathlib import Path

from model.engine.outcome import USES
from model.lessons.glossary import GLOSSARY
from model.lessons.lesson import ChoiceAnswer, CurveAnswer, Lesson, OrderAnswer, Step
from model.lessons.parts import Shown
from model.lessons.playlist import Asked, ClassPlan
from model.lessons.run import StepRun, edited, scenario_at, tried, truth_of, watched
from model.lessons.secrets import Figure, Secret, figures_named, secret_of
from model.lessons.shown_results import runs_shown, table_shown, uses_shown
from model.lessons.text import formulas_in
from model.support.figures import NBSP

# What a curve lets a room read off.
_IN_CURVE = {
    "charge": (
        "curve.charge", "receive", "hours_on_battery", "lowest_fraction", "end_fraction",
        "at.*.fraction", "reserve_crossed", "first_charge",
    ),
    "sun": (
        "curve.sun", "sun_hours", "panel_wh.available", "at.*.panel_able_w", "at.*.irradiance_w_m2",
    ),
}  # fmt: skip


@dataclass(frozen=True)
class Leak:
    """A thing shown before a reveal that holds its answer.

    Attributes
    ----------
    shown : what is shown, and where.
    answer : the question whose answer it holds.
    path : of the thing in its lesson, such as ``steps.0.sum``; empty for what is none of it.
    lesson : place of that lesson in the playlist, counted from 0; None for what is none of it.
    """

    shown: str
    answer: str
    path: str = ""
    lesson: int | None = None


@dataclass(frozen=True)
class _Thing:
    """A thing that is shown: its words, and the figures in it."""

    name: str
    texts: tuple[str, ...] = ()
    figures: tuple[Figure, ...] = ()
    path: str = ""
    lesson: int | None = None
    titles: bool = False


@dataclass
class _Question:
    """A question of the class on its way: its secret, and what stands before and after it."""

    secret: Secret
    lesson: int | None
    asked: list[_Thing] = field(default_factory=list)
    told: list[_Thing] = field(default_factory=list)


def leaks(plan: ClassPlan, handed_out: Sequence[tuple[str, str]] = ()) -> tuple[Leak, ...]:
    """Return everything that a class is shown before the answer it holds.

    Titles and the questions of the worksheet are in everybody's hands from the beginning; what is
    said of a question comes at its reveal. The opening questions are answered at the closing.

    Parameters
    ----------
    handed_out : name and text of what else is given out before the first question, such as cards.
    """
    questions, first = _questions_of(plan.lessons)
    questions += _closing_questions(plan)
    first.append(_Thing("title of the class", (plan.playlist.title,)))
    first += [_Thing(name, (text,)) for name, text in handed_out]
    return _leaks_in(questions, first)


def lesson_leaks(lesson: Lesson, name: str) -> tuple[Leak, ...]:
    """Return what one lesson alone shows too early, all its questions asked."""
    asked = Asked(name, Path(), lesson, tuple(range(len(lesson.steps))))
    return _leaks_in(*_questions_of((asked,)))


def _leaks_in(questions: Sequence[_Question], first: Sequence[_Thing]) -> tuple[Leak, ...]:
    found: list[Leak] = []
    seen = _Seen()
    for thing in (*first, *(thing for each in questions for thing in each.asked)):
        found += seen.with_thing(thing, questions)
    for place, question in enumerate(questions):
        for thing in question.told:
            found += seen.with_thing(thing, questions[place + 1 :])
    return tuple(dict.fromkeys(found))


class _Seen:
    """What a class has seen so far."""

    def __init__(self) -> None:
        self._figures: list[Figure] = []
        self._amounts: dict[int, set[int]] = {}

    def with_thing(self, thing: _Thing, later: Sequence[_Question]) -> Iterator[Leak]:
        """Add a thing; yield each later answer that it holds or completes."""
        new = [each for each in thing.figures if not any(each.is_same(o) for o in self._figures)]
        self._figures += new
        for question in later:
            secret = question.secret
            if self._tells(thing, new, question):
                yield Leak(thing.name, secret.where, thing.path, thing.lesson)

    def _tells(self, thing: _Thing, new: Sequence[Figure], question: _Question) -> bool:
        secret = question.secret
        text = "\n".join(thing.texts).replace(NBSP, " ")
        if any(amount.is_in(text) for amount in secret.amounts):
            return True
        if any(moment.replace(NBSP, " ") in text for moment in secret.moments):
            return True
        if thing.titles and thing.lesson == question.lesson and _names_right(text, secret):
            return True
        if self._completes(text, secret):
            return True
        wanted = secret.figures
        return bool(
            wanted
            and any(each.is_same(other) for each in wanted for other in new)
            and all(any(each.is_same(other) for other in self._figures) for each in wanted)
        )

    def _completes(self, text: str, secret: Secret) -> bool:
        """Whether a text shows the last of the values that together tell an answer."""
        if not secret.together:
            return False
        had = self._amounts.setdefault(id(secret), set())
        here = {place for place, each in enumerate(secret.together) if each.is_in(text)}
        is_new = bool(here - had)
        had |= here
        return is_new and len(had) == len(secret.together)


def _names_right(text: str, secret: Secret) -> bool:
    """Whether a title names the right choice and no other."""
    said = text.casefold()
    return bool(
        secret.right
        and secret.right.casefold() in said
        and not any(other.casefold() in said for other in secret.others)
    )


def _questions_of(lessons: Sequence[Asked]) -> tuple[list[_Question], list[_Thing]]:
    first: list[_Thing] = []
    found: list[_Question] = []
    for place, asked in enumerate(lessons):
        lesson = asked.lesson
        titled = _Thing(f"{asked.name}: title", (lesson.title,), (), "title", place, titles=True)
        first.append(titled)
        first += [
            _Thing(f"{asked.name}: caution", (words,), (), f"cautions.{index}", place)
            for index, words in enumerate(lesson.cautions)
        ]
        found += [_lesson_question(asked, place, index) for index in asked.steps]
        if lesson.title_after:
            after = _Thing(f"{asked.name}: title at the end", (lesson.title_after,), (),
                           "title_after", place)  # fmt: skip
            found[-1].told.append(after)
    return found, first


def _lesson_question(asked: Asked, place: int, index: int) -> _Question:
    lesson = asked.lesson
    before = scenario_at(lesson, index - 1) if index else None
    run = StepRun(lesson.steps[index], scenario_at(lesson, index), before)
    truth = truth_of(run)
    name = f"{asked.name} {index + 1}"
    question = _Question(secret_of(name, run, truth), place)
    path = f"steps.{index}"

    def thing(what: str, *texts: str, key: str = "", figures: Sequence[Figure] = ()) -> _Thing:
        at = f"{path}.{key}" if key else path
        return _Thing(f"{name}: {what}", texts, tuple(figures), at, place)

    step = run.step
    for key, text in (("question", step.question), ("given", step.given)):
        question.asked.append(thing(key, run.text(text), key=key, figures=_shown_in(run, text)))
    question.asked += [thing(what, text, key=key) for what, text, key in _asked_with(step)]
    question.told.append(thing("answer", truth.words, *truth.each, figures=_read_off(run)))
    for key, text in (("explanation", step.explanation), ("sum", step.sum)):
        question.told.append(thing(key, run.text(text), key=key, figures=_shown_in(run, text)))
    for number, shown in enumerate(step.show):
        texts, figures = _of_result(run, shown)
        question.told.append(
            thing(f"{shown.result} shown", *texts, key=f"show.{number}", figures=figures)
        )
    question.told.append(
        thing("watch", watched(run), key="watch", figures=_shown_in(run, step.watch))
    )
    for number, change in enumerate(step.tries):
        what, key = f'change "{change.words}"', f"tries.{number}"
        if change.path is not None:
            question.told.append(thing(what, change.words, key=key))
            continue
        changed = tried(run, change)
        read_off = _shown_in(changed, step.watch)
        question.told.append(thing(what, change.words, watched(changed), key=key, figures=read_off))
    return question


def _asked_with(step: Step) -> Iterator[tuple[str, str, str]]:
    """Yield what stands beside a question: its choices or cards, reasons, words, and the table."""
    answer = step.answer
    if isinstance(answer, ChoiceAnswer | OrderAnswer):
        listed = answer.choices if isinstance(answer, ChoiceAnswer) else answer.items
        for choice in listed:
            yield f'card "{choice.text}"', choice.text, "answer"
    for number, reason in enumerate(step.reasons):
        yield f'reason "{reason.text}"', reason.text, f"reasons.{number}"
    for number, word in enumerate(step.glossary):
        yield f'word "{word}"', GLOSSARY.get(word, ""), f"glossary.{number}"
    if step.measure is not None:
        yield "what is measured", step.measure.words, "measure"


def _closing_questions(plan: ClassPlan) -> list[_Question]:
    found: list[_Question] = []
    if plan.questions is None:
        return found
    for each in plan.opening:
        run = StepRun(each.step, edited(plan.questions.scenario, each.changes, each.drops), None)
        question = _Question(secret_of(f"question {each.id}", run, truth_of(run)), None)
        name = f"question {each.id}"
        question.asked.append(_Thing(name, (run.text(each.question), run.text(each.given))))
        found.append(question)
    return found


def _shown_in(run: StepRun, text: str) -> list[Figure]:
    return [figure for formula in formulas_in(text) for figure in figures_named(run, formula)]


def _read_off(run: StepRun) -> tuple[Figure, ...]:
    """Return what the reveal of a curve lets a room read off."""
    answer = run.step.answer
    if not isinstance(answer, CurveAnswer):
        return ()
    keys = _IN_CURVE[answer.series]
    return tuple(Figure(run.scenario, answer.station - 1, key) for key in keys)


def _of_result(run: StepRun, shown: Shown) -> tuple[tuple[str, ...], tuple[Figure, ...]]:
    """Return texts and figures of a result that is shown."""
    comparison, scenario = run.comparison, run.scenario
    stations = [index for index, _ in runs_shown(comparison, shown)]
    if shown.result in _IN_CURVE:
        keys = _IN_CURVE[shown.result]
        return (), tuple(Figure(scenario, index, key) for index in stations for key in keys)
    if shown.result == "table":
        rows = table_shown(comparison, shown).rows
        units = [row.label.rpartition(", ")[2] if ", " in row.label else "" for row in rows]
        texts = [
            f"{text} {unit}" for row, unit in zip(rows, units, strict=True) for text in row.texts
        ]
        keys = tuple(row.key for row in rows)
        return tuple(texts), tuple(Figure(scenario, i, key) for i in stations for key in keys)
    texts = [bar.text for _, run_of in runs_shown(comparison, shown)
             for bar in uses_shown(run_of, shown)]  # fmt: skip
    uses = shown.figures or tuple(str(use) for use in USES)
    keys = tuple(f"by_use_ah.{use}" for use in uses)
    if not shown.figures:
        keys += ("load_ah", *(f"share.{use}" for use in uses))
    return tuple(texts), tuple(Figure(scenario, i, key) for i in stations for key in keys)
