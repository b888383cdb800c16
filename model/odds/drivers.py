"""What drives the uncertainty of a station: the sky, the plan, or one of its numbers."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np

from model.odds.trip_runs import TripRuns
from model.odds.trips import Trips
from model.scenario.declare import Provenance
from model.sky.timeline import Floats

# Where fewer trips end, what moves the lowest charge is ranked.
ENDS_ENOUGH_SHARE = 0.1
# Rank correlations of independent numbers scatter with deviation 1/sqrt(trips).
CHANCE_DEVIATIONS = 3.0
SKY, PLAN, COLD = "sky", "plan", "cold"


@dataclass(frozen=True)
class Driver:
    """How much one thing moves the first end, or the lowest charge where hardly any trip ends.

    Attributes
    ----------
    path : ``sky``, ``plan``, ``cold``, or a number such as ``stations.1.radio.receive_a``.
    origin : where the number comes from; None for sky and plan.
    rank_share : Spearman's rank correlation with what is moved, -1 to 1 [1].
    on : what is moved.
    """

    path: str
    origin: Provenance | None
    rank_share: float
    on: Literal["first_end", "lowest_charge"]


def drivers(drawn: Trips, index: int, runs: TripRuns) -> tuple[Driver, ...]:
    """Return what moves a station beyond chance, the greatest first."""
    first_end_h = runs.first_end_h
    ends = float(np.mean(np.isfinite(first_end_h))) >= ENDS_ENOUGH_SHARE
    on: Literal["first_end", "lowest_charge"] = "first_end" if ends else "lowest_charge"
    moved = ranks(first_end_h if ends else runs.lowest_fraction)
    by_chance = CHANCE_DEVIATIONS / np.sqrt(drawn.trips)
    series: dict[str, tuple[Provenance | None, Floats]] = {
        SKY: (None, drawn.skies.days.index.mean(axis=1))
    }
    if drawn.plan_kept_factor is not None:
        series[PLAN] = None, drawn.plan_kept_factor
    if (
        drawn.cold_fraction is not None
        and drawn.scenario.stations[index].battery.cell.cold_spread_fraction
    ):
        series[COLD] = None, drawn.cold_fraction
    for path, one in drawn.numbers[index].items():
        # An extra that another station brings is measured there.
        if not path.startswith("shared."):
            series[f"stations.{index}.{path}"] = one.number.origin, one.factor
    found = (
        Driver(path, origin, correlation(ranks(values), moved), on)
        for path, (origin, values) in series.items()
    )
    telling = [one for one in found if abs(one.rank_share) > by_chance]
    return tuple(sorted(telling, key=lambda one: -abs(one.rank_share)))


def ranks(values: Floats) -> Floats:
    """Return the rank of each value; equal values share the mean of their ranks.

    Parameters
    ----------
    values : what is ranked, shape (n,) [any unit].

    Returns
    -------
    Ranks from 1, shape (n,) [1].
    """
    _, group, count = np.unique(values, return_inverse=True, return_counts=True)
    last = np.cumsum(count)
    mean: Floats = (last - (count - 1) / 2.0)[group]
    return mean


def correlation(one: Floats, other: Floats) -> float:
    """Return the linear correlation of two series.

    Parameters
    ----------
    one, other : the series, shape (n,) [any unit].

    Returns
    -------
    From -1 to 1, 0 where one does not vary [1].
    """
    a, b = one - one.mean(), other - other.mean()
    size = float(np.sqrt((a @ a) * (b @ b)))
    return float(a @ b) / size if size > 0 else 0.0
