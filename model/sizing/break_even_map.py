"""Which of two stations needs less to carry, over two inputs, and the line where they are even.

Each station is given the smallest battery with which it holds, from full, at ten-minute steps.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from model.editing.faults import ScenarioError
from model.engine.comparison import COARSE_STEP_MIN, why_withheld
from model.engine.fleet import fleet_of, kind_of
from model.engine.inputs import Inputs, station_inputs
from model.scenario.scenario import Scenario
from model.sizing.axes import Axis
from model.sizing.needed_mass import search_needed_battery_by
from model.sky.trip import planned
from model.station.carried_mass import carried_total, shared_extras
from model.station.chemistry import Floats
from model.support.progress import Search, within

Point = tuple[float, float]
# So many kits are assembled between two reports; that takes this share of the whole time.
KITS_AT_ONCE = 5
GATHERING_SHARE = 0.4


@dataclass(frozen=True, eq=False)
class BreakEven:
    """Masses over two inputs.

    Attributes
    ----------
    across, up : the inputs.
    needed_kg : mass of each station with the smallest battery that holds, inf where none holds, nan
        where it cannot be run; shape (stations, up, across) [kg].
    """

    across: Axis
    up: Axis
    needed_kg: NDArray[np.float64]

    def less_kg(self, first: int = 0, second: int = 1) -> Floats:
        """Return by how much the first needs less than the second, shape (up, across). [kg]

        inf where only the first holds, -inf where only the second, nan where neither.
        """
        with np.errstate(invalid="ignore"):
            return np.asarray(self.needed_kg[second] - self.needed_kg[first])

    def line(self, first: int = 0, second: int = 1) -> tuple[Point, ...]:
        """Return where both need the same, as points between neighbours of the grid.

        Straight lines between neighbours; halfway where one of them holds alone.
        """
        less = self.less_kg(first, second)
        x, y = np.array(self.across.values), np.array(self.up.values)
        points = [
            (_even_at(x[at], x[at + 1], less[row, at], less[row, at + 1]), float(y[row]))
            for row, at in _turns(less)
        ]
        points += [
            (float(x[at]), _even_at(y[row], y[row + 1], less[row, at], less[row + 1, at]))
            for at, row in _turns(less.T)
        ]
        points += [(float(x[at]), float(y[row])) for row, at in np.argwhere(less == 0)]
        return tuple(sorted(points))


def _turns(less: Floats) -> list[tuple[int, int]]:
    """Return row and column of every entry whose right neighbour has the other sign."""
    with np.errstate(invalid="ignore"):
        turned = np.sign(less[:, :-1]) * np.sign(less[:, 1:]) < 0
    return [(int(row), int(column)) for row, column in np.argwhere(turned)]


def _even_at(begin: float, end: float, at_begin: float, at_end: float) -> float:
    if not (np.isfinite(at_begin) and np.isfinite(at_end)):
        return float(begin + end) / 2
    return float(begin + (end - begin) * at_begin / (at_begin - at_end))


def search_break_even(scenario: Scenario, across: Axis, up: Axis) -> Search[BreakEven]:
    """Find what every station needs over two inputs."""
    grid = []
    for row in range(len(up.values)):
        yield 0.0
        columns = range(len(across.values))
        grid += [_changed(scenario, across, up, column, row) for column in columns]
    shape, count = (len(up.values), len(across.values)), len(scenario.stations)
    needed = np.full((count, len(grid)), np.nan)
    for index in range(count):
        search = _search_station(grid, index)
        needed[index] = yield from within(search, index / count, (index + 1) / count)
    return BreakEven(across, up, needed.reshape(count, *shape))


def _changed(scenario: Scenario, across: Axis, up: Axis, column: int, row: int) -> Scenario | None:
    try:
        return up.changed(across.changed(scenario, column), row)
    except ScenarioError:
        return None


def _search_station(grid: list[Scenario | None], index: int) -> Search[Floats]:
    """Find what one station needs at each place of the grid, nan where it cannot be run. [kg]"""
    needed = np.full(len(grid), np.nan)
    groups = yield from within(_search_groups(grid, index), 0.0, GATHERING_SHARE)
    done = 0.0
    for group in groups:
        share = len(group) / len(grid) * (1 - GATHERING_SHARE)
        begin, end = GATHERING_SHARE + done, GATHERING_SHARE + done + share
        places, kg = yield from within(_search_needed_kg(grid, index, group), begin, end)
        needed[places] = kg
        done += share
    return needed


def _search_groups(
    grid: list[Scenario | None], index: int
) -> Search[list[list[tuple[int, Inputs]]]]:
    """Find the grid's kits that can be run, with their places, gathered by kind."""
    groups: dict[tuple[object, ...], list[tuple[int, Inputs]]] = {}
    for place, scenario in enumerate(grid):
        if place % KITS_AT_ONCE == 0:
            yield place / len(grid)
        if scenario is None or why_withheld(scenario, index) is not None:
            continue
        station = scenario.stations[index].model_copy(update={"start_fraction": 1.0})
        inputs = station_inputs(
            scenario.site, planned(scenario), scenario.plan, station,
            shared_extras(scenario, index), COARSE_STEP_MIN,
        )  # fmt: skip
        groups.setdefault(kind_of(inputs), []).append((place, inputs))
    return list(groups.values())


def _search_needed_kg(
    grid: list[Scenario | None], index: int, group: list[tuple[int, Inputs]]
) -> Search[tuple[list[int], Floats]]:
    places = [place for place, _ in group]
    yield 0.0
    fleet = fleet_of([inputs for _, inputs in group])
    yield 0.0
    by = yield from search_needed_battery_by(fleet)
    battery_kg, rest_kg = [], []
    for place, inputs in group:
        scenario, battery = grid[place], inputs.station.battery
        assert scenario is not None
        battery_kg.append(battery.mass_kg * battery.count)
        whole_kg = carried_total(inputs.station, shared_extras(scenario, index)).mass_kg
        rest_kg.append(whole_kg - battery_kg[-1])
    needed = np.array(rest_kg) + np.array(battery_kg) * by
    return places, np.where(np.isnan(by), np.inf, needed)
