"""Which batteries and panels hold, station by station, on one pair of scales."""

from __future__ import annotations

from dataclasses import dataclass
from math import inf, isnan, nan

import numpy as np

from app.charts.scale import Scale, reach
from app.pages.size.sold import parts_sold
from model.editing.resize import Pair, pair_kg, with_trial_pair
from model.library.sold_sizes import MARGIN_SHARE, sizes_to_take
from model.scenario.scenario import Scenario
from model.scenario.station import Station
from model.sizing.criterion import shortfall, trial
from model.sizing.frontier import Frontier, search_frontier
from model.sizing.smallest import STEP_SHARE, search_battery, search_trip_panel
from model.station.chemistry import Floats
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
    lightest : by station, the lightest pair that can be bought and gets through when it is run.
    """

    scenario: Scenario
    across: Scale
    up: Scale
    lines: tuple[Frontier | None, ...]
    reasons: tuple[str, ...]
    lightest: tuple[Pair | None, ...]

    def smallest_w(self, index: int, capacity_ah: float) -> float:
        """Return the smallest panel for a battery, inf where none holds [W]."""
        line = self.lines[index]
        assert line is not None
        return _between(self.across, line, capacity_ah)

    def take_w(self, index: int, capacity_ah: float) -> float:
        """Return the panel that can be bought for a battery, inf where none holds [W]."""
        return _take_w(self.scenario.stations[index], self.smallest_w(index, capacity_ah))

    def holds(self, index: int, pair: Pair) -> bool:
        """Return whether a pair holds."""
        return pair.rated_w >= self.smallest_w(index, pair.capacity_ah)


def search_frontiers(scenario: Scenario) -> Search[KitFrontiers]:
    """Look for the line of every station."""
    now = [Pair.of(station) for station in scenario.stations]
    panels = [pair.rated_w for pair in now if pair.rated_w > 0] or [100.0]
    across = Scale("Battery, Ah", *reach([pair.capacity_ah for pair in now], REACH_BY))
    up = Scale("Panel, W", *reach(panels, REACH_BY))
    lines: list[Frontier | None] = []
    reasons: list[str] = []
    lightest: list[Pair | None] = []
    for index in range(len(now)):
        begin, middle, end = ((index + part) / len(now) for part in (0.0, 0.9, 1.0))
        try:
            search = _search_line(scenario, index, np.array(across.places(BATTERIES)))
            line = yield from within(search, begin, middle)
        except ValueError as error:
            lines.append(None)
            lightest.append(None)
            reasons.append(str(error))
            continue
        lines.append(line)
        reasons.append("")
        bought = _search_lightest(scenario, index, across, line)
        lightest.append((yield from within(bought, middle, end)))
    return KitFrontiers(scenario, across, up, tuple(lines), tuple(reasons), tuple(lightest))


def _search_line(scenario: Scenario, index: int, places_ah: Floats) -> Search[Frontier]:
    """Find a station's line, with the answers of the first sheet standing on it.

    Those are found with steps of one minute, the rest of the line with steps of ten.
    """
    now = Pair.of(scenario.stations[index])
    battery = yield from within(search_battery(scenario, index), 0.0, 0.25)
    panel = yield from within(search_trip_panel(scenario, index), 0.25, 0.5)
    least_ah = battery.size_ah if battery.size_ah is not None else inf
    # One step below the least stands with it: the line may be steep there.
    known = [
        each for each in (now.capacity_ah, least_ah, least_ah / (1 + STEP_SHARE)) if each < inf
    ]
    capacity_ah = np.unique(np.append(places_ah, known))
    line = yield from within(search_frontier(scenario, index, capacity_ah), 0.5, 1.0)
    enough = np.nan_to_num(line.rated_w, nan=inf)
    # A battery below the least needs more than the panel carried, and one from it on no more.
    enough = np.where(
        capacity_ah < least_ah,
        np.maximum(enough, now.rated_w * (1 + STEP_SHARE)),
        np.minimum(enough, now.rated_w),
    )
    enough[capacity_ah == now.capacity_ah] = inf if panel.size_w is None else panel.size_w
    rated_w = np.where(np.isinf(enough), np.nan, enough)
    masses = [
        nan if isnan(w) else pair_kg(scenario, index, Pair(float(ah), float(w)))
        for ah, w in zip(capacity_ah, rated_w, strict=True)
    ]
    return Frontier(capacity_ah, rated_w, np.array(masses))


def _between(across: Scale, line: Frontier, capacity_ah: float) -> float:
    """Return the smallest panel for a battery between two on a line, inf where none holds [W]."""
    last = len(line.capacity_ah) - 1
    after = min(max(int(np.searchsorted(line.capacity_ah, capacity_ah)), 1), last)
    low_ah, high_ah = (across.share(float(line.capacity_ah[at])) for at in (after - 1, after))
    part = (across.share(capacity_ah) - low_ah) / (high_ah - low_ah)
    low_w, high_w = (float(line.rated_w[at]) for at in (after - 1, after))
    if part >= 1 or part <= 0:
        found_w = high_w if part >= 1 else low_w
        return inf if isnan(found_w) else found_w
    if isnan(low_w) or isnan(high_w):
        # Between one that no panel helps and one that some panel does: not known, so not enough.
        return inf
    return low_w + part * (high_w - low_w)


def _take_w(station: Station, least_w: float) -> float:
    if station.panel is None or least_w in (0.0, inf):
        return least_w
    count = station.panel.count
    return next(sizes_to_take(station.panel, least_w / count, parts_sold())).size_ah_or_w * count


def _search_lightest(
    scenario: Scenario, index: int, across: Scale, line: Frontier
) -> Search[Pair | None]:
    """Find the lightest pair that can be bought, by runs of one-minute steps."""
    station = scenario.stations[index]
    battery = station.battery
    found = []
    for sold in sizes_to_take(battery, across.low / battery.count, parts_sold()):
        capacity_ah = sold.size_ah_or_w * battery.count
        if capacity_ah > across.high:
            break
        # The panel is to do even with a battery that is smaller by the margin.
        least_w = _between(across, line, capacity_ah / (1 + MARGIN_SHARE))
        if least_w < inf:
            found.append(Pair(capacity_ah, _take_w(station, least_w)))
    asked = trial(scenario, index, balanced=False)
    for place, pair in enumerate(sorted(found, key=lambda one: pair_kg(scenario, index, one))):
        yield place / len(found)
        if shortfall(asked, with_trial_pair(asked.station, pair)) is None:
            return pair
    return None
