"""Which batteries and panels hold, station by station, on one pair of scales."""

from __future__ import annotations

from dataclasses import dataclass
from math import inf, isnan

import numpy as np

from app.charts.scale import Scale, reach
from model.editing.resize import Pair
from model.scenario.scenario import Scenario
from model.sizing.frontier import Frontier, search_frontier
from model.support.progress import Search, within

BATTERIES = 36
REACH_BY = 6.0


@dataclass(frozen=True, eq=False)
class KitFrontiers:
    """The line of every station between what holds and what fails, or why it has none.

    Attributes
    ----------
    across, up : scales of battery and panel.
    lines : by station; None where there is no line.
    reasons : by station; empty where there is a line.
    """

    scenario: Scenario
    across: Scale
    up: Scale
    lines: tuple[Frontier | None, ...]
    reasons: tuple[str, ...]

    def smallest_w(self, index: int, capacity_ah: float) -> float:
        """Return the smallest panel for a battery, inf where none holds [W]."""
        line = self.lines[index]
        assert line is not None
        at = self.across.share(capacity_ah) * (len(line.capacity_ah) - 1)
        before = min(int(at), len(line.capacity_ah) - 2)
        part = at - before
        low_w, high_w = (float(line.rated_w[step]) for step in (before, before + 1))
        if isnan(low_w) or isnan(high_w):
            found_w = low_w if part < 0.5 else high_w
            return inf if isnan(found_w) else found_w
        return low_w + part * (high_w - low_w)

    def holds(self, index: int, pair: Pair) -> bool:
        """Return whether a pair holds."""
        return pair.rated_w >= self.smallest_w(index, pair.capacity_ah)

    def lightest(self, index: int) -> Pair | None:
        """Return the lightest pair on a station's line, None where nothing holds."""
        line = self.lines[index]
        if line is None or line.lightest is None:
            return None
        at = line.lightest
        return Pair(float(line.capacity_ah[at]), float(line.rated_w[at]))


def search_frontiers(scenario: Scenario) -> Search[KitFrontiers]:
    """Look for the line of every station."""
    now = [Pair.of(station) for station in scenario.stations]
    panels = [pair.rated_w for pair in now if pair.rated_w > 0] or [100.0]
    across = Scale("Battery, Ah", *reach([pair.capacity_ah for pair in now], REACH_BY))
    up = Scale("Panel, W", *reach(panels, REACH_BY))
    lines: list[Frontier | None] = []
    reasons = []
    for index in range(len(now)):
        try:
            search = search_frontier(scenario, index, np.array(across.places(BATTERIES)))
            begin, end = (each / len(now) for each in (index, index + 1))
            lines.append((yield from within(search, begin, end)))
            reasons.append("")
        except ValueError as error:
            lines.append(None)
            reasons.append(str(error))
    return KitFrontiers(scenario, across, up, tuple(lines), tuple(reasons))
