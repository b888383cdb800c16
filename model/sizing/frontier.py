"""Battery against panel: which pairs of sizes hold, what they weigh, and the line between.

All from full at ten-minute steps; ``model.sizing.smallest`` proves single answers at one minute.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import cast

import numpy as np
from numpy.typing import NDArray

from model.engine.batch import search_batch
from model.engine.batch_notes import Booleans
from model.engine.comparison import why_withheld
from model.engine.inputs import Inputs
from model.engine.scaling import scaled_fleet
from model.scenario.scenario import Scenario
from model.scenario.station import Panel
from model.sizing.criterion import Trial, holding, trial
from model.station.carried_mass import carried_total
from model.station.chemistry import Floats
from model.support.progress import Search, within

BATTERIES, PANELS, PASSES = 24, 24, 3
MEMBERS_AT_ONCE = 2000
# How far a map reaches beyond the sizes carried, as shares of them.
LEAST_BY, MOST_BY = 0.1, 10.0


@dataclass(frozen=True, eq=False)
class HoldsMap:
    """Pairs of sizes on a grid.

    Attributes
    ----------
    capacity_ah, rated_w : of all batteries and of all panels, shape (batteries,), (panels,) [Ah],
        [W].
    holds : shape (panels, batteries).
    station_kg : mass of the station with that pair, shape (panels, batteries) [kg].
    """

    capacity_ah: Floats
    rated_w: Floats
    holds: Booleans
    station_kg: Floats


@dataclass(frozen=True, eq=False)
class Frontier:
    """The smallest panel for each battery, shape (batteries,); nan where none holds.

    Attributes
    ----------
    capacity_ah, rated_w, station_kg : see HoldsMap [Ah], [W], [kg].
    """

    capacity_ah: Floats
    rated_w: Floats
    station_kg: Floats

    @property
    def lightest(self) -> int | None:
        """The entry that weighs least; None where nothing holds."""
        if np.isnan(self.station_kg).all():
            return None
        return int(np.nanargmin(self.station_kg))


@dataclass(frozen=True, eq=False)
class _Pairs:
    """A station on trial with the sizes it has now."""

    asked: Trial
    inputs: Inputs
    capacity_ah: float
    rated_w: float

    def search_holds(self, capacity_ah: Floats, rated_w: Floats) -> Search[Booleans]:
        fleet = scaled_fleet(
            self.inputs,
            battery_by=capacity_ah / self.capacity_ah,
            panel_by=rated_w / self.rated_w,
        )
        outcomes = yield from search_batch(fleet)
        return holding(outcomes)

    def mass_kg(self, capacity_ah: Floats, rated_w: Floats) -> Floats:
        """Return the station's mass; battery and panel weigh in proportion to their size."""
        station = self.asked.station
        battery, panel = station.battery, cast(Panel, station.panel)
        battery_kg, panel_kg = battery.mass_kg * battery.count, panel.mass_kg * panel.count
        rest_kg = carried_total(station, self.asked.shared).mass_kg - battery_kg - panel_kg
        scaled_kg = battery_kg * capacity_ah / self.capacity_ah
        return rest_kg + scaled_kg + panel_kg * rated_w / self.rated_w


def _pairs(scenario: Scenario, index: int) -> _Pairs:
    withheld = why_withheld(scenario, index)
    if withheld is not None:
        raise ValueError(withheld)
    asked = trial(scenario, index, balanced=False)
    battery, panel = asked.station.battery, asked.station.panel
    if panel is None:
        raise ValueError("this station has no panel to resize")
    return _Pairs(
        asked,
        asked.inputs(asked.station),
        battery.capacity_ah * battery.count,
        panel.rated_w * panel.count,
    )


def search_map(
    scenario: Scenario,
    index: int,
    capacity_ah: Floats | None = None,
    rated_w: Floats | None = None,
) -> Search[HoldsMap]:
    """Try every pair of a battery and a panel.

    Parameters
    ----------
    scenario : the question.
    index : place of the station in it.
    capacity_ah, rated_w : sizes to try, shape (batteries,), (panels,) [Ah], [W]; left out, a tenth
        to ten times those carried.

    Returns
    -------
    Gives the share done, 0..1, and at its end which pairs hold.

    Raises
    ------
    ValueError
        When the station cannot be run or has no panel; says why.
    """
    pairs = _pairs(scenario, index)
    reach = np.geomspace(LEAST_BY, MOST_BY, 40)
    across = pairs.capacity_ah * reach if capacity_ah is None else capacity_ah
    up = pairs.rated_w * reach if rated_w is None else rated_w
    ah, watts = (grid.ravel() for grid in np.meshgrid(across, up))
    flags = np.zeros(ah.size, dtype=bool)
    for begin in range(0, ah.size, MEMBERS_AT_ONCE):
        part = slice(begin, begin + MEMBERS_AT_ONCE)
        tried = pairs.search_holds(ah[part], watts[part])
        flags[part] = yield from within(tried, begin / ah.size, min(part.stop / ah.size, 1.0))
    shape = (up.size, across.size)
    return HoldsMap(across, up, flags.reshape(shape), pairs.mass_kg(ah, watts).reshape(shape))


def search_frontier(
    scenario: Scenario, index: int, capacity_ah: Floats | None = None
) -> Search[Frontier]:
    """Find the smallest panel for each battery; 0 W where the battery needs none.

    Parameters
    ----------
    scenario : the question.
    index : place of the station in it.
    capacity_ah : sizes of battery, shape (batteries,) [Ah]; left out, a tenth to ten times the one
        carried.

    Returns
    -------
    Gives the share done, 0..1, and at its end the panel for each battery.

    Raises
    ------
    ValueError
        When the station cannot be run or has no panel; says why.
    """
    pairs = _pairs(scenario, index)
    if capacity_ah is None:
        capacity_ah = pairs.capacity_ah * np.geomspace(LEAST_BY, MOST_BY, BATTERIES)
    reach = pairs.rated_w * np.geomspace(LEAST_BY / 5, MOST_BY * 5, PANELS - 1)
    tried = np.tile(np.append(0.0, reach)[:, None], capacity_ah.size)
    for turn in range(PASSES):
        trying = pairs.search_holds(np.tile(capacity_ah, PANELS), tried.ravel())
        found = yield from within(trying, turn / PASSES, (turn + 1) / PASSES)
        flags = found.reshape(tried.shape)
        low, high = _bracket(tried, flags)
        if turn < PASSES - 1:
            tried = np.linspace(low, high, PANELS)
    smallest_w = np.where(flags.any(axis=0), high, np.nan)
    return Frontier(capacity_ah, smallest_w, pairs.mass_kg(capacity_ah, smallest_w))


def _bracket(tried: Floats, flags: NDArray[np.bool_]) -> tuple[Floats, Floats]:
    """Return for each battery the largest size that fails below the smallest that holds."""
    first = np.argmax(flags, axis=0)
    columns = np.arange(tried.shape[1])
    high = tried[first, columns]
    low = tried[np.maximum(first - 1, 0), columns]
    nothing = ~flags.any(axis=0)
    # Where none holds the whole range stays, so that the next pass finds the same.
    return np.where(nothing, tried[0], low), np.where(nothing, tried[-1], high)
