"""The lines of each station in the day's panes, and what they show of a run."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from PySide6.QtCore import Qt
from PySide6.QtGui import QColor

from app.charts.ink import Ink, mixed
from app.charts.panes import Line
from app.charts.thinning import Floats
from model.engine.run import StationRun
from model.results.minute import load_w, panel_able_w, panel_w

# The tint of what the panel could give, over the ground.
SUN_TINT, SUN_SHARE = QColor("#c9a227"), 0.26
# Below this a cold floor is thinner than a line. [%]
LEAST_FLOOR = 0.5
FLOOR_PATTERNS = (
    Qt.BrushStyle.BDiagPattern,
    Qt.BrushStyle.FDiagPattern,
    Qt.BrushStyle.VerPattern,
    Qt.BrushStyle.HorPattern,
)


@dataclass(frozen=True)
class Course:
    """The lines of one station."""

    floor: Line
    ghost: Line
    charge: Line
    able: Line
    sun: Line
    load: Line

    def show(self, run: StationRun | None, *, load_in_w: bool) -> None:
        """Show a run; nothing where there is none."""
        if run is None:
            for line in vars(self).values():
                line.clear()
            return
        middles = _middles(run)
        steps = np.append(middles - run.clock.step_min / 2, run.clock.steps * run.clock.step_min)
        self.charge.set(steps, run.fraction * 100.0)
        self.sun.set(middles, panel_w(run))
        self.able.set(middles, panel_able_w(run))
        floor = run.inputs.climate.cold_floor_fraction * 100.0
        if floor.max() >= LEAST_FLOOR:
            self.floor.set(middles, np.asarray(floor))
        else:
            self.floor.clear()
        self.show_load(run, in_w=load_in_w)

    def show_load(self, run: StationRun | None, *, in_w: bool) -> None:
        """Show the load of a run in amperes, or in watts."""
        if run is not None:
            self.load.set(_middles(run), load_w(run) if in_w else run.flow.load_a)


def hatch_floors(courses: Sequence[Course], ink: Ink) -> None:
    """Hatch each floor in its station's colour; floors that are alike are hatched once."""
    shown: list[np.ndarray] = []
    for index, course in enumerate(courses):
        floor = course.floor.points[1]
        if not floor.size:
            continue
        if any(np.allclose(floor, other, atol=0.2) for other in shown):
            course.floor.clear()
            continue
        shown.append(floor)
        course.floor.fill(ink.station(index), FLOOR_PATTERNS[index])
    if len(shown) == 1:
        first = next(course for course in courses if course.floor.points[0].size)
        first.floor.fill(ink.faint_text, FLOOR_PATTERNS[0])


def fill_available(courses: Sequence[Course], ink: Ink) -> None:
    """Fill what the panels could give; panels that are alike are filled once."""
    tint = mixed(ink.ground, SUN_TINT, SUN_SHARE)
    kept: list[Floats] = []
    for course in courses:
        able = course.able.points[1]
        if able.size and any(np.allclose(able, other, rtol=0.03, atol=0.5) for other in kept):
            course.able.clear()
        elif able.size:
            kept.append(able)
            course.able.fill(tint, Qt.BrushStyle.SolidPattern)


def _middles(run: StationRun) -> Floats:
    """Return the middle of each step in elapsed minutes: what is drawn there is a mean over it."""
    middles: Floats = (np.arange(run.clock.steps, dtype=np.float64) + 0.5) * run.clock.step_min
    return middles
