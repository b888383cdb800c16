"""The lines of each station in the day's panes, and what they show of a run."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np
from PySide6.QtCore import Qt
from PySide6.QtGui import QColor

from app.charts.ink import Ink, mixed
from app.charts.line import NOTHING, Line
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


@dataclass
class Course:
    """The lines of one station, and the run they show.

    Attributes
    ----------
    floor_percent, able_w : of the run, drawn where no other station's is alike; shape (steps,).
    """

    floor: Line
    ghost: Line
    charge: Line
    able: Line
    sun: Line
    load: Line
    run: StationRun | None = None
    floor_percent: Floats = field(default_factory=lambda: NOTHING)
    able_w: Floats = field(default_factory=lambda: NOTHING)

    def show(self, run: StationRun | None, *, load_in_w: bool) -> None:
        """Show a run, nothing where there is none; what is shown already stays as it is."""
        if run is self.run:
            return
        self.run = run
        if run is None:
            self.floor_percent = self.able_w = NOTHING
            for line in (self.ghost, self.charge, self.sun, self.load):
                line.clear()
            return
        middles = _middles(run)
        steps = np.append(middles - run.clock.step_min / 2, run.clock.steps * run.clock.step_min)
        self.charge.set(steps, run.fraction * 100.0)
        self.sun.set(middles, panel_w(run))
        self.able_w = panel_able_w(run)
        floor = run.inputs.climate.cold_floor_fraction * 100.0
        self.floor_percent = floor if floor.max() >= LEAST_FLOOR else NOTHING
        self.show_load(in_w=load_in_w)

    def show_load(self, *, in_w: bool) -> None:
        """Show the load of the run in amperes, or in watts."""
        run = self.run
        if run is not None:
            self.load.set(_middles(run), load_w(run) if in_w else run.flow.load_a)


def hatch_floors(courses: Sequence[Course], ink: Ink) -> None:
    """Hatch each floor in its station's colour; floors that are alike are hatched once."""
    shown = _unlike([course.floor_percent for course in courses], 0.0, 0.2)
    for index, course in enumerate(courses):
        if course.run is None or index not in shown:
            course.floor.clear()
            continue
        course.floor.set(_middles(course.run), course.floor_percent)
        colour = ink.faint_text if len(shown) == 1 else ink.station(index)
        course.floor.fill(colour, FLOOR_PATTERNS[0 if len(shown) == 1 else index])


def fill_available(courses: Sequence[Course], ink: Ink) -> None:
    """Fill what the panels could give; panels that are alike are filled once."""
    tint = mixed(ink.ground, SUN_TINT, SUN_SHARE)
    shown = _unlike([course.able_w for course in courses], 0.03, 0.5)
    for index, course in enumerate(courses):
        if course.run is None or index not in shown:
            course.able.clear()
            continue
        course.able.set(_middles(course.run), course.able_w)
        course.able.fill(tint, Qt.BrushStyle.SolidPattern)


def _unlike(rows: Sequence[Floats], share: float, least: float) -> list[int]:
    """Return which rows are drawn: those further from all before them than a share of these."""
    kept: list[int] = []
    for index, row in enumerate(rows):
        if row.size and not any(
            bool((np.abs(row - rows[other]) <= least + share * np.abs(rows[other])).all())
            for other in kept
        ):
            kept.append(index)
    return kept


def _middles(run: StationRun) -> Floats:
    """Return the middle of each step in elapsed minutes: what is drawn there is a mean over it."""
    middles: Floats = (np.arange(run.clock.steps, dtype=np.float64) + 0.5) * run.clock.step_min
    return middles
