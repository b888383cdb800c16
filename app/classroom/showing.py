"""Puts each screen of a class on the side that the room sees."""

from __future__ import annotations

from collections.abc import Callable
from math import inf, isfinite

from app.charts.scale import Scale
from app.charts.time_marks import hour_marks, spacing_min
from app.classroom import units, words
from app.classroom.change_one import ChangeOne
from app.classroom.course import Course
from app.classroom.dots_picture import Dots, Ruler, ruler_over
from app.classroom.narrowing_picture import Narrowed, ratios_to
from app.classroom.projected import Projected
from app.classroom.results_picture import TITLES
from model.lessons.lesson import ChoiceAnswer, CurveAnswer, NumberAnswer, OrderAnswer, TimeAnswer
from model.lessons.narrowing import narrowing, narrowing_words
from model.lessons.run import StepRun, Truth, truth_of
from model.scenario.cautions import PREDICTION
from model.scenario.declare import MINUTES_A_DAY
from model.sky.sun_times import night_spans

TALK = "Talk with your neighbour: what speaks for your guess, and what against it?"
AGAIN = "Guess again. You may stay with what you said."
MARK_PX = 90.0


def show_screen(page: Projected, course: Course, change: ChangeOne) -> None:
    """Show the screen that a class is at."""
    page.clear()
    page.say(page.heading, words.heading(course))
    _SHOW[course.screen.kind](page, course, change)
    questions = course.programme.questions
    if course.question is not None and course.question.lesson is not None:
        asked = [each for each in questions if each.lesson is not None]
        page.progress.show_place(asked.index(course.question) + 1, len(asked))
        page.progress.show()
    page.finish()


def _cover(page: Projected, course: Course, _: ChangeOne) -> None:
    page.say(page.main, course.programme.title)
    page.say(
        page.listed, "Guess first. Talk. Guess again. Then measure, and see what the sum says."
    )
    page.say(page.notes, words.cautions(course))


def _lesson(page: Projected, course: Course, _: ChangeOne) -> None:
    lesson = course.programme.lesson_of(course.screen.part)
    assert lesson is not None
    page.say(page.main, lesson.title)
    page.say(page.listed, words.cautions(course))


def _question(page: Projected, course: Course, _: ChangeOne) -> None:
    step, again = course.asked.step, course.round == 2
    page.say(page.main, course.text(step.question))
    page.say(page.more, course.text(step.given))
    if isinstance(step.answer, CurveAnswer):
        said = course.said
        earlier = said.curves.get(1, []) if again else []
        drawn = said.curves.get(course.round, earlier)
        page.pad.ask(course.run.comparison.clock, top_of(course), drawn, earlier)
        page.put(page.pad)
    else:
        page.say(page.listed, words.choices(course))
        if step.picture:
            page.drawn.show_drawing(step.picture)
            page.put(page.drawn)
    page.say(page.notes, words.glossary(course))
    page.say(page.foot, AGAIN if again and course.asked.lesson else "")


def _reason(page: Projected, course: Course, _: ChangeOne) -> None:
    page.say(page.question, course.text(course.asked.step.question))
    page.say(page.main, "Why do you think so?")
    page.say(page.listed, words.reasons(course))


def _talk(page: Projected, course: Course, _: ChangeOne) -> None:
    page.say(page.question, course.text(course.asked.step.question))
    page.say(page.main, TALK)
    page.say(page.listed, words.choices(course))


def _measure(page: Projected, course: Course, _: ChangeOne) -> None:
    measure = course.asked.step.measure
    assert measure is not None
    page.say(page.question, course.text(course.asked.step.question))
    page.say(page.main, measure.words)
    page.say(page.listed, words.measured(course))


def _reveal(page: Projected, course: Course, _: ChangeOne) -> None:
    step, truth = course.asked.step, course.reveal.truth
    page.say(page.question, course.text(step.question))
    page.say(page.main, course.told(truth.words))
    if isinstance(step.answer, CurveAnswer):
        said = course.said
        again = said.curves.get(2, [])
        clock = course.run.comparison.clock
        if again:
            page.pad.ask(clock, top_of(course), again, said.curves.get(1, []))
        else:
            page.pad.ask(clock, top_of(course), said.curves.get(1, []))
        page.pad.show_truth(truth.curve)
        page.put(page.pad)
        page.say(page.said, words.score(course))
    elif isinstance(step.answer, ChoiceAnswer):
        page.votes.show_choices(words.vote_choices(course, is_open=True))
        page.put(page.votes)
        page.say(page.said, words.score(course))
    elif isinstance(step.answer, OrderAnswer):
        page.say(page.listed, words.right_order(course))
        page.say(page.said, words.score(course))
    else:
        page.dots.show_dots(dots_of(course, truth))
        page.put(page.dots)
        page.say(page.said, _moved(course, truth))
    if not page.dots.has_something():
        page.say(page.notes, _measured_line(course))
    page.offer(words.tries_offered(course))


def _why(page: Projected, course: Course, _: ChangeOne) -> None:
    page.say(page.listed, course.told(course.reveal.explanation))
    page.say(page.said, course.told(course.reveal.sum))
    page.say(page.notes, words.right_reason(course))


def _result(page: Projected, course: Course, _: ChangeOne) -> None:
    shown = course.asked.step.show[course.screen.number]
    page.say(page.main, TITLES[shown.result])
    page.result.show_result(course.reveal.comparison, shown, us=course.is_us)
    page.put(page.result)


def _change(page: Projected, course: Course, change: ChangeOne) -> None:
    step = course.asked.step
    page.say(page.main, step.tries[course.screen.number].words)
    page.say(page.said, "\n".join(filter(None, (words.as_it_is(course), change.words))))
    page.say(page.notes, change.note or change.prompt)
    after = change.run
    if step.show:
        shown = step.show[0]
        now = after.comparison if after else course.run.comparison
        before = course.run.comparison if after else None
        page.result.show_result(now, shown, before, us=course.is_us)
        page.put(page.result)
    elif after is not None and isinstance(course.asked.step.answer, TimeAnswer):
        page.dots.show_dots(dots_of(course, truth_of(after), course.reveal.truth))
        page.put(page.dots)


def _answer(page: Projected, course: Course, _: ChangeOne) -> None:
    truth = course.reveal.truth
    page.say(page.question, course.text(course.asked.step.question))
    page.say(page.main, course.told(truth.words))
    page.dots.show_dots(dots_of(course, truth))
    page.put(page.dots)
    page.say(page.said, course.told(course.reveal.sum))


def _narrowing(page: Projected, course: Course, _: ChangeOne) -> None:
    page.say(page.main, "The same questions, before and after")
    rows = []
    for number, (question, reveal) in enumerate(course.reveals(), start=1):
        first, second = (course.numbers(which, question) for which in (1, 2))
        run = reveal.truth.amount
        if run is None or not (first or second):
            continue
        said = units.told(question.step, reveal.truth.words, us=course.is_us)
        words_of_run = said.partition(",")[0]
        both = ratios_to(first, run), ratios_to(second, run)
        widths = words.widths(narrowing(first, second, reveal.truth), question.step.answer)
        rows.append(Narrowed(f"{number}  {words_of_run}", *both, widths))
    page.narrowing.show_rows(rows)
    page.put(page.narrowing)
    if not rows:
        page.say(page.listed, "No guesses were taken.")
        page.narrowing.hide()


def _end(page: Projected, course: Course, _: ChangeOne) -> None:
    page.say(page.main, "What was found")
    page.say(page.listed, words.titles_found(course))
    page.say(page.notes, PREDICTION)


def _unit(answer: object) -> str:
    return answer.unit if isinstance(answer, NumberAnswer) else ""


def _measured_line(course: Course) -> str:
    said = words.measured(course)
    truth = course.measured_truth()
    return f"{said}; with that the run says {course.told(truth.words)}" if truth else said


def _moved(course: Course, truth: Truth) -> str:
    found = narrowing(course.guesses(1), course.guesses(2), truth)
    start = course.run.comparison.clock.start
    return narrowing_words(found, course.asked.step, start) or words.score(course)


def dots_of(course: Course, truth: Truth, before: Truth | None = None) -> Dots:
    """Return both rounds of guesses with what is known by now of table and run."""
    answer = course.asked.step.answer
    first, second = course.numbers(1), course.numbers(2)

    def say(value: float) -> str:
        return words.say_guess(course, value)

    run = inf if truth.amount is None else truth.amount
    measured = _measured_mark(course)
    old = None if before is None else (inf if before.amount is None else before.amount, "")
    known = [run, *(each[0] for each in (measured, old) if each)]
    ruler = (
        clock_ruler(course.run, known)
        if isinstance(answer, TimeAnswer)
        else ruler_over([*first, *second, *known], _unit(answer))
    )
    names = ("at the start", "at the end") if course.asked.lesson is None else None
    found = Dots(first, second, ruler, say, measured, (run, f"{say(run)} by the sum"), old)
    return found if names is None else found.named(*names)


def _measured_mark(course: Course) -> tuple[float, str] | None:
    truth, measure = course.measured_truth(), course.asked.step.measure
    if truth is None or measure is None:
        return None
    at = inf if truth.amount is None else truth.amount
    said = words.say_guess(course, at)
    if measure.path is None:
        return at, f"{said} on the table"
    return at, f"{said} with {words.reading(course)} from the table"


def clock_ruler(run: StepRun, known: list[float]) -> Ruler:
    """Return the hours of a run; longer where a change lets it last longer."""
    clock, scenario = run.comparison.clock, run.scenario
    total_h = clock.days * 24.0
    longest_h = max([total_h, *(each for each in known if isfinite(each))])
    scale = Scale("", 0.0, longest_h, in_ratios=False)
    spacing = spacing_min(longest_h * 60.0, 1200.0, MARK_PX)
    marks = tuple(
        (mark.minute / 60.0, mark.text)
        for mark in hour_marks(clock, 0.0, clock.days * MINUTES_A_DAY, spacing)
    )
    nights = night_spans(scenario.site, scenario.day)
    dark = tuple(
        (clock.minutes_to(begin) / 60.0, clock.minutes_to(end) / 60.0) for begin, end in nights
    )
    return Ruler(scale, marks, dark)


def top_of(course: Course) -> tuple[float, str]:
    """Return what the top of the scale of a drawn curve stands for, with its unit."""
    answer = course.asked.step.answer
    assert isinstance(answer, CurveAnswer)
    if answer.series == "charge":
        return 100.0, "%"
    panel = course.run.scenario.stations[answer.station - 1].panel
    return (0.0 if panel is None else panel.rated_w * panel.count), "W"


_SHOW: dict[str, Callable[[Projected, Course, ChangeOne], None]] = {
    "cover": _cover, "opening": _question, "lesson": _lesson, "guess": _question,
    "reason": _reason, "talk": _talk, "second": _question, "measure": _measure, "reveal": _reveal,
    "why": _why, "result": _result, "change": _change, "closing": _question, "answer": _answer,
    "narrowing": _narrowing, "end": _end,
}  # fmt: skip
