"""How far the guesses of a class lie apart, and how that has changed."""

from __future__ import annotations

from collections.abc import Sequence
from math import inf, isfinite
from statistics import median

from model.support.figures import number, with_unit


def width_of(guesses: Sequence[float]) -> float | None:
    """Return how far the lowest and the highest guess lie apart; None for fewer than two. [1]

    A guess of "never" has no place among numbers and is left out.
    """
    known = [guess for guess in guesses if isfinite(guess)]
    return max(known) - min(known) if len(known) > 1 else None


def moved_words(
    first: Sequence[float], second: Sequence[float], run: float | None, unit: str
) -> str:
    """Return how the room has moved between the rounds; nothing where that cannot be said.

    Parameters
    ----------
    run : what it was asked for, None for "never". [1]
    unit : of the guesses.
    """
    before, after = width_of(first), width_of(second)
    if before is None or after is None:
        return ""
    wide, narrow = _said(before, unit), _said(after, unit)
    if wide == narrow:
        words = f"The guesses lie as far apart as before: {wide}"
    else:
        words = f"The room moved from {wide} wide to {narrow} wide"
    nearer = _nearer(first, second, run)
    if nearer is None:
        return f"{words}."
    if nearer == 0:
        return f"{words}; its median stayed."
    return f"{words}, and its median {'nearer to' if nearer > 0 else 'away from'} the run."


def width_words(first: Sequence[float], second: Sequence[float], unit: str) -> str:
    """Return both widths: 20 h → 9 h wide."""
    both = [width_of(guesses) for guesses in (first, second)]
    before, after = ("–" if each is None else _said(each, unit) for each in both)
    return f"{before} → {after}"


def _nearer(first: Sequence[float], second: Sequence[float], run: float | None) -> float | None:
    """Return how much nearer to the run the median has come, None where it cannot be said. [1]"""
    goal = inf if run is None else run
    medians = [float(median(guesses)) for guesses in (first, second)]
    if not all(map(isfinite, (*medians, goal))):
        return None
    before, after = (abs(each - goal) for each in medians)
    return before - after


def _said(width: float, unit: str) -> str:
    return with_unit(number(width), unit) if unit else number(width)
