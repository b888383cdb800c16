"""Run every station through the same trial trips, and keep what each came to."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from model.engine.batch import FleetStep, search_batch
from model.engine.batch_notes import NEVER, Booleans, Outcomes
from model.engine.comparison import COARSE_STEP_MIN, why_withheld
from model.engine.first_end import CLOCK_NAMES, ClockName
from model.engine.fleet import Fleet
from model.odds.drawn_weather import DrawnWeather, drawn_weather
from model.odds.spread_fleet import COLD, PLAN_KEPT, drawn_fleet
from model.odds.trips import Trips
from model.sky.timeline import Floats, timeline
from model.sky.trip import planned
from model.station.carried_mass import shared_extras
from model.support.progress import Search, within

# So many steps of trips are held at once: 2,000 trips of three days at ten minutes.
STEPS_AT_ONCE = 900_000


@dataclass(frozen=True, eq=False)
class TripRuns:
    """One station's trips; arrays of shape (trips,) unless said otherwise.

    Attributes
    ----------
    ends_h : when each clock first fails, inf where it does not; by its name [h].
    reserve_kept : the charge is never below the reserve.
    lowest_fraction : least charge [1].
    off_share : share of the time with the loads off [1].
    sends : whether the plan has the station transmit at all.
    charge_fraction : at step boundaries, shape (steps + 1, trips); None where not asked for [1].
    """

    ends_h: dict[ClockName, Floats]
    reserve_kept: Booleans
    lowest_fraction: Floats
    off_share: Floats
    sends: bool
    charge_fraction: Floats | None

    @property
    def receives(self) -> Booleans:
        """Whether the station receives to the end."""
        return np.isinf(self.ends_h["receive"])

    @property
    def full_power(self) -> Booleans:
        """Whether full power is there to the end."""
        return np.isinf(self.ends_h["full_power"])

    @property
    def first_end_h(self) -> Floats:
        """When the first of the clocks ends, inf where none does [h]."""
        first: Floats = np.min([self.ends_h[name] for name in CLOCK_NAMES], axis=0)
        return first

    @property
    def holds(self) -> Booleans:
        """Whether the reserve is kept and no clock ends: what the sizes are found for."""
        return self.reserve_kept & np.isinf(self.first_end_h)


def search_trip_runs(
    drawn: Trips, *, step_min: float = COARSE_STEP_MIN, with_charge: bool = True
) -> Search[tuple[TripRuns | None, ...]]:
    """Run all stations through the trips; None for a station that cannot be run.

    Parameters
    ----------
    drawn : the trips, with the numbers of each.
    step_min : length of a step [min].
    with_charge : keep the charge of every trip at every step.

    Returns
    -------
    Gives the share done, 0..1, and at its end the runs.
    """
    scenario = drawn.scenario
    able = [at for at in range(len(scenario.stations)) if why_withheld(scenario, at) is None]
    parts: dict[int, list[_Part]] = {at: [] for at in able}
    slices = list(_slices(drawn.trips, timeline(scenario.site, scenario.day, step_min).steps))
    pieces = max(len(slices) * len(able), 1)
    for number, which in enumerate(slices):
        days = drawn.skies.days.of(which)
        weather = drawn_weather(scenario.site, planned(scenario), days, step_min)
        for at, index in enumerate(able):
            piece = number * len(able) + at
            search = _search_part(drawn, index, which, weather, with_charge=with_charge)
            part = yield from within(search, piece / pieces, (piece + 1) / pieces)
            parts[index].append(part)
    return tuple(
        _joined(parts[at]) if at in parts else None for at in range(len(scenario.stations))
    )


@dataclass(frozen=True, eq=False)
class _Part:
    outcomes: Outcomes
    steps: int
    sends: bool
    charge_fraction: Floats | None


def _search_part(
    drawn: Trips, index: int, which: slice, weather: DrawnWeather, *, with_charge: bool
) -> Search[_Part]:
    scenario = drawn.scenario
    factors = {path: one.factor[which] for path, one in drawn.numbers[index].items()}
    if drawn.plan_kept_factor is not None:
        factors[PLAN_KEPT] = drawn.plan_kept_factor[which]
    if drawn.cold_fraction is not None:
        factors[COLD] = drawn.cold_fraction[which]
    fleet = drawn_fleet(
        scenario.site, planned(scenario), scenario.plan, scenario.stations[index],
        shared_extras(scenario, index), factors, weather,
    )  # fmt: skip
    track = _Track(fleet) if with_charge else None
    outcomes = yield from search_batch(fleet, track)
    charge = None
    if track is not None:
        charge = np.vstack([*track.fractions, outcomes.end_fraction])
    return _Part(outcomes, fleet.steps, fleet.full_power is not None, charge)


class _Track:
    """Keeps the charge of every member at the start of every step."""

    def __init__(self, fleet: Fleet) -> None:
        self._full_ah = fleet.limits["full_ah"]
        self.fractions: list[Floats] = []

    def __call__(self, moment: FleetStep) -> None:
        self.fractions.append(moment.stored_ah / self._full_ah)


def _slices(trips: int, steps: int) -> Iterator[slice]:
    at_once = max(STEPS_AT_ONCE // steps, 1)
    for begin in range(0, trips, at_once):
        yield slice(begin, min(begin + at_once, trips))


def _joined(parts: list[_Part]) -> TripRuns:
    found = [part.outcomes for part in parts]
    charges = [part.charge_fraction for part in parts if part.charge_fraction is not None]
    return TripRuns(
        ends_h={
            name: np.concatenate([one.hours(getattr(one, name)) for one in found])
            for name in CLOCK_NAMES
        },
        reserve_kept=np.concatenate([one.reserve == NEVER for one in found]),
        lowest_fraction=np.concatenate([one.lowest_fraction for one in found]),
        off_share=np.concatenate([one.off_steps / parts[0].steps for one in found]),
        sends=parts[0].sends,
        charge_fraction=np.concatenate(charges, axis=1) if charges else None,
    )
