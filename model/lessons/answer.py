"""Guesses of a class: how they spread, and how near the run they come."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from math import inf, isfinite
from statistics import median

from model.lessons.entry import Guess
from model.lessons.lesson import ChoiceAnswer, NumberAnswer, OrderAnswer, Step, TimeAnswer
from model.lessons.run import Amount, Truth
from model.lessons.text import number_words
from model.support.figures import MINUS, number, with_unit

# A guess within a factor of 1.25 is good: common practice of such contests, no source.
GOOD_RATIO = 1.25


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

    @property
    def width(self) -> Amount:
        """How far the highest lies from the lowest."""
        return self.high - self.low


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


@dataclass(frozen=True)
class CurveScore:
    """A drawn curve over the run's, both in daylight alone.

    Attributes
    ----------
    peak_ratio : highest drawn over highest of the run [1]; None where the run has none.
    area_ratio : area under the drawn curve over the run's [1]; None where the run has none.
    """

    peak_ratio: float | None
    area_ratio: float | None

    @property
    def is_good(self) -> bool:
        """Whether both are near the run."""
        return all(
            ratio is not None and 1 / GOOD_RATIO <= ratio <= GOOD_RATIO
            for ratio in (self.peak_ratio, self.area_ratio)
        )


def curve_score(drawn: Sequence[Amount], truth: Truth) -> CurveScore:
    """Return how a drawn curve compares with the run by its peak and its area in daylight."""
    pairs = [
        (mine, run)
        for mine, run, is_day in zip(drawn, truth.curve, truth.daylight, strict=True)
        if is_day
    ]
    peak = max((run for _, run in pairs), default=0.0)
    area = sum(run for _, run in pairs)
    if peak <= 0 or area <= 0:
        return CurveScore(None, None)
    return CurveScore(max(mine for mine, _ in pairs) / peak, sum(mine for mine, _ in pairs) / area)


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
    score = curve_score(drawn, truth)
    if score.peak_ratio is None or score.area_ratio is None:
        return "In daylight the run gives nothing to compare with."
    verdict = "good" if score.is_good else "off"
    peak, area = number(score.peak_ratio, 2), number(score.area_ratio, 2)
    return f"In daylight: peak {peak} and area {area} times the result: {verdict}."
