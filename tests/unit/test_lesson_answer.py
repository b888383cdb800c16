"""Guesses: their spread, how a room narrows, and the score against the run."""

from __future__ import annotations

from datetime import UTC, datetime
from math import inf

import pytest

from model.lessons.answer import (
    class_order,
    clock_words,
    curve_score,
    curve_score_words,
    is_good,
    pairs_right,
    score_words,
    spread_of,
    tally,
)
from model.lessons.lesson import Step
from model.lessons.narrowing import narrowing, narrowing_words
from model.lessons.run import Truth
from tests.plain import plain

START = datetime(2027, 3, 6, 19, 0, tzinfo=UTC)


def step(**answer: object) -> Step:
    return Step.model_validate({"question": "?", "explanation": "x", "sum": "x", "answer": answer})


TIME = step(kind="time", value="x")
NUMBER = step(kind="number", value="x", unit="A")
CHOICES = [{"text": name, "value": name} for name in ("one", "two", "three")]
CHOICE = step(kind="choice", right="largest", choices=CHOICES)
ORDER = step(kind="order", first="largest", items=CHOICES)


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


def test_a_drawn_curve_is_scored_by_its_peak_and_area_in_daylight() -> None:
    # Night, then three half hours of daylight: what is drawn at night does not count.
    truth = Truth("x", curve=(0.0, 0.2, 0.4, 0.2), daylight=(False, True, True, True))
    score = curve_score((0.9, 0.3, 0.5, 0.4), truth)
    assert score.peak_ratio == pytest.approx(0.5 / 0.4)
    assert score.area_ratio == pytest.approx(1.2 / 0.8)
    assert not score.is_good
    assert curve_score((0.9, 0.2, 0.5, 0.2), truth).is_good
    assert curve_score_words((0.9, 0.3, 0.5, 0.4), truth) == (
        "In daylight: peak 1.2 and area 1.5 times the result: off."
    )
    dark = Truth("x", curve=(0.0,) * 4, daylight=truth.daylight)
    assert curve_score((0.9, 0.3, 0.5, 0.4), dark).peak_ratio is None


ROOM = [3.0, 5.0, 9.0, 23.0]


@pytest.mark.parametrize(
    ("second", "words"),
    [
        ([9.0, 11.0, 11.5, 13.0], "The room moved from 20 h wide to 4 h wide, and to the right"),
        ([1.0, 2.0, 2.5, 3.0], "The room moved from 20 h wide to 2 h wide, but not to the right"),
        ([3.0, 5.0, 9.0, 23.0, inf], "The room stayed 20 h wide, but not to the right place."),
        ([inf], ""),
        ([], ""),
    ],
)
def test_a_room_narrows_in_words_that_are_so(second: list[float], words: str) -> None:
    found = narrowing(ROOM, second, Truth("x", 11.9))
    said = plain(narrowing_words(found, TIME, START))
    assert said.startswith(words) if words else said == ""
    assert found.never[1] == second.count(inf)


def test_a_room_that_was_right_is_told_so() -> None:
    truth = Truth("x", 6.0)
    found = narrowing(ROOM, [5.0, 6.0, 8.0], truth)
    assert found.ratio == pytest.approx(3 / 20)
    assert found.good_share == (0.25, pytest.approx(2 / 3))
    assert plain(narrowing_words(found, NUMBER, START)) == (
        "The room moved from 20.0 A wide to 3.0 A wide, still in the right place."
    )
    away = narrowing(ROOM, [1.0, 2.0], truth)
    assert "and away from the right place" in narrowing_words(away, NUMBER, START)


@pytest.mark.parametrize(
    ("hours", "words"), [(7.6667, "02:40"), (35.5, "06:30, 2."), (inf, "never"), (0.0, "19:00")]
)
def test_hours_are_said_as_a_time_of_day(hours: float, words: str) -> None:
    assert clock_words(hours, START) == words
