"""A scale of a drawing: from a value to its place, and the numbers that stand along it."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from app.widgets.number_text import plain

STEPS = (1.0, 2.0, 5.0, 10.0)
# The room a number takes along a scale, in heights of a line of text.
LINES_UP, LINES_ACROSS = 1.6, 4.5
# What stays free over the highest value of a scale from nothing.
HEADROOM = 1.05


@dataclass(frozen=True)
class Scale:
    """From ``low`` to ``high``, in equal steps or, ``in_ratios``, in equal ratios.

    ``factor`` turns a value into the number that is written, for units and per cent.
    """

    title: str
    low: float
    high: float
    in_ratios: bool = True
    factor: float = 1.0

    def share(self, value: float) -> float:
        """Return how far along a value stands, 0 to 1; beyond the ends, the end."""
        kept = min(max(value, self.low), self.high)
        if self.in_ratios:
            return math.log(kept / self.low) / math.log(self.high / self.low)
        return (kept - self.low) / (self.high - self.low)

    def value(self, share: float) -> float:
        """Return the value at a place along the scale."""
        kept = min(max(share, 0.0), 1.0)
        if self.in_ratios:
            return float(self.low * (self.high / self.low) ** kept)
        return self.low + kept * (self.high - self.low)

    def places(self, count: int) -> tuple[float, ...]:
        """Return so many values at even distances, both ends among them."""
        return tuple(self.value(step / (count - 1)) for step in range(count))

    def ticks(self, at_most: int) -> list[tuple[float, str]]:
        """Return the values to mark, at most so many, each with its text."""
        low, high = self.low * self.factor, self.high * self.factor
        if self.in_ratios:
            marked = _ratio_ticks(low, high, at_most)
            texts = [plain(shown, 3) for shown in marked]
        else:
            marked = even_ticks(low, high, at_most)
            texts = tick_texts(marked)
        return [(shown / self.factor, text) for shown, text in zip(marked, texts, strict=True)]


def even_ticks(low: float, high: float, at_most: int) -> list[float]:
    """Return round values at equal distances: at most so many, but two at least."""
    power = 10.0 ** math.floor(math.log10((high - low) / max(at_most, 1)))
    finer: list[float] = []
    for step in (each * by * power for by in (1.0, 10.0, 100.0) for each in STEPS[:-1]):
        first, last = math.ceil(low / step - 1e-9), math.floor(high / step + 1e-9)
        found = [number * step for number in range(first, last + 1)]
        if len(found) <= at_most:
            break
        finer = found
    return found if len(found) > 1 else finer


def tick_texts(marked: Sequence[float]) -> list[str]:
    """Return the text of values at equal distances, with the decimals that tell them apart."""
    apart = marked[1] - marked[0] if len(marked) > 1 else 1e-3
    decimals = max(0, -math.floor(math.log10(apart) + 1e-9))
    return [plain(value, decimals) for value in marked]


def _ratio_ticks(low: float, high: float, at_most: int) -> list[float]:
    first, last = math.floor(math.log10(low)), math.ceil(math.log10(high))
    for steps in ((1.0, 2.0, 5.0), (1.0, 3.0), (1.0,)):
        found = [
            step * 10.0**power
            for power in range(first, last + 1)
            for step in steps
            if low * (1 - 1e-9) <= step * 10.0**power <= high * (1 + 1e-9)
        ]
        if len(found) <= at_most:
            break
    # Where the scale is short, equal steps say more.
    return found if len(found) > 2 else even_ticks(low, high, at_most)


def room_up(height_px: float, line_px: float) -> int:
    """Return how many numbers have room along an upright scale."""
    return max(2, int(height_px / (LINES_UP * line_px)))


def room_across(width_px: float, line_px: float) -> int:
    """Return how many numbers have room along a level scale."""
    return max(2, int(width_px / (LINES_ACROSS * line_px)))


def reach(values: list[float], by: float) -> tuple[float, float]:
    """Return round bounds that leave room of a factor ``by`` below and above all values."""
    return _round(min(values) / by, up=False), _round(max(values) * by, up=True)


def top_over(highest: float) -> float:
    """Return the top of a scale from nothing: over the highest value, and the same for most others.

    A scale that follows each small change of what it measures hides the change.
    """
    if highest < 1.0 / HEADROOM:
        return 1.0
    step = 10.0 ** math.floor(math.log10(highest)) / 4.0
    return math.ceil(highest * HEADROOM / step) * step


def _round(value: float, *, up: bool) -> float:
    power = 10.0 ** math.floor(math.log10(value))
    if up:
        return next(step * power for step in STEPS if step * power >= value * (1 - 1e-9))
    return next(step * power for step in STEPS[::-1] if step * power <= value * (1 + 1e-9))
