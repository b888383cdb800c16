"""Shade that stands on a panel between two times of the local clock, each day."""

from __future__ import annotations

import numpy as np

from model.scenario.declare import MINUTES_A_DAY, minutes_of
from model.scenario.part import Shade
from model.sky.timeline import Floats, Timeline


def beam_left(shade: Shade, clock: Timeline) -> Floats | float:
    """Return the share of the direct light that shade lets through in each step.

    Read at the middle of the step, where the sun is taken too. A stretch that ends at or before its
    start crosses midnight; where stretches overlap, each takes its share of what the other lets
    through.

    Parameters
    ----------
    shade : start, end and share left of each stretch, by the local clock.
    clock : of the run.

    Returns
    -------
    Share of the beam, shape (steps,), or 1 where nothing stands in the light [1].
    """
    if not shade:
        return 1.0
    minute = clock.wall_minutes()
    left = np.ones(clock.steps)
    for start, end, share in shade:
        begin = minutes_of(start)
        length = (minutes_of(end) - begin - 1) % MINUTES_A_DAY + 1
        within = np.mod(minute - begin, MINUTES_A_DAY) < length
        left = np.where(within, left * share, left)
    return left
