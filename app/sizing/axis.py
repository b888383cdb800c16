"""A scale of a map: from a value to its place, and the numbers that stand along it."""

from __future__ import annotations

import math
from dataclasses import dataclass

from app.number_text import plain

STEPS = (1.0, 2.0, 5.0, 10.0)


@dataclass(frozen=True)
class Axis:
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
        marked = self._ratio_ticks(at_most) if self.in_ratios else self._even_ticks(at_most)
        decimals = 3 if self.in_ratios else _decimals_of(marked)
        return [(shown / self.factor, plain(shown, decimals)) for shown in marked]

    def _ratio_ticks(self, at_most: int) -> list[float]:
        low, high = self.low * self.factor, self.high * self.factor
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
        return found if len(found) > 2 else self._even_ticks(at_most)

    def _even_ticks(self, at_most: int) -> list[float]:
        low, high = self.low * self.factor, self.high * self.factor
        least = (high - low) / max(at_most - 1, 1)
        power = 10.0 ** math.floor(math.log10(least))
        step = next(each * power for each in STEPS if each * power >= least * (1 - 1e-9))
        first = math.ceil(low / step - 1e-9)
        last = math.floor(high / step + 1e-9)
        return [number * step for number in range(first, last + 1)]


def reach(values: list[float], by: float) -> tuple[float, float]:
    """Return round bounds that leave room of a factor ``by`` below and above all values."""
    return _round(min(values) / by, up=False), _round(max(values) * by, up=True)


def _round(value: float, *, up: bool) -> float:
    power = 10.0 ** math.floor(math.log10(value))
    if up:
        return next(step * power for step in STEPS if step * power >= value * (1 - 1e-9))
    return next(step * power for step in STEPS[::-1] if step * power <= value * (1 + 1e-9))


def _decimals_of(marked: list[float]) -> int:
    if len(marked) < 2:
        return 3
    return max(0, -math.floor(math.log10(marked[1] - marked[0]) + 1e-9))
