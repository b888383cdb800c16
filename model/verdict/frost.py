"""Whether a station ended because its cells were too cold to charge, shown by a rerun."""

from __future__ import annotations

from math import inf

import numpy as np

from model.engine.outcome import Clock
from model.engine.restart import restarted
from model.engine.run import StationRun, run_station

# Colder than any cell gets in the open.
NEVER_REFUSED_C = -90.0
# What frost takes less than this from was not ended by it [h].
NOTABLE_H = 1.0


def refused_sun_h(run: StationRun, step: int) -> float:
    """Return for how long before a step light fell on a panel whose charge was refused [h]."""
    if run.station.panel is None:
        return 0.0
    lit = (run.inputs.irradiance_w_m2 > 0) & ~run.inputs.climate.may_charge
    return float(np.count_nonzero(lit[run.judged_from : step])) * run.clock.step_h


def is_ended_by_frost(run: StationRun, name: str, clock: Clock) -> bool:
    """Return whether a clock would end an hour later at least, were charging never refused.

    Parameters
    ----------
    name : which of the three clocks.
    """
    if clock.hours is None or clock.cause in ("over-volts", "board"):
        return False
    if not refused_sun_h(run, round(clock.hours / run.clock.step_h)):
        return False
    battery = run.station.battery.model_copy(update={"charge_min_c": NEVER_REFUSED_C})
    station = run.station.model_copy(update={"battery": battery})
    warm = run_station(
        run.site, run.trip, run.plan, station, run.shared, step_min=run.clock.step_min
    )
    if run.judged_from:
        stored_ah = float(run.flow.stored_ah[run.judged_from])
        warm = restarted(warm, run.judged_from, stored_ah)
    hours = getattr(warm.clocks, name).hours
    return (inf if hours is None else hours) >= clock.hours + NOTABLE_H
