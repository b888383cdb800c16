"""The power budget of a run: what each use took, by night and by day."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from model.engine.outcome import USES, Use
from model.engine.run import StationRun
from model.sky.sun_times import night_spans

DAY_H = 24.0


@dataclass(frozen=True)
class BudgetLine:
    """What one use takes in 24 hours, as the mean over the run.

    Attributes
    ----------
    use : what takes it.
    mean_ah, mean_wh : a day, at the bus.
    share : of the whole [1].
    night_ah, day_ah : parts of ``mean_ah`` with the sun below and above -6 degrees.
    """

    use: Use
    mean_ah: float
    mean_wh: float
    share: float
    night_ah: float
    day_ah: float


@dataclass(frozen=True)
class Budget:
    """All uses that take anything, the largest first, and their sums over 24 hours."""

    lines: tuple[BudgetLine, ...]
    mean_ah: float
    mean_wh: float
    night_ah: float
    day_ah: float


def power_budget(run: StationRun) -> Budget:
    """Return what each use took in a run, as a mean of 24 hours at the bus.

    What a station that fell silent did not draw is not in it.
    """
    days = run.clock.days
    dark = night_mask(run)
    hours = run.clock.step_h / days
    whole_ah = run.sums.load_ah / days
    lines = []
    for use in USES:
        current_a = run.flow.use_a[use]
        mean_ah = float(current_a.sum() * hours)
        if mean_ah <= 0.0:
            continue
        night_ah = float(current_a[dark].sum() * hours)
        lines.append(
            BudgetLine(
                use=use,
                mean_ah=mean_ah,
                mean_wh=float((current_a * run.flow.bus_v).sum() * hours),
                share=mean_ah / whole_ah,
                night_ah=night_ah,
                day_ah=mean_ah - night_ah,
            )
        )
    lines.sort(key=lambda line: -line.mean_ah)
    return Budget(
        lines=tuple(lines),
        mean_ah=whole_ah,
        mean_wh=sum(line.mean_wh for line in lines),
        night_ah=sum(line.night_ah for line in lines),
        day_ah=sum(line.day_ah for line in lines),
    )


def night_mask(run: StationRun) -> np.ndarray:
    """Return whether the middle of each step lies in the dark, shape (steps,)."""
    dark = np.zeros(run.clock.steps, dtype=bool)
    for first, last in night_steps(run):
        dark[first:last] = True
    return dark


def night_steps(run: StationRun) -> tuple[tuple[int, int], ...]:
    """Return the first step of each night and the one after its last."""
    start = run.clock.start
    step_s = run.clock.step_min * 60.0
    return tuple(
        (
            max(round((begin - start).total_seconds() / step_s), 0),
            min(round((end - start).total_seconds() / step_s), run.clock.steps),
        )
        for begin, end in night_spans(run.site, run.trip)
    )
