"""How much charge to keep, so that the leanest way still lasts the longest night."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from model.advice.minimum_watch import leanest
from model.engine.inputs import Inputs, station_inputs
from model.engine.run import StationRun
from model.results.budget import night_steps
from model.scenario.scenario import Scenario
from model.sky.trip import planned

# What the leanest way must still last where the sun never sets or no night lies in the run.
SHORTEST_NIGHT_H = 12.0


@dataclass(frozen=True)
class KeptCharge:
    """Charge to be kept.

    Attributes
    ----------
    lean_night_ah : what the station takes in the longest night in the leanest way [Ah].
    keep_ah : that above the reserve, or above what cold locks up where that is more [Ah].
    """

    lean_night_ah: float
    keep_ah: float


def charge_to_keep(scenario: Scenario, index: int, run: StationRun) -> KeptCharge:
    """Return what a station keeps for its longest night; ``index`` counts from 0."""
    lean = _one_day(leanest(scenario, index), index)
    nights_h = [(last - first) * run.clock.step_h for first, last in night_steps(run)]
    # What is asked for, not what a battery that is off the air still gives.
    lean_ah = float(np.mean(lean.course.load_a)) * max([SHORTEST_NIGHT_H, *nights_h])
    locked = float(run.inputs.climate.cold_floor_fraction.max())
    bottom = max(run.station.reserve_fraction, locked)
    return KeptCharge(lean_ah, lean_ah + bottom * run.station.battery.full_ah)


def _one_day(scenario: Scenario, index: int) -> Inputs:
    """Return what the first 24 hours ask for: the leanest way is the same on every day."""
    trip = planned(scenario).for_days(1).with_first_weather()
    return station_inputs(scenario.site, trip, scenario.plan, scenario.stations[index])
