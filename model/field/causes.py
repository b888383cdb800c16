"""Which things are otherwise than entered: rival explanations of a log, with their odds."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from model.engine.run import StationRun
from model.field.meter_accuracy import credit_of_volts
from model.field.observations import Observation
from model.field.posterior import Posterior
from model.field.unknowns import Unknown
from model.station.chemistry import Floats

# An explanation that fewer trips than this bear is not told.
LEAST_SHARE = 0.03
MOST_TOLD = 4
HOLDING_ROUNDS = 5
# A counter that came back from so much to so little has seen the battery full again.
FULL_FRACTION = 0.995
# Rested volts of a battery this full tell its charge, and not its capacity.
NEARLY_FULL = 0.9


@dataclass(frozen=True)
class Told:
    """What readings of this kind can tell at all.

    Until an end, rested volts past the knee or a recharge to full, an Ah counter holds no trace of
    capacity or of the charge at the start.
    """

    capacity: bool
    start: bool


@dataclass(frozen=True)
class Cause:
    """One thing that may be otherwise than entered.

    Attributes
    ----------
    unknown : what.
    share, prior_share : in how many members it is off, after the readings and before [1].
    factor, low_factor, high_factor : on what is entered: middle and 80 % interval of those
        members [1].
    spread : half-width of the 95 % band of the factor, over it [1].
    """

    unknown: Unknown
    share: float
    prior_share: float
    factor: float
    low_factor: float
    high_factor: float
    spread: float


@dataclass(frozen=True)
class Explanation:
    """Things that are off together, none where all is about as entered, and the odds of it [1]."""

    causes: tuple[Cause, ...]
    share: float


def told(run: StationRun, observed: Sequence[Observation], posterior: Posterior) -> Told:
    """Return what the readings can tell of capacity and of the charge at the start."""
    end = any(each.kind in ("off", "back") for each in observed)
    knee = top = False
    for each in observed:
        if each.kind == "battery_v":
            credit = credit_of_volts(
                run.station.battery, each.amount, run.station.meters, at_rest=True
            )
            knee |= credit.believable and credit.fraction < NEARLY_FULL
            top |= credit.believable
    return Told(capacity=end or knee, start=end or top or _was_full_again(observed, posterior))


def _was_full_again(observed: Sequence[Observation], posterior: Posterior) -> bool:
    """Whether most members have been full by the last reading of a counter."""
    last = max((int(each.step_index) for each in observed if each.kind == "used_ah"), default=0)
    courses = posterior.courses
    full = (courses.stored_ah[: last + 1] >= FULL_FRACTION * courses.full_ah).any(axis=0)
    return bool(last > 0 and full.mean() > 0.5)


def held_weights(posterior: Posterior, can_tell: Told) -> Floats:
    """Return the weights of the members: what readings cannot tell keeps its prior odds.

    That a station is still on the air rules out the worst packs; it is not counted in favour of
    the pack.

    Returns
    -------
    They sum to 1, shape (members,) [1].
    """
    weights = np.full(len(posterior.factor), 1.0 / len(posterior.factor))
    untold = [
        posterior.place(key)
        for key, known in (("battery", can_tell.capacity), ("start", can_tell.start))
        if not known
    ]
    # To hold one share moves the other a little: a few rounds hold both.
    for at in untold * HOLDING_ROUNDS:
        is_off = posterior.unknowns[at].is_off(posterior.factor[:, at])
        share, prior = float(weights[is_off].sum()), prior_share(posterior, at)
        if 0.0 < share < 1.0:
            weights = np.where(is_off, weights * prior / share, weights * (1 - prior) / (1 - share))
    return weights


def prior_share(posterior: Posterior, at: int) -> float:
    """Return in what share an unknown was held to be off beforehand [1]."""
    is_off = posterior.unknowns[at].is_off(posterior.prior_factor[:, at])
    return float(posterior.prior_weight_share[is_off].sum())


def causes(posterior: Posterior, weights: Floats) -> tuple[Cause, ...]:
    """Return everything that may be off, the likeliest first.

    Parameters
    ----------
    weights : of the members, shape (members,) [1].

    Returns
    -------
    One of each unknown but the sun of a single day.
    """
    found = []
    for at, each in enumerate(posterior.unknowns):
        if each.group == "day":
            continue
        factors = posterior.factor[:, at]
        off = np.where(each.is_off(factors), weights, 0.0)
        share = float(off.sum())
        of = off / share if share > 0 else weights
        low, middle, high = weighted_quantiles(factors, of, (0.1, 0.5, 0.9))
        mean = float(of @ factors)
        sd = float(np.sqrt(of @ (factors - mean) ** 2))
        found.append(
            Cause(each, share, prior_share(posterior, at), middle, low, high, 2 * sd / middle)
        )
    return tuple(sorted(found, key=lambda cause: -cause.share))


def explanations(
    posterior: Posterior, weights: Floats, found: Sequence[Cause]
) -> tuple[Explanation, ...]:
    """Return rival explanations, the likeliest first, each of things that are off together.

    Parameters
    ----------
    weights : of the members, shape (members,) [1].
    found : what may be off.

    Returns
    -------
    The few that bear odds worth telling.
    """
    columns = [posterior.factor[:, posterior.place(each.unknown.key)] for each in found]
    flags = np.stack(
        [each.unknown.is_off(column) for each, column in zip(found, columns, strict=True)], axis=1
    )
    shares: Counter[tuple[bool, ...]] = Counter()
    for row, weight in zip(flags.tolist(), weights.tolist(), strict=True):
        shares[tuple(row)] += weight
    ranked = sorted(shares.items(), key=lambda pair: -pair[1])
    return tuple(
        Explanation(
            tuple(
                _within(posterior, np.where((flags == row).all(axis=1), weights, 0.0), each)
                for each, is_off in zip(found, row, strict=True)
                if is_off
            ),
            share,
        )
        for row, share in ranked[:MOST_TOLD]
        if share >= LEAST_SHARE
    )


def _within(posterior: Posterior, weights: Floats, cause: Cause) -> Cause:
    """Return a cause as it is in the members of one explanation, which alone have weight."""
    at = posterior.place(cause.unknown.key)
    mine = weights / weights.sum()
    low, middle, high = weighted_quantiles(posterior.factor[:, at], mine, (0.1, 0.5, 0.9))
    return replace(cause, factor=middle, low_factor=low, high_factor=high)


def weighted_quantiles(
    values: Floats, weights: Floats, shares: Sequence[float]
) -> tuple[float, ...]:
    """Return the values below which so much of the weight lies.

    Parameters
    ----------
    values : shape (members,), may be inf [any unit].
    weights : they sum to 1, shape (members,) [1].
    shares : of the weight [1].

    Returns
    -------
    One value for each share [that unit].
    """
    order = np.argsort(values, kind="stable")
    sums = np.cumsum(weights[order])
    places = np.searchsorted(sums, np.array(shares) * sums[-1]).clip(max=len(values) - 1)
    return tuple(float(value) for value in values[order][places])
