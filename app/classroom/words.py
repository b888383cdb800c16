"""What each screen of a class says; nothing of a run before its reveal."""

from __future__ import annotations

from app.classroom.course import Course
from app.classroom.pace import clock_text
from app.classroom.programme import Screen
from app.classroom.units import measured_unit
from app.classroom.vote_bars import Choice
from model.lessons.answer import (
    clock_words,
    curve_score_words,
    guess_words,
    score_words,
    tally,
)
from model.lessons.glossary import GLOSSARY
from model.lessons.lesson import Answer, ChoiceAnswer, NumberAnswer, OrderAnswer, TimeAnswer
from model.lessons.measured import unit_measured
from model.lessons.narrowing import Narrowing
from model.lessons.run import letter, watched
from model.scenario.cautions import PREDICTION
from model.support.figures import NBSP, number, unbroken, with_unit

# Silence before anybody speaks: common practice, no source.
SILENCE_S = 60.0
ASK = {
    "time": "Times, such as 7am 0240 never",
    "number": "Numbers, one a person",
    "order": "Orders, such as CABD, one a person",
}
NEXT = {
    "cover": "Start", "opening": "Opening question", "lesson": "Lesson", "guess": "Guess",
    "reason": "Reason", "talk": "Talk", "second": "Second guess", "measure": "Measure",
    "reveal": "Reveal", "why": "Why, and the sum", "result": "Result", "change": "Change one thing",
    "closing": "Closing question", "answer": "Closing answer",
    "narrowing": "Before and after", "end": "End",
}  # fmt: skip


def heading(course: Course) -> str:
    """Return the line above every screen."""
    screen, question = course.screen, course.question
    if screen.kind in ("cover", "lesson", "end", "narrowing"):
        return course.programme.title
    assert question is not None
    if question.lesson is None:
        name = "Before we begin" if screen.kind == "opening" else "Once more"
        return f"{name} · {question.words}"
    return " · ".join(filter(None, (question.lesson.title, question.words)))


def cautions(course: Course) -> str:
    """Return what stands before the first question: what is to be minded, and what it is worth."""
    lesson = course.programme.lesson_of(course.screen.part)
    said = lesson.cautions if lesson else ()
    if course.place:
        return "\n".join(f"⚠ {sentence}" for sentence in said)
    # A lesson may say it in its own list; once is enough.
    return "\n".join(f"⚠ {sentence}" for sentence in dict.fromkeys((*said, PREDICTION)))


def choices(course: Course) -> str:
    """Return the choices or cards, each with its letter."""
    answer = course.asked.step.answer
    if not isinstance(answer, ChoiceAnswer | OrderAnswer):
        return ""
    listed = answer.choices if isinstance(answer, ChoiceAnswer) else answer.items
    return "\n".join(f"{letter(index)}   {each.text}" for index, each in enumerate(listed))


def reasons(course: Course) -> str:
    """Return the reasons, each with its letter; none is marked."""
    listed = course.asked.step.reasons
    return "\n".join(f"{letter(index)}   {each.text}" for index, each in enumerate(listed))


def right_reason(course: Course) -> str:
    """Return which reason holds, after the reveal; nothing where none was asked for."""
    votes = course.said.reasons
    for index, each in enumerate(course.asked.step.reasons):
        if each.right:
            chose = votes[index] if index < len(votes) else 0
            tail = f" Chosen by {chose} of {sum(votes)}." if sum(votes) else ""
            return f"Reason {letter(index)}: {each.text}.{tail}".replace("..", ".")
    return ""


def glossary(course: Course) -> str:
    """Return the words explained beside a question."""
    return "\n".join(
        unbroken(f"{word}: {GLOSSARY[word]}")
        for word in course.asked.step.glossary
        if word in GLOSSARY
    )


def prompt(course: Course) -> str:
    """Return what is asked for in the line that takes guesses."""
    answer = course.asked.step.answer
    words = ASK.get(answer.kind, "")
    if isinstance(answer, NumberAnswer) and answer.unit:
        return f"{words}, in {answer.unit}"
    return words


def prompt_measure(course: Course) -> str:
    """Return what is asked for in the line that takes a reading, in its unit."""
    unit = measured_unit(course.asked.step, us=course.is_us)
    return f"What the meter says{f', in {unit}' if unit else ''}; nothing for no meter"


def count(course: Course) -> str:
    """Return how many guesses there are, and the last, to see that it was taken."""
    taken, typed = course.said.count(course.round), course.said.lines.get(course.round)
    if course.asked.step.answer.kind == "curve":
        return "The curve is kept" if taken else "Nothing is drawn yet"
    if not taken:
        return "No guesses yet"
    words = f"{taken} {'guess' if taken == 1 else 'guesses'}"
    if typed and typed[-1].people == 1:
        return f"{words}, the last: {typed[-1].text[:12]}"
    return f"{words}, the last line {typed[-1].people}" if typed else words


def say_guess(course: Course, value: float) -> str:
    """Return a guess of this question in words."""
    answer = course.asked.step.answer
    assert isinstance(answer, TimeAnswer | NumberAnswer)
    if isinstance(answer, TimeAnswer):
        return clock_words(value, course.run.comparison.clock.start)
    return guess_words(value, answer, course.run.comparison.clock.start)


def vote_choices(course: Course, *, is_open: bool) -> tuple[Choice, ...]:
    """Return the votes on the choices in both rounds, with the right one once it is shown."""
    answer = course.asked.step.answer
    assert isinstance(answer, ChoiceAnswer)
    first, second = (tally(course.guesses(which), answer) for which in (1, 2))
    has_second = bool(course.said.count(2))
    truth = course.reveal.truth if is_open else None
    return tuple(
        Choice(
            letter(index),
            each.text,
            first[index],
            second[index] if has_second else None,
            course.told(truth.each[index]) if truth else "",
            is_right=truth is not None and truth.right[0] == index,
        )
        for index, each in enumerate(answer.choices)
    )


def reason_choices(course: Course) -> tuple[Choice, ...]:
    """Return the votes on the reasons."""
    votes = course.said.reasons
    return tuple(
        Choice(letter(index), each.text, votes[index] if index < len(votes) else 0)
        for index, each in enumerate(course.asked.step.reasons)
    )


def right_order(course: Course) -> str:
    """Return the cards in the right order, each with its value."""
    answer, truth = course.asked.step.answer, course.reveal.truth
    assert isinstance(answer, OrderAnswer)
    return "\n".join(
        f"{place}.  {letter(index)}   {answer.items[index].text}: {course.told(truth.each[index])}"
        for place, index in enumerate(truth.right, start=1)
    )


def score(course: Course) -> str:
    """Return how near the class came, in the round it said last."""
    truth, step = course.reveal.truth, course.asked.step
    which = 2 if course.said.count(2) else 1
    if step.answer.kind == "curve":
        drawn = course.said.curves.get(which, [])
        if len(drawn) != len(truth.curve):
            return "Nothing was drawn."
        return curve_score_words(drawn, truth)
    return score_words(course.guesses(which), step, truth)


def measured(course: Course) -> str:
    """Return what the table read, in a few words."""
    held = course.said.measured
    if held is None:
        return ""
    if not held.has_value:
        return "No meter on the table today"
    return f"On the table: {reading(course)}"


def reading(course: Course) -> str:
    """Return the reading of the table as typed, with its unit where that was left out."""
    held = course.said.measured
    text = held.text if held else ""
    unit = unit_measured(course.asked.step)
    return text if any(mark.isalpha() or mark == "%" for mark in text) else with_unit(text, unit)


def widths(found: Narrowing, answer: Answer) -> str:
    """Return how far the guesses lay apart before and after: 20 h → 9 h wide."""
    unit = answer.unit if isinstance(answer, NumberAnswer) else "h"
    said = []
    for spread in (found.before, found.after):
        width = None if spread is None or spread.count < 2 else number(spread.width)
        said.append("–" if width is None else with_unit(width, unit))
    return " → ".join(said)


def tries_offered(course: Course) -> str:
    """Return what may be changed afterwards, on one line."""
    listed = [change.words for change in course.asked.step.tries]
    return f"Change one thing: {' · '.join(listed)}" if listed else ""


def as_it_is(course: Course) -> str:
    """Return what is read off before anything is changed."""
    return f"As it is: {course.told(watched(course.run))}"


def titles_found(course: Course) -> str:
    """Return what was found in each lesson: said at the end, when it gives nothing away."""
    found = (asked.lesson.title_after or asked.lesson.title for asked in course.programme.lessons)
    return "\n".join(f"·  {title}" for title in found)


def here(course: Course) -> str:
    """Return which step the room is at, for the instructor."""
    return f"{NEXT[course.screen.kind]} · {heading(course)}"


def next_words(course: Course) -> str:
    """Return which step comes next, for the instructor."""
    screen = course.next_screen
    if screen is None:
        return "Next: the list"
    words = NEXT[screen.kind]
    if screen.kind == "lesson":
        names = [asked.name for asked in course.programme.lessons]
        words = f"Lesson {names.index(screen.part) + 1} of {len(names)}"
    planned_s = course.programme.planned_s(screen)
    return f"Next: {words}, {clock_text(planned_s)}" if planned_s else f"Next: {words}"


def countdown(course: Course, screen: Screen) -> str:
    """Return how much of a silence or a talk is left; nothing on other screens."""
    if screen.kind == "guess":
        left_s = SILENCE_S - course.pace.screen_s
        return f"In silence{NBSP}· {clock_text(left_s)}" if left_s > 0 else ""
    if screen.kind == "talk":
        left_s = course.programme.planned_s(screen) - course.pace.screen_s
        return clock_text(max(left_s, 0.0))
    return ""
