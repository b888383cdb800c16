"""The smallest battery and the smallest panel with which a station holds.

Found with fleets at ten-minute steps, refined and proved by runs of one-minute steps.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from math import ceil, floor, log, log1p
from typing import cast

import numpy as np

from model.editing.field_facts import field_at
from model.editing.resize import scaled_station
from model.engine.batch import search_batch
from model.engine.batch_notes import Flags
from model.engine.comparison import why_withheld
from model.engine.fleet import Fleet
from model.engine.scaling import scaled_fleet
from model.scenario.scenario import Scenario
from model.scenario.station import Battery, Panel, Station
from model.sizing.criterion import Shortfall, Trial, holding, nearest, shortfall, trial
from model.sizing.why_no_panel import search_why_no_panel
from model.station.carried_mass import carried_total
from model.station.chemistry import Floats, label_wh
from model.support.progress import Search, finish, within

# One step of the proof: the answer holds, and a share this much smaller does not.
STEP_SHARE = 5e-4
SMALLEST_AH, SMALLEST_W = 0.05, 0.5
FIRST_GRID, SECOND_GRID = 96, 48


@dataclass(frozen=True)
class Size:
    """The smallest size that holds, with its proof.

    Attributes
    ----------
    size_ah, size_w : rated, of all batteries or panels together; the other is None, and both
        where no size holds.
    part_kg, station_kg : mass of that battery or panel, and of the station with it.
    energy_wh : on the battery's label; None for a panel.
    smaller_fails : why one step smaller fails, in a run of one-minute steps.
    reason : why no size holds; empty where one does.
    """

    size_ah: float | None = None
    size_w: float | None = None
    part_kg: float | None = None
    station_kg: float | None = None
    energy_wh: float | None = None
    smaller_fails: Shortfall | None = None
    reason: str = ""


def saved_kg(one: Size, other: Size) -> float | None:
    """Return how much lighter the first station is at its size; None where either has none [kg]."""
    if one.station_kg is None or other.station_kg is None:
        return None
    return other.station_kg - one.station_kg


def smallest_battery(scenario: Scenario, index: int) -> Size:
    """Return the smallest battery of the station's make with which it holds."""
    return finish(search_battery(scenario, index))


def smallest_panel(scenario: Scenario, index: int) -> Size:
    """Return the smallest panel of the station's make with which it holds."""
    return finish(search_panel(scenario, index))


def search_battery(scenario: Scenario, index: int) -> Search[Size]:
    """Search the smallest battery; the station's own panel stays."""
    withheld = why_withheld(scenario, index)
    if withheld is not None:
        return Size(reason=withheld)
    asked = trial(scenario, index, balanced=False)
    battery, shared = asked.station.battery, asked.shared
    present_ah = battery.capacity_ah * battery.count
    most_ah = _upper_bound("stations.0.battery.capacity_ah") * battery.count

    def station(by: float) -> Station:
        return scaled_station(asked.station, battery_by=by)

    def fleet(by: Floats) -> Fleet:
        return scaled_fleet(asked.inputs(asked.station), battery_by=by)

    found = yield from _smallest(
        asked, station, fleet, SMALLEST_AH / present_ah, most_ah / present_ah
    )
    by, failure = found
    if by is None:
        assert failure is not None
        return Size(reason=f"no battery is enough: with the best, {failure.words}")
    chosen = station(by)
    return Size(
        size_ah=present_ah * by,
        part_kg=chosen.battery.mass_kg * battery.count,
        station_kg=carried_total(chosen, shared).mass_kg,
        energy_wh=label_wh(chosen.battery),
        smaller_fails=failure,
    )


def search_panel(scenario: Scenario, index: int) -> Search[Size]:
    """Search the smallest panel; the station's own battery stays."""
    withheld = why_withheld(scenario, index)
    if withheld is not None:
        return Size(reason=withheld)
    asked = trial(scenario, index, balanced=True)
    panel = asked.station.panel
    if panel is None:
        return Size(reason="this station has no panel to resize")
    present_w = panel.rated_w * panel.count
    most_by = _upper_bound("stations.0.panel.rated_w") * panel.count / present_w

    def station(by: float) -> Station:
        return scaled_station(asked.station, panel_by=by)

    def fleet(by: Floats) -> Fleet:
        return scaled_fleet(asked.inputs(asked.station), panel_by=by)

    found = yield from _smallest(asked, station, fleet, SMALLEST_W / present_w, most_by)
    by, failure = found
    if by is None:
        assert failure is not None
        why = search_why_no_panel(asked, failure, SMALLEST_W / present_w, most_by)
        return Size(reason=(yield from within(why, 0.6, 1.0)))
    chosen = station(by)
    return Size(
        size_w=present_w * by,
        part_kg=cast(Panel, chosen.panel).mass_kg * panel.count,
        station_kg=carried_total(chosen, asked.shared).mass_kg,
        smaller_fails=failure,
    )


def _upper_bound(path: str) -> float:
    return float(cast(float, field_at(path).high))


def _smallest(
    asked: Trial,
    station: Callable[[float], Station],
    fleet: Callable[[Floats], Fleet],
    low: float,
    high: float,
) -> Search[tuple[float | None, Shortfall | None]]:
    """Narrow in with two grids of coarse steps, then prove with runs of fine steps.

    Returns the smallest size over the station's own, with why the next smaller fails (None where
    even the smallest holds); or None, with why the size fails that comes nearest.
    """
    near, far = low, high
    for grid_size, share in ((FIRST_GRID, 0.2), (SECOND_GRID, 0.4)):
        grid = np.geomspace(near, far, grid_size)
        outcomes = yield from within(search_batch(fleet(grid)), share - 0.2, share)
        flags: Flags = holding(asked, outcomes)
        if not flags.any():
            near, far = low, high
            start = float(grid[nearest(outcomes)])
            break
        first = int(np.argmax(flags))
        near, far = float(grid[max(first - 1, 0)]), float(grid[first])
        start = far
    ladder = _Ladder(asked, station, start, low, high)
    while not ladder.settled:
        ladder.try_next()
        yield ladder.progress
    if ladder.holds_at is None:
        return None, shortfall(asked, asked.run(station(start)))
    return ladder.size(ladder.holds_at), ladder.failure


class _Ladder:
    """Sizes one small step apart, tried by runs of fine steps until two neighbours are known."""

    def __init__(
        self,
        asked: Trial,
        station: Callable[[float], Station],
        start: float,
        low: float,
        high: float,
    ) -> None:
        self._asked, self._station, self._start = asked, station, start
        self._bottom = ceil(log(low / start) / log1p(STEP_SHARE))
        self._top = floor(log(high / start) / log1p(STEP_SHARE))
        self.holds_at: int | None = None
        self.failure: Shortfall | None = None
        self._fails_at: int | None = None
        self._stride, self._tries = 1, 0

    def size(self, rung: int) -> float:
        return self._start * (1 + STEP_SHARE) ** rung

    @property
    def progress(self) -> float:
        return min(0.4 + 0.04 * self._tries, 0.99)

    @property
    def settled(self) -> bool:
        if self.holds_at is None:
            return self._fails_at == self._top
        return self.holds_at == self._bottom or self.holds_at - 1 == self._fails_at

    def try_next(self) -> None:
        rung = self._next_rung()
        failure = shortfall(self._asked, self._asked.run(self._station(self.size(rung))))
        self._tries += 1
        if failure is None:
            self.holds_at = rung
        else:
            self._fails_at, self.failure = rung, failure

    def _next_rung(self) -> int:
        if self.holds_at is None and self._fails_at is None:
            return min(max(0, self._bottom), self._top)
        if self.holds_at is not None and self._fails_at is not None:
            return (self.holds_at + self._fails_at) // 2
        stride, self._stride = self._stride, self._stride * 4
        if self.holds_at is None:
            assert self._fails_at is not None
            return min(self._fails_at + stride, self._top)
        return max(self.holds_at - stride, self._bottom)


def smallest_given(
    scenario: Scenario, index: int, parts: Iterable[Battery | Panel]
) -> Battery | Panel | None:
    """Return the smallest of given batteries or panels with which a station holds.

    Tried from the smallest up, each by a run of one-minute steps. None where none holds.
    """
    for part in sorted(parts, key=_rated):
        slot = "battery" if isinstance(part, Battery) else "panel"
        asked = trial(scenario, index, balanced=slot == "panel")
        if shortfall(asked, asked.run(asked.station.model_copy(update={slot: part}))) is None:
            return part
    return None


def _rated(part: Battery | Panel) -> float:
    rated = part.capacity_ah if isinstance(part, Battery) else part.rated_w
    return rated * part.count


@dataclass(frozen=True)
class StationSizes:
    """Both sizes of one station."""

    name: str
    battery: Size
    panel: Size

    def members(self) -> dict[str, float | None]:
        """Return what ``counterpoise size`` writes for a station."""
        return {
            "smallest_battery_ah": self.battery.size_ah,
            "smallest_panel_w": self.panel.size_w,
        }


def size(scenario: Scenario) -> tuple[StationSizes, ...]:
    """Return the smallest battery and the smallest panel of every station."""
    return finish(search_sizes(scenario))


def search_sizes(scenario: Scenario) -> Search[tuple[StationSizes, ...]]:
    """Search both sizes of every station."""
    found = []
    count = len(scenario.stations)
    for index, station in enumerate(scenario.stations):
        begin, middle, end = (index + part / 2 for part in range(3))
        battery = yield from within(search_battery(scenario, index), begin / count, middle / count)
        panel = yield from within(search_panel(scenario, index), middle / count, end / count)
        found.append(StationSizes(station.name, battery, panel))
    return tuple(found)
