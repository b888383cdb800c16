"""Guesses: reading them, their spread, and the score against the run."""

from __future__ import annotations

from datetime import UTC, datetime
from math import inf

import pytest

from model.lessons.answer import (
    GuessError,
    class_order,
    clock_words,
    curve_gap,
    is_good,
    pairs_right,
    read_guess,
    score_words,
    spread_of,
    tally,
)
from model.lessons.lesson import Step
from model.lessons.run import Truth

START = datetime(2027, 3, 6, 19, 0, tzinfo=UTC)


def step(**answer: object) -> Step:
    return Step.model_validate({"question": "?", "explanation": "x", "sum": "x", "answer": answer})


TIME = step(kind="time", value="x")
NUMBER = step(kind="number", value="x", unit="A")
CHOICES = [{"text": name, "value": name} for name in ("one", "two", "three")]
CHOICE = step(kind="choice", right="largest", choices=CHOICES)
ORDER = step(kind="order", first="largest", items=CHOICES)


@pytest.mark.parametrize(
    ("given", "text", "days", "guess"),
    [
        (TIME, "02:40", 1, 7 + 2 / 3),
        (TIME, "0240", 1, 7 + 2 / 3),
        (TIME, "2.40", 1, 7 + 2 / 3),
        (TIME, "19:00", 1, 0.0),
        (TIME, "2 06:30", 2, 35.5),
        (TIME, "never", 1, inf),
        (NUMBER, "6.7", 1, 6.7),
        (NUMBER, " 6,7 A", 1, 6.7),
        (CHOICE, "b", 1, (1,)),
        (CHOICE, "2", 1, (1,)),
        (ORDER, "c, a b", 1, (2, 0, 1)),
        (ORDER, "312", 1, (2, 0, 1)),
    ],
)
def test_a_guess_is_read_as_people_write_it(
    given: Step, text: str, days: int, guess: object
) -> None:
    found = read_guess(text, given, START, days)
    assert found == (pytest.approx(guess) if isinstance(guess, float) else guess)


@pytest.mark.parametrize(
    ("given", "text", "words"),
    [
        (TIME, "soon", "write a time"),
        (TIME, "25:00", "write a time"),
        (TIME, "2 06:30", "lasts 24 hours"),
        (NUMBER, "", "write a number"),
        (NUMBER, "seven", "write a number"),
        (NUMBER, "1e400", "write a number"),
        (NUMBER, "9999999999", "write a smaller number"),
        (CHOICE, "D", "from A to C"),
        (CHOICE, "AB", "write one letter"),
        (ORDER, "AAB", "each letter"),
        (ORDER, "AB", "each letter"),
    ],
)
def test_what_is_no_guess_is_refused_in_plain_words(given: Step, text: str, words: str) -> None:
    with pytest.raises(GuessError, match=words):
        read_guess(text, given, START, 1)


def test_the_spread_is_median_and_range() -> None:
    spread = spread_of([3.0, 9.0, 5.0, 100.0])
    assert spread is not None
    assert (spread.count, spread.median, spread.low, spread.high) == (4, 7.0, 3.0, 100.0)
    assert spread_of([]) is None


@pytest.mark.parametrize(
    ("guess", "truth", "good"),
    [
        (8.0, 10.0, True),
        (7.9, 10.0, False),
        (12.5, 10.0, True),
        (12.6, 10.0, False),
        (inf, 10.0, False),
        (inf, None, True),
        (5.0, None, False),
        (0.0, 0.0, True),
    ],
)
def test_good_is_within_a_factor_of_one_and_a_quarter(
    guess: float, truth: float | None, good: bool
) -> None:
    assert is_good(guess, Truth("x", truth)) is good


def test_the_class_is_scored_by_its_median_over_the_run() -> None:
    words = score_words([5.0, 7.0, 30.0], NUMBER, Truth("6.7 A", 6.7))
    assert (
        words
        == "The median guess is 1.04 times the result: good. 1 of 3 are within a factor of 1.25."
    )
    words = score_words([20.0], NUMBER, Truth("6.7 A", 6.7))
    assert (
        words
        == "The median guess is 2.99 times the result: off. 0 of 1 are within a factor of 1.25."
    )


def test_choices_are_counted_and_orders_averaged() -> None:
    assert tally([(1,), (1,), (0,)], CHOICE.answer) == (1, 2, 0)
    order = class_order([(0, 1, 2), (0, 2, 1), (1, 0, 2)], ORDER.answer)
    assert order == (0, 1, 2)
    truth = Truth("C A B", right=(2, 0, 1))
    assert pairs_right(order, truth) == pytest.approx(1 / 3)
    assert pairs_right(truth.right, truth) == 1


def test_a_drawn_curve_is_scored_by_its_mean_distance() -> None:
    assert curve_gap((0.5, 0.5), Truth("x", curve=(0.4, 0.8))) == pytest.approx(0.2)


@pytest.mark.parametrize(
    ("hours", "words"), [(7.6667, "02:40"), (35.5, "06:30, 2."), (inf, "never"), (0.0, "19:00")]
)
def test_hours_are_said_as_a_time_of_day(hours: float, words: str) -> None:
    assert clock_words(hours, START) == words
