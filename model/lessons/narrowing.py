"""How far the guesses of a room lie apart before and after, and whether they came nearer."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from math import isfinite

from model.lessons.answer import Spread, guess_words, is_good, spread_of
from model.lessons.entry import Guess
from model.lessons.lesson import NumberAnswer, Step, TimeAnswer
from model.lessons.run import Truth
from model.support.figures import number, with_unit


@dataclass(frozen=True)
class Narrowing:
    """Two rounds of guesses on one scale.

    Attributes
    ----------
    before, after : spread of the numbers in each round; None where there are none. Who said never
        counts in ``never``, for both rounds.
    good_share : share of the room that was right, in each round [1].
    is_median_good : whether the median is near the run, in each round.
    """

    before: Spread | None
    after: Spread | None
    never: tuple[int, int]
    good_share: tuple[float, float]
    is_median_good: tuple[bool, bool]

    @property
    def ratio(self) -> float | None:
        """Return the width after over the width before; None where none can be formed [1]."""
        if self.before is None or self.after is None or self.before.width <= 0:
            return None
        return self.after.width / self.before.width


def narrowing(first: Sequence[Guess], second: Sequence[Guess], truth: Truth) -> Narrowing:
    """Return how a room moved from its first to its second guesses."""
    rounds = (first, second)
    spreads = [
        spread_of([guess for guess in each if isinstance(guess, float) and isfinite(guess)])
        for each in rounds
    ]
    never = [sum(isinstance(g, float) and not isfinite(g) for g in each) for each in rounds]
    good = [sum(is_good(guess, truth) for guess in each) / max(len(each), 1) for each in rounds]
    medians = [spread is not None and is_good(spread.median, truth) for spread in spreads]
    return Narrowing(
        spreads[0],
        spreads[1],
        (never[0], never[1]),
        (good[0], good[1]),
        (medians[0], medians[1]),
    )


def narrowing_words(found: Narrowing, step: Step, start: datetime) -> str:
    """Return the movement of a room in a sentence; nothing where one round was left out."""
    answer = step.answer
    if not isinstance(answer, TimeAnswer | NumberAnswer):
        return ""
    if found.before is None or found.after is None:
        return ""
    before, after = (_wide(each, answer, start) for each in (found.before, found.after))
    if before == after:
        moved = f"The room stayed {after} wide"
    else:
        moved = f"The room moved from {before} wide to {after} wide"
    was, now = found.is_median_good
    if now:
        return f"{moved}, {'still in' if was else 'and to'} the right place."
    return f"{moved}, {'and away from' if was else 'but not to'} the right place."


def _wide(spread: Spread, answer: TimeAnswer | NumberAnswer, start: datetime) -> str:
    if isinstance(answer, TimeAnswer):
        return with_unit(number(spread.width, 2), "h")
    return guess_words(spread.width, answer, start)
