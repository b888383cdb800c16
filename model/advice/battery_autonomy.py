"""The battery on its own: what it holds for use, and how long that lasts."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from model.advice.load_shedding import hours_alone
from model.advice.minimum_watch import unbroken_watch
from model.engine.run import StationRun
from model.scenario.scenario import Scenario
from model.station.chemistry import TABLE_STEPS, rest_v


@dataclass(frozen=True)
class Alone:
    """A full battery without sun or charger; hours are None beyond 30 days.

    Attributes
    ----------
    usable_ah : tested charge above the reserve, or above what the deepest cold locks up.
    usable_wh : the same at resting volts.
    locked_fraction : largest share that cold locks up in the run [1].
    planned_h : hours of receive with the plan.
    watch_h : hours of unbroken listening, nothing sent.
    """

    usable_ah: float
    usable_wh: float
    locked_fraction: float
    planned_h: float | None
    watch_h: float | None


def battery_alone(scenario: Scenario, index: int, run: StationRun) -> Alone:
    """Return what a full battery is good for, without sun or charger, in the run's cold."""
    battery = run.station.battery
    locked = float(run.inputs.climate.cold_floor_fraction.max())
    bottom = max(run.station.reserve_fraction, locked)
    charge = np.linspace(bottom, 1.0, TABLE_STEPS + 1)
    volts = rest_v(battery.chemistry, battery.cells_in_series, charge)
    usable_ah = (1.0 - bottom) * battery.full_ah
    return Alone(
        usable_ah=usable_ah,
        usable_wh=usable_ah * float((volts[1:] + volts[:-1]).mean() / 2),
        locked_fraction=locked,
        planned_h=run.hours_on_battery,
        watch_h=hours_alone(unbroken_watch(scenario), index),
    )
