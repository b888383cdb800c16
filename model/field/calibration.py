"""Learning from readings: which numbers, moved least against their spreads, explain them.

Ah counted are sums of currents, so that a reading is, to first order, linear in a factor on each
use, on the sun and in the charge at the start.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, cast

import numpy as np

from model.editing.units import InUnit
from model.engine.outcome import USES, Use
from model.engine.run import StationRun, run_station
from model.results.provenance import Basis, bases, number_spread
from model.scenario.kinds import KINDS, kind_of
from model.scenario.station import Extra, Part, Station
from model.station.chemistry import Floats

# Half-widths of 95 % bands that no source states: how far a plan is kept, and the sky foretold.
PLAN_SPREAD = 0.10
SKY_SPREAD = 0.5
START_SPREAD = 0.05
# A battery is full from here on; with sun to spare, taking no more of it, from a little earlier.
FULL = 0.998
FULL_WITH_SPILL = 0.985
# Above this share of charge, sun that goes unused means that the battery takes no more.
NEARLY_FULL = 0.9
FOUND_FULL = 0.96
SPILL_SHARE = 0.05
DARK_A = 0.02
LEAST_FACTOR, MOST_FACTOR = 0.25, 4.0


@dataclass(frozen=True, eq=False)
class Observed:
    """One believable reading: charge stored or panel current, at a step.

    ``doubt`` is the half-width of its 95 % band, in the same unit as ``amount``.
    """

    step: int
    quantity: str
    amount: InUnit
    doubt: InUnit


@dataclass(frozen=True)
class Factors:
    """What the numbers of a station are to be multiplied by; ``start_fraction`` is added.

    ``spread_of_use`` are the half-widths of the 95 % bands that remain.
    """

    use_factor: dict[Use, float]
    sun_factor: float
    start_fraction: float
    use_spread: dict[Use, float]
    sun_spread: float


def learn(run: StationRun, observed: tuple[Observed, ...]) -> Factors:
    """Return the factors that explain the readings, moved least against their spreads.

    Notes
    -----
    The best linear estimate: with prior covariance S, sensitivities H and reading covariance R,
    ``S H^T (H S H^T + R)^-1 (reading - predicted)``.
    """
    prior = prior_spreads(run) / 2
    moved, left = np.zeros(prior.size), np.diag(prior**2)
    observed = tuple(each for each in observed if not _says_nothing(run, each))
    if observed:
        slopes = np.array([sensitivity(run, each) for each in observed])
        wrong = np.array([each.amount - predicted(run, each) for each in observed])
        noise = np.diag([max((each.doubt / 2) ** 2, 1e-12) for each in observed])
        gain = left @ slopes.T @ np.linalg.inv(slopes @ left @ slopes.T + noise)
        moved, left = gain @ wrong, left - gain @ slopes @ left
    factor = np.clip(1 + moved, LEAST_FACTOR, MOST_FACTOR)
    spread = 2 * np.sqrt(np.maximum(np.diag(left), 0.0))
    count = len(USES)
    return Factors(
        {use: float(factor[place]) for place, use in enumerate(USES)},
        float(factor[count]),
        float(moved[count + 1]),
        {use: float(spread[place]) for place, use in enumerate(USES)},
        float(spread[count]),
    )


def predicted(run: StationRun, observed: Observed) -> float:
    """Return what the run has where a reading was taken, in the reading's unit.

    A charge may lie above full, by what was spilled: that much has to be missing before a reading
    would find the battery less than full.
    """
    if observed.quantity == "panel_a":
        return float(run.flow.panel_able_a[observed.step])
    stored_ah = float(run.fraction[observed.step] * run.inputs.bounds.full_ah)
    return stored_ah + _spilled_ah(run, observed.step)


def _spilled_ah(run: StationRun, step: int) -> float:
    """Return what a nearly full battery has not taken since the morning [Ah]."""
    if not _is_saturated(run, step):
        return 0.0
    window = slice(_first_step(run, step), step)
    spilled_a = run.flow.panel_able_a[window] - run.flow.panel_a[window]
    return float(np.maximum(spilled_a, 0.0).sum() * run.clock.step_h)


def _spills(run: StationRun) -> np.ndarray:
    able_a = run.flow.panel_able_a
    spilled: np.ndarray = able_a - run.flow.panel_a > SPILL_SHARE * able_a + DARK_A
    return spilled


def _is_saturated(run: StationRun, step: int) -> bool:
    return bool(_spills(run)[step] and run.fraction[step] >= NEARLY_FULL)


def _says_nothing(run: StationRun, observed: Observed) -> bool:
    """Whether a full battery was predicted and found: how much more there was is not known."""
    return (
        observed.quantity == "stored_ah"
        and _is_saturated(run, observed.step)
        and observed.amount + observed.doubt >= FOUND_FULL * run.inputs.bounds.full_ah
    )


def _first_step(run: StationRun, step: int) -> int:
    """Return the step from which on charge decides what is found: a full battery forgets.

    Where the battery takes no more now, that is the last time it was full before this morning.
    """
    fraction = run.fraction[:-1]
    full = (fraction >= FULL) | (_spills(run) & (fraction >= FULL_WITH_SPILL))
    until = step + 1
    if _is_saturated(run, step):
        dark = np.flatnonzero(run.flow.panel_able_a[:until] < DARK_A)
        until = int(dark[-1]) + 1 if dark.size else 0
    when = np.flatnonzero(full[:until])
    return int(when[-1]) if when.size else 0


def prediction_spread(run: StationRun, observed: Observed) -> float:
    """Return the half-width of the 95 % band of what was predicted, in the reading's unit."""
    slopes = sensitivity(run, observed)
    return float(np.sqrt(np.sum((slopes * prior_spreads(run)) ** 2)))


def prior_spreads(run: StationRun) -> Floats:
    """Return half-widths of the 95 % bands of each use, of the sun, of the start; (10,). [1]"""
    rows = bases(run)
    uses = [_use_spread(run, [row for row in rows if row.use == use]) for use in USES]
    panel = run.station.panel
    sun = 0.0
    if panel is not None:
        losses = panel.other_losses
        sun = float(
            np.hypot(
                np.hypot(number_spread(run, "panel.rated_w"), SKY_SPREAD),
                number_spread(run, "panel.other_losses") * losses / (1 - losses),
            )
        )
    return np.array([*uses, sun, START_SPREAD])


def _use_spread(run: StationRun, rows: list[Basis]) -> float:
    """Return the spread of the Ah of one use: that of its numbers, and of the plan's keeping."""
    total_ah = sum(row.ah for row in rows)
    if total_ah <= 0:
        return 0.0
    squares = sum(
        (row.ah / total_ah) ** 2 * sum(number_spread(run, path) ** 2 for path in row.paths)
        for row in rows
    )
    return float(np.sqrt(squares + PLAN_SPREAD**2))


def sensitivity(run: StationRun, observed: Observed) -> Floats:
    """Return by how much what is read changes with each factor, in its unit; shape (10,)."""
    step, hours = observed.step, run.clock.step_h
    if observed.quantity == "panel_a":
        sun_a = float(run.flow.panel_able_a[step])
        return np.array([0.0] * len(USES) + [sun_a, 0.0])
    full_ah, bounds = run.inputs.bounds.full_ah, run.inputs.bounds
    first = _first_step(run, step)
    window = slice(first, step)
    charging = run.flow.battery_a[window] < 0
    worth = np.where(charging, bounds.charge_efficiency, 1.0)
    uses = [-float((run.flow.use_a[use][window] * worth).sum() * hours) for use in USES]
    saturated = _is_saturated(run, step)
    sources_a = run.flow.panel_able_a if saturated else run.flow.panel_a
    sun_ah = float((sources_a[window] * worth).sum() * hours)
    return np.array([*uses, sun_ah, 0.0 if first else full_ah])


def corrected(run: StationRun, factors: Factors) -> StationRun:
    """Return the run of the station with its numbers multiplied."""
    station = with_factors(run.station, factors)
    shared = tuple(cast(Extra, _scaled(extra, factors)) for extra in run.shared)
    return run_station(run.site, run.trip, run.plan, station, shared, step_min=run.clock.step_min)


def with_factors(station: Station, factors: Factors) -> Station:
    """Return a station whose currents, powers, panel and start are multiplied."""
    parts: dict[str, Any] = {}
    for kind in KINDS:
        scaled = tuple(_scaled(part, factors) for _, part in kind.held_by(station))
        if scaled and kind.uses:
            parts[kind.slot] = scaled if kind.is_list else scaled[0]
    if station.panel is not None:
        rated_w = station.panel.rated_w * factors.sun_factor
        parts["panel"] = station.panel.model_copy(update={"rated_w": rated_w})
    start = min(max(station.start_fraction + factors.start_fraction, 0.0), 1.0)
    return station.model_copy(update={**parts, "start_fraction": start})


def _scaled(part: Part, factors: Factors) -> Part:
    """Return a part with the numbers of each of its uses multiplied."""
    changes: dict[str, Any] = {}
    for use in kind_of(part).uses:
        for name in use.numbers:
            changes[name] = _times(getattr(part, name), factors.use_factor[use.key])
    return part.model_copy(update=changes)


def _times(number: Any, factor: float) -> Any:
    """Return a number, or the currents of a row of points, multiplied; None stays None."""
    if isinstance(number, tuple):
        return tuple((rf_w, current_a * factor) for rf_w, current_a in number)
    return None if number is None else number * factor
