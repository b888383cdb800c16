"""Temperature of the battery's cells through the run, and what it permits."""

from __future__ import annotations

from dataclasses import dataclass
from math import atan, cos, exp, hypot, pi

import numpy as np

from model.scenario.chemistries import CHEMISTRIES
from model.scenario.scenario import Site
from model.scenario.station import Battery
from model.sky.timeline import Timeline, timeline
from model.sky.trip import Trip
from model.sky.weather import air_c
from model.station.chemistry import Floats, charge_rate_per_h, interpolate
from model.support.cache import kept_within

# Time in which a small pack follows the air: common practice, no source.
LAG_H = {"open": 2.0, "insulated": 8.0, "warm": 8.0}
WARMEST_HOUR = 15.0
NO_EXCESS = ((0.0, 0.0),)
# From here down the cold spreads cells as far as it does: published values are of this.
HARD_COLD_C = -10.0


@dataclass(frozen=True, eq=False)
class CellClimate:
    """What the temperature of the cells makes of a battery, each of shape (steps,).

    Attributes
    ----------
    cell_c : temperature of the cells [°C].
    cold_floor_fraction : share of the charge that cannot be drawn until the battery warms [1].
    rate_excess : what the cold adds to the exponent by which more current gives less [1].
    resistance_factor : resistance over that at 25 °C [1].
    charge_rate_per_h : most charging current over the capacity: 0 where charging is refused, inf
        where the cells are warm enough for any [1/h].
    """

    cell_c: Floats
    cold_floor_fraction: Floats
    rate_excess: Floats
    resistance_factor: Floats
    charge_rate_per_h: Floats

    @property
    def may_charge(self) -> np.ndarray:
        """Whether charging is permitted, shape (steps,)."""
        return self.charge_rate_per_h > 0.0


@kept_within(4_000_000)
def _lagged_air_c(site: Site, trip: Trip, lag_h: float, step_min: float) -> Floats:
    weather = trip.weather
    air, clock = air_c(site, trip, step_min), timeline(site, trip, step_min)
    return lagged_c(clock, air, weather.low_c[0], weather.high_c[0], lag_h)


def lagged_c(
    clock: Timeline, air: Floats, low_c: Floats | float, high_c: Floats | float, lag_h: float
) -> Floats:
    """Follow the air by a first-order lag, as if the day before had been like the first date.

    Parameters
    ----------
    clock : of the run.
    air : at the middle of each step, shape (steps,) or (steps, trips) [degC].
    low_c, high_c : of the first date, one number or shape (trips,) [degC].
    lag_h : time constant [h].

    Returns
    -------
    Temperature of the cells at the start of each step, of the shape of the air [degC].

    Notes
    -----
    The answer of a first-order lag to a cosine of period 24 h is that cosine, smaller by ``sqrt(1 +
    (w lag)^2)`` and later by ``atan(w lag) / w``: it gives the start; from there each step
    approaches the air by ``1 - exp(-step / lag)``. Common practice, no source.
    """
    half_range = (high_c - low_c) / 2
    pace = 2 * pi / 24
    # Steady response of a first-order lag to the daily cosine.
    shrink, delay = 1 / hypot(1, pace * lag_h), atan(pace * lag_h)
    hour = clock.start.hour + clock.start.minute / 60
    mean = (high_c + low_c) / 2
    cell = mean + half_range * shrink * cos(pace * (hour - WARMEST_HOUR) - delay)
    approach = 1 - exp(-clock.step_h / lag_h)
    followed = []
    # Plain numbers are several times quicker than arrays of one.
    for outside in air.tolist() if air.ndim == 1 else air:
        followed.append(cell)
        cell = cell + approach * (outside - cell)
    return np.array(followed)


def cell_climate(site: Site, trip: Trip, battery: Battery, step_min: float = 1.0) -> CellClimate:
    """Return the climate of a battery's cells through the run.

    Parameters
    ----------
    site : the place.
    trip : its weather gives the air.
    battery : its chemistry, and how it is kept.
    step_min : length of a step [min].

    Returns
    -------
    Temperature of the cells and what follows from it, shape (steps,) each [degC], [1], [1/h].
    """
    return _climate(
        site,
        trip.with_air_alone(),
        battery.chemistry,
        battery.kept,
        battery.warm_c if battery.kept == "warm" else None,
        battery.lowest_charge_c,
        step_min,
    )


@kept_within(4_000_000)
def _climate(
    site: Site,
    trip: Trip,
    chemistry: str,
    kept: str,
    at_least_c: float | None,
    lowest_charge_c: float,
    step_min: float,
) -> CellClimate:
    cell_c = _lagged_air_c(site, trip, LAG_H[kept], step_min)
    climate = climate_of(chemistry, cell_c, at_least_c, lowest_charge_c)
    for array in vars(climate).values():
        array.setflags(write=False)
    return climate


def climate_of(
    chemistry: str, cell_c: Floats, at_least_c: float | None, lowest_charge_c: float
) -> CellClimate:
    """Return what temperatures of cells make of a battery, of the shape of ``cell_c``.

    Parameters
    ----------
    chemistry : key of `CHEMISTRIES`, whose curves are read.
    cell_c : temperature of the cells, any shape [degC].
    at_least_c : what a battery that is kept warm never falls below, None for others [degC].
    lowest_charge_c : charging is refused below it [degC].

    Returns
    -------
    All of the shape of ``cell_c`` [degC], [1], [1/h].
    """
    if at_least_c is not None:
        cell_c = np.maximum(cell_c, at_least_c)
    curves = CHEMISTRIES[chemistry]
    return CellClimate(
        cell_c,
        1 - interpolate(curves.usable, cell_c),
        interpolate(curves.cold_rate_excess or NO_EXCESS, cell_c),
        interpolate(curves.resistance_by_c, cell_c),
        np.where(cell_c >= lowest_charge_c, charge_rate_per_h(chemistry, cell_c), 0.0),
    )


def floor_drawn_fraction(chemistry: str, floor: Floats, more: Floats | float) -> Floats:
    """Return the share held back by the cold where a cell gives more or less than the curve.

    Parameters
    ----------
    chemistry : key of `CHEMISTRIES`.
    floor : by the curve, shape (steps, members) or (steps, 1) [1].
    more : of the capacity that is usable besides in hard cold, shape (members,) [1].

    Returns
    -------
    Share of the capacity, shape (steps, members); in milder cold the difference shrinks with what
    is held back [1].
    """
    curve = CHEMISTRIES[chemistry].usable
    hard = 1.0 - float(interpolate(curve, np.array([HARD_COLD_C]))[0])
    share = np.minimum(floor / hard, 1.0) if hard > 0 else np.zeros_like(floor)
    return np.asarray(np.clip(floor - share * more, 0.0, 1.0))
