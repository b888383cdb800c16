"""What each screen of a lesson says; nothing of a run before its reveal."""

from __future__ import annotations

from app.classroom.class_lesson import ClassLesson
from model.lessons.answer import (
    class_order,
    curve_score_words,
    guess_words,
    score_words,
    spread_of,
    tally,
)
from model.lessons.lesson import ChoiceAnswer, NumberAnswer, OrderAnswer, TimeAnswer
from model.lessons.run import letter, watched
from model.scenario.cautions import PREDICTION

POINTER = "→"
ASK = {
    "time": "A time, such as 02:40; or never",
    "number": "A number",
    "choice": "A letter",
    "order": "Letters in order",
}


def heading(course: ClassLesson) -> str:
    """Return the line above every screen."""
    count = len(course.lesson.steps)
    if course.stage.kind in ("cover", "end") or count == 1:
        return course.lesson.title
    return f"{course.lesson.title} · {course.stage.step + 1} of {count}"


def cover(course: ClassLesson) -> str:
    """Return what stands before the first question: cautions of the class."""
    return "\n".join(f"⚠ {sentence}" for sentence in (*course.lesson.cautions, PREDICTION))


def choices(course: ClassLesson) -> str:
    """Return the choices or cards, each with its letter."""
    answer = course.step.answer
    if not isinstance(answer, ChoiceAnswer | OrderAnswer):
        return ""
    listed = answer.choices if isinstance(answer, ChoiceAnswer) else answer.items
    return "\n".join(f"{letter(index)}   {each.text}" for index, each in enumerate(listed))


def prompt(course: ClassLesson) -> str:
    """Return what is asked for in the line that takes guesses."""
    answer = course.step.answer
    words = ASK.get(answer.kind, "")
    if isinstance(answer, NumberAnswer) and answer.unit:
        return f"{words}, in {answer.unit}"
    return words


def count(course: ClassLesson) -> str:
    """Return how many guesses there are, and the last, to see that it was taken."""
    taken = len(course.guesses)
    if not taken:
        return "No guess yet"
    return f"{taken} {'guess' if taken == 1 else 'guesses'}, the last: {course.last_text}"


def spread(course: ClassLesson) -> str:
    """Return median and range of the guesses, or how they are shared out."""
    answer, guesses = course.step.answer, course.guesses
    if not guesses:
        return "No guesses were taken."
    if isinstance(answer, ChoiceAnswer):
        counted = tally(guesses, answer)
        return "\n".join(
            f"{letter(index)}   {choice.text}: {counted[index]}"
            for index, choice in enumerate(answer.choices)
        )
    if isinstance(answer, OrderAnswer):
        order = class_order(guesses, answer)
        lines = (f"{letter(index)}   {answer.items[index].text}" for index in order)
        return "\n".join(("The order of the class:", *lines))
    middle = spread_of(guesses)
    assert middle is not None
    assert isinstance(answer, TimeAnswer | NumberAnswer)
    start = course.run.comparison.clock.start
    said = [guess_words(value, answer, start) for value in (middle.median, middle.low, middle.high)]
    taken = "1 guess" if middle.count == 1 else f"{middle.count} guesses"
    return f"{taken}: median {said[0]}, from {said[1]} to {said[2]}"


def answer_list(course: ClassLesson) -> str:
    """Return the choices with their values, the right one marked; cards in the right order."""
    answer, truth = course.step.answer, course.reveal.truth
    if isinstance(answer, ChoiceAnswer):
        counted = tally(course.guesses, answer)
        return "\n".join(
            f"{POINTER if index == truth.right[0] else '   '} {letter(index)}   {choice.text}:"
            f" {truth.each[index]}   ({counted[index]})"
            for index, choice in enumerate(answer.choices)
        )
    if isinstance(answer, OrderAnswer):
        return "\n".join(
            f"{letter(index)}   {answer.items[index].text}: {truth.each[index]}"
            for index in truth.right
        )
    return ""


def score(course: ClassLesson) -> str:
    """Return how near the class came."""
    truth = course.reveal.truth
    if course.step.answer.kind == "curve":
        if len(course.curve) != len(truth.curve):
            return "Nothing was drawn."
        return curve_score_words(course.curve, truth)
    return score_words(course.guesses, course.step, truth)


def tries(course: ClassLesson, chosen: int | None, after: str) -> str:
    """Return what may be changed, each with its key, and what comes of it."""
    lines = [
        f"{POINTER if index == chosen else '   '} {index + 1}   {change.words}"
        for index, change in enumerate(course.step.tries)
    ]
    return "\n".join(
        (*lines, "", f"As it is: {watched(course.run)}", f"Changed: {after}" if after else "")
    )


def end(course: ClassLesson) -> str:
    """Return what stands after the last screen."""
    return f"End of the lesson.\n\n{PREDICTION}"
