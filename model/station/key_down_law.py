"""The key-down law of a class-AB stage, fitted to measured points."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from math import sqrt

from model.scenario.station import KeyDown

NOTABLE_MISS = 0.10


@dataclass(frozen=True)
class KeyDownLaw:
    """DC current with the key down: ``bias_a + root_a * sqrt(rf_w)``.

    Attributes
    ----------
    bias_a : standing current while keyed [A].
    root_a : slope over the square root of RF power [A/sqrt(W)].
    """

    bias_a: float
    root_a: float

    def current_a(self, rf_w: float) -> float:
        """Return the key-down current at a power [A]."""
        return self.bias_a + self.root_a * sqrt(rf_w)


@lru_cache(maxsize=1024)
def fit(points: KeyDown) -> KeyDownLaw:
    """Fit the law by least squares with neither term negative.

    Parameters
    ----------
    points : pairs of RF power [W] and supply current [A].

    Returns
    -------
    Both terms; 0 where there are no points.

    Notes
    -----
    A class-B stage draws in proportion to its output amplitude, sqrt(P); bias adds a constant.
    With two terms the constrained optimum is the free one, or lies on an edge.
    Common practice, no source.
    """
    if not points:
        return KeyDownLaw(0.0, 0.0)
    count = len(points)
    roots = [sqrt(power) for power, _ in points]
    currents = [current for _, current in points]
    mean_root = sum(roots) / count
    mean_current = sum(currents) / count
    spread = sum((root - mean_root) ** 2 for root in roots)
    slope = sum(
        (root - mean_root) * (current - mean_current)
        for root, current in zip(roots, currents, strict=True)
    )
    root_a = slope / spread if spread else 0.0
    bias_a = mean_current - root_a * mean_root
    if root_a < 0:
        return KeyDownLaw(mean_current, 0.0)
    if bias_a < 0:
        through_origin = sum(r * c for r, c in zip(roots, currents, strict=True))
        return KeyDownLaw(0.0, through_origin / sum(root * root for root in roots))
    return KeyDownLaw(bias_a, root_a)


def misses(points: KeyDown) -> tuple[float, ...]:
    """Return how far the law is from each point.

    Parameters
    ----------
    points : pairs of RF power [W] and supply current [A].

    Returns
    -------
    Law less point over point, one for each [1].
    """
    law = fit(points)
    return tuple(
        (law.current_a(power) - current) / current if current else 0.0 for power, current in points
    )


def is_extrapolated(points: KeyDown, rf_w: float) -> bool:
    """Return whether a power lies outside the measured points.

    Parameters
    ----------
    points : pairs of RF power [W] and supply current [A].
    rf_w : the power asked for [W].

    Returns
    -------
    Whether no point lies below, or none above it.
    """
    powers = [power for power, _ in points]
    return not powers or not min(powers) <= rf_w <= max(powers)
