"""Guesses of a class: how they are written, how they spread, how near the run they come."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from math import inf, isfinite
from statistics import median

from model.lessons.lesson import ChoiceAnswer, NumberAnswer, OrderAnswer, Step, TimeAnswer
from model.lessons.run import Amount, Truth, letter
from model.lessons.text import number_words
from model.support.figures import MINUS, number, percent, with_unit

# A guess within a factor of 1.25 is good: common practice of such contests, no source.
GOOD_RATIO = 1.25
GOOD_CURVE_GAP = 0.10
NEVER_WORDS = ("never", "lasts", "n")
_CLOCK = re.compile(r"(?:(\d{1,2})\s+)?(\d{1,2})[:.h]?(\d{2})")
_NUMBER = re.compile(r"([+-]?\d+(?:[.,]\d+)?)\s*(\D*)")

Guess = tuple[int, ...] | float


class GuessError(ValueError):
    """A guess that cannot be read; says in a clause what would be right."""


def read_guess(text: str, step: Step, start: datetime, days: int) -> Guess:
    """Return a guess: a number in the answer's unit, hours since the start, or places.

    Parameters
    ----------
    text : as typed; a decimal comma is as good as a point, and a unit may follow.
    start, days : of the run, for times of day; "2 06:30" is the second 06:30 met.

    Raises
    ------
    GuessError
        Says what would be right.
    """
    text, answer = text.strip(), step.answer
    if answer.kind == "time":
        return _time(text, start, days)
    if answer.kind == "number":
        return _number(text)
    if answer.kind == "choice":
        return _letters(text, len(answer.choices), 1)
    if answer.kind == "order":
        return _letters(text, len(answer.items), len(answer.items))
    raise GuessError("this answer is drawn as a curve, not typed")


def guess_words(guess: Guess, answer: TimeAnswer | NumberAnswer, start: datetime) -> str:
    """Return a guessed number or time as it is shown."""
    assert isinstance(guess, float)
    if answer.kind == "time":
        return clock_words(guess, start)
    text = f"{guess:.{answer.decimals}f}".replace("-", MINUS)
    return with_unit(text, answer.unit)


def clock_words(hours: float, start: datetime) -> str:
    """Return hours since the start as a time of day; a day later it says so."""
    if hours == inf:
        return "never"
    whole_min = start.hour * 60 + start.minute + round(hours * 60)
    text = f"{whole_min // 60 % 24:02d}:{whole_min % 60:02d}"
    days = int((hours * 60 + 1e-6) // 1440)
    return f"{text}, {days + 1}." if days else text


@dataclass(frozen=True)
class Spread:
    """How the guesses of a class lie: median and range, in the unit of the answer."""

    count: int
    median: Amount
    low: float
    high: float


def spread_of(guesses: Sequence[Guess]) -> Spread | None:
    """Return median and range of guessed numbers or times; None where there are none."""
    numbers = [guess for guess in guesses if isinstance(guess, float)]
    if not numbers:
        return None
    return Spread(len(numbers), float(median(numbers)), min(numbers), max(numbers))


def ratio_to(guess: Amount, truth: Truth) -> float | None:
    """Return a guess over the run; None where no ratio can be formed."""
    if truth.amount is None or not isfinite(guess) or truth.amount <= 0:
        return None
    return guess / truth.amount


def is_good(guess: Guess, truth: Truth) -> bool:
    """Whether a guess is right, or within the good ratio of the run."""
    if isinstance(guess, tuple):
        return guess == truth.right
    if truth.amount is None:
        return guess == inf
    if truth.amount == 0:
        return guess == 0
    ratio = ratio_to(guess, truth)
    return ratio is not None and 1 / GOOD_RATIO <= ratio <= GOOD_RATIO


def tally(guesses: Sequence[Guess], answer: ChoiceAnswer) -> tuple[int, ...]:
    """Return how many chose each choice."""
    chosen = [guess[0] for guess in guesses if isinstance(guess, tuple)]
    return tuple(chosen.count(index) for index in range(len(answer.choices)))


def class_order(guesses: Sequence[Guess], answer: OrderAnswer) -> tuple[int, ...]:
    """Return the cards in the order of their mean place among the guesses."""
    orders = [guess for guess in guesses if isinstance(guess, tuple)]
    places = [sum(order.index(card) for order in orders) for card in range(len(answer.items))]
    return tuple(sorted(range(len(answer.items)), key=lambda card: (places[card], card)))


def pairs_right(order: Sequence[int], truth: Truth) -> float:
    """Return the share of pairs of cards that stand the right way round [1]."""
    place = {card: index for index, card in enumerate(truth.right)}
    pairs = [
        place[first] < place[second]
        for index, first in enumerate(order)
        for second in order[index + 1 :]
    ]
    return sum(pairs) / len(pairs)


def curve_gap(drawn: Sequence[Amount], truth: Truth) -> float:
    """Return how far a drawn curve lies from the run on average, as a share of the scale [1]."""
    gaps = [abs(mine - run) for mine, run in zip(drawn, truth.curve, strict=True)]
    return sum(gaps) / len(gaps)


def score_words(guesses: Sequence[Guess], step: Step, truth: Truth) -> str:
    """Return how the class did, in one or two sentences."""
    answer, count = step.answer, len(guesses)
    if not guesses:
        return "No guesses were made."
    good = sum(is_good(guess, truth) for guess in guesses)
    if answer.kind == "choice":
        return f"{good} of {count} chose it."
    if answer.kind == "order":
        share = pairs_right(class_order(guesses, answer), truth)
        pairs = number_words(share, "%")
        return (
            f"{good} of {count} have the whole order right; the class as one has {pairs} of the"
            " pairs."
        )
    tail = f"{good} of {count} are within a factor of {GOOD_RATIO:g}."
    middle = spread_of(guesses)
    ratio = None if middle is None else ratio_to(middle.median, truth)
    if ratio is None:
        return tail if truth.amount is not None else f"{good} of {count} said never."
    verdict = "good" if 1 / GOOD_RATIO <= ratio <= GOOD_RATIO else "off"
    return f"The median guess is {number(ratio)} times the result: {verdict}. {tail}"


def curve_score_words(drawn: Sequence[Amount], truth: Truth) -> str:
    """Return how near a drawn curve comes."""
    gap = curve_gap(drawn, truth)
    verdict = "good" if gap <= GOOD_CURVE_GAP else "off"
    return f"The drawn curve is off by {percent(gap)} of the scale on average: {verdict}."


def _time(text: str, start: datetime, days: int) -> float:
    if text.casefold() in NEVER_WORDS:
        return inf
    found = _CLOCK.fullmatch(text)
    if not found or int(found[2]) > 24 or int(found[3]) > 59:
        raise GuessError("write a time such as 02:40 or 0240, or never")
    which = int(found[1] or 1)
    wanted = int(found[2]) * 60 + int(found[3])
    after = (wanted - start.hour * 60 - start.minute) % 1440 + 1440 * (which - 1)
    if which < 1 or after > days * 1440:
        raise GuessError(f"the run lasts {days * 24} hours; write never for later")
    return after / 60


def _number(text: str) -> float:
    found = _NUMBER.fullmatch(text)
    if not found:
        raise GuessError("write a number such as 7 or 7.5")
    value = float(found[1].replace(",", "."))
    if abs(value) > 1e9:
        raise GuessError("write a smaller number")
    return value


def _letters(text: str, count: int, wanted: int) -> tuple[int, ...]:
    marks = [mark for mark in text.upper() if not mark.isspace() and mark != ","]
    places = tuple(
        int(mark) - 1 if mark.isascii() and mark.isdigit() else ord(mark) - ord("A")
        for mark in marks
    )
    last = letter(count - 1)
    if any(not 0 <= place < count for place in places):
        raise GuessError(f"write letters from A to {last}")
    if len(places) != wanted or len(set(places)) != wanted:
        if wanted == 1:
            raise GuessError(f"write one letter from A to {last}")
        raise GuessError(
            f"write each letter from A to {last} once, such as "
            f"{''.join(letter(index) for index in range(count))}"
        )
    return places
