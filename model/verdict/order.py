"""Who ends first, and whether the order is known at all."""

from __future__ import annotations

from math import hypot, inf

import numpy as np

from model.engine.clocks import FULL_FRACTION
from model.engine.comparison import Comparison
from model.engine.outcome import Clock
from model.engine.run import StationRun
from model.results.provenance import guess_share
from model.results.shared_errors import SUN, ErrorKey, load_errors
from model.results.tie_point import first_end_h
from model.results.wording import (
    CLOCK_WORDS,
)

# Where more of the day's Ah than this rests on guesses, moments are "about".
GUESSED_SHARE = 0.5


def is_guessed(run: StationRun) -> bool:
    """Return whether most of a run's Ah rests on guesses."""
    return guess_share(run) > GUESSED_SHARE


def ranking(comparison: Comparison) -> list[tuple[float, int]]:
    """Return the first end of each station that was run, earliest first [h], with its index."""
    return sorted(
        (first_end_h(run), index) for index, run in enumerate(comparison.runs) if run is not None
    )


def first_clock(run: StationRun) -> tuple[str, Clock] | None:
    """Return the clock that ends first, receive before the powers where they end together."""
    ended = [
        (clock.hours, order, name, clock)
        for order, (name, clock) in enumerate(
            (name, getattr(run.clocks, name)) for name in reversed(CLOCK_WORDS)
        )
        if clock.hours is not None
    ]
    if not ended:
        return None
    _, _, name, clock = min(ended)
    return name, clock


# A day's sun is known to a fifth at best (README, "What the model takes as given").
SUN_SPREAD = 0.2


def too_close(first: StationRun, second: StationRun) -> bool:
    """Return whether the first ends no sooner than the numbers behind both allow to be told.

    Where the second lasts, it ends when what it still holds at that moment would be used up.
    """
    ends = first_end_h(first), first_end_h(second)
    if ends[0] == inf:
        return False
    gap_h = ends[1] - ends[0] if ends[1] < inf else _left_h(second, ends[0])
    if gap_h == inf:
        return False
    one = _errors_h(first, ends[0])
    other = _errors_h(second, min(ends[1], ends[0] + gap_h))
    # What both share moves both ends alike: only the difference of its effects tells.
    return gap_h < hypot(*(one.get(key, 0.0) - other.get(key, 0.0) for key in one | other))


def _left_h(run: StationRun, at_h: float) -> float:
    """Return how long the usable charge at a moment carries the loads of the hours before [h]."""
    # What ends at once leaves no hours before: then the first minute tells the loads.
    step = max(round(at_h / run.clock.step_h) - 1, 0)
    since = _last_full(run, step)
    mean_a = float(run.flow.load_a[since : step + 1].mean())
    return float(run.usable_ah[step]) / mean_a if mean_a > 0 else inf


def _errors_h(run: StationRun, end_h: float) -> dict[ErrorKey, float]:
    """Return how far each error moves an end: loads and sun since the battery was full [h]."""
    step = min(round(end_h / run.clock.step_h), run.inputs.steps) - 1
    since = _last_full(run, step)
    part = slice(since, step + 1)
    drawn_ah = float(run.flow.load_a[part].sum())
    if drawn_ah <= 0:
        return {}
    long_h = (step + 1 - since) * run.clock.step_h
    sun_share = SUN_SPREAD * float(run.flow.panel_a[part].sum()) / drawn_ah
    errors = {key: long_h * share for key, share in load_errors(run).items()}
    return errors | {SUN: long_h * sun_share}


def _last_full(run: StationRun, step: int) -> int:
    full = np.flatnonzero(run.fraction[: step + 1] >= FULL_FRACTION)
    return int(full[-1]) if full.size else 0
