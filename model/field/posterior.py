"""What is held of the unknowns after a log: members of a fleet that explain it as they should.

A tempered particle set. The first members are drawn from what is held beforehand, real faults more
often than they are. Then the readings count for more and more: at each stage members are picked by
how well they explain them, and moved by steps that keep what is held of them by then (Metropolis
and Hastings). Every member is run by the array form of the step rule.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.random import Generator, default_rng

from model.engine.run import StationRun
from model.field.course_fleet import Courses, FactorFleets
from model.field.likelihood import Likelihood, steps_looked_at, steps_needed
from model.field.observations import Observation
from model.field.unknowns import Unknown
from model.station.chemistry import Floats
from model.support.progress import Search

# The same readings give the same answer.
SEED = 2027
FIRST, MEMBERS = 2400, 600
# Faults are drawn so often at first, so that each has members enough.
FIRST_FAULT_SHARE = 0.25
# From stage to stage, members are worth at least this share of their number.
WORTH_KEPT = 0.5
MOVES, LAST_MOVES = 2, 3
STAGES_LIMIT = 40
# Steps along the difference of two members, over the length that suits a normal in as many
# unknowns (2.38 over the root of twice their number).
STEP_LENGTHS = (0.3, 0.6, 1.0)
# Such a share of members tries one unknown anew instead, capacity and start more often than others:
# readings may tell nothing of them, and their faults are far from what is ordinary.
ANEW_SHARE = 0.4
ANEW_OFTEN = {"battery": 3.0, "start": 2.0}


@dataclass(frozen=True, eq=False)
class Posterior:
    """Members, all of one weight.

    Attributes
    ----------
    unknowns : what the factors are of.
    factor : of each unknown, shape (members, unknowns) [1].
    courses : what becomes of each.
    prior_factor : drawn from what was held beforehand, shape (prior members, unknowns) [1].
    prior_weight_share : of these, sums to 1, shape (prior members,) [1].
    """

    unknowns: tuple[Unknown, ...]
    factor: Floats
    courses: Courses
    prior_factor: Floats
    prior_weight_share: Floats

    def place(self, key: str) -> int:
        """Return the column of an unknown."""
        return next(at for at, each in enumerate(self.unknowns) if each.key == key)


def search_posterior(
    run: StationRun, unknowns: tuple[Unknown, ...], observed: Sequence[Observation]
) -> Search[Posterior]:
    """Find what is held of the unknowns of a run after what was observed."""
    yield 0.0
    set_ = _Set(run, unknowns, observed)
    while set_.temper < 1.0 and set_.stage < STAGES_LIMIT:
        set_.advance()
        yield 0.9 * set_.temper
    set_.move(LAST_MOVES)
    return set_.found()


class _Set:
    """The members at one stage: their logarithms, and how well they explain the readings."""

    def __init__(
        self, run: StationRun, unknowns: tuple[Unknown, ...], observed: Sequence[Observation]
    ) -> None:
        self._unknowns, self._observed = unknowns, observed
        self._fleets = FactorFleets(run, unknowns)
        self._likelihood = Likelihood(run, unknowns, observed)
        self._look_at, self._steps = steps_looked_at(observed), steps_needed(observed)
        self._chance = default_rng(SEED)
        self.temper, self.stage = 0.0, 0
        drawn = [each.drawn(FIRST, self._chance, FIRST_FAULT_SHARE) for each in unknowns]
        self._logs = np.stack(drawn, axis=1)
        weights = self._log_prior(self._logs) - self._log_first(self._logs)
        self._weights = weights
        self._prior = np.exp(self._logs), normed(weights)
        self._explained = self._explain(self._logs)

    def _explain(self, logs: Floats) -> Floats:
        factors = np.exp(logs)
        courses = self._fleets.run(factors, self._look_at, self._steps, with_power=False)
        return self._likelihood.log_of(factors, courses)

    def advance(self) -> None:
        """Let the readings count for more, pick members by it and move them."""
        step = self._next_step()
        weights = normed(self._weights + step * self._explained)
        chosen = resampled(weights, MEMBERS, self._chance)
        self._logs, self._explained = self._logs[chosen], self._explained[chosen]
        self._weights = np.zeros(MEMBERS)
        self.temper, self.stage = self.temper + step, self.stage + 1
        self.move(MOVES)

    def _next_step(self) -> float:
        """Return by how much more the readings may count while enough members explain them."""
        high = 1.0 - self.temper
        enough = WORTH_KEPT * MEMBERS
        if worth(normed(self._weights + high * self._explained)) >= enough:
            return high
        low = 0.0
        for _ in range(30):
            middle = (low + high) / 2
            if worth(normed(self._weights + middle * self._explained)) >= enough:
                low = middle
            else:
                high = middle
        return max(low, 1e-4)

    def move(self, times: int) -> None:
        """Move each member some times, or let it stay."""
        for _ in range(times):
            tried, ratio = self._proposed()
            explained = self._explain(tried)
            gain = self._log_prior(tried) - self._log_prior(self._logs) + ratio
            gain += self.temper * (explained - self._explained)
            taken = np.log(self._chance.random(MEMBERS)) < gain
            self._logs = np.where(taken[:, None], tried, self._logs)
            self._explained = np.where(taken, explained, self._explained)

    def _proposed(self) -> tuple[Floats, Floats]:
        """Return where each member tries to go, and what the way back is likelier by."""
        chance, logs, size = self._chance, self._logs, self._logs.shape[1]
        one, other = logs[chance.permutation(MEMBERS)], logs[chance.permutation(MEMBERS)]
        length = chance.choice(STEP_LENGTHS, (MEMBERS, 1)) * 2.38 / np.sqrt(2 * size)
        jitter = 0.002 * chance.standard_normal(logs.shape)
        tried = logs + length * (one - other) + jitter
        anew = chance.random(MEMBERS) < ANEW_SHARE
        often = np.array([ANEW_OFTEN.get(each.key, 1.0) for each in self._unknowns])
        column = chance.choice(size, MEMBERS, p=often / often.sum())
        ratio = np.zeros(MEMBERS)
        for at, each in enumerate(self._unknowns):
            rows = anew & (column == at)
            fresh = logs[rows].copy()
            share = self._first_share(each)
            fresh[:, at] = each.drawn(int(rows.sum()), chance, share)
            tried[rows] = fresh
            ratio[rows] = np.log(each.density(logs[rows, at], share)) - np.log(
                each.density(fresh[:, at], share)
            )
        return tried, ratio

    def _first_share(self, each: Unknown) -> float:
        return FIRST_FAULT_SHARE if each.fault_share else 0.0

    def _log_first(self, logs: Floats) -> Floats:
        return self._log_density(logs, [self._first_share(each) for each in self._unknowns])

    def _log_prior(self, logs: Floats) -> Floats:
        return self._log_density(logs, [each.fault_share for each in self._unknowns])

    def _log_density(self, logs: Floats, shares: Sequence[float]) -> Floats:
        total = np.zeros(len(logs))
        for at, (each, share) in enumerate(zip(self._unknowns, shares, strict=True)):
            total += np.log(np.maximum(each.density(logs[:, at], share), 1e-300))
        return total

    def found(self) -> Posterior:
        """Return the members with their courses to the end."""
        factors = np.exp(self._logs)
        courses = self._fleets.run(factors, self._look_at)
        return Posterior(self._unknowns, factors, courses, *self._prior)


def normed(log_weights: Floats) -> Floats:
    """Return weights of these logarithms.

    Parameters
    ----------
    log_weights : shape (members,) [1].

    Returns
    -------
    They sum to 1, shape (members,) [1].
    """
    weights = np.exp(log_weights - log_weights.max())
    scaled: Floats = weights / weights.sum()
    return scaled


def worth(weights: Floats) -> float:
    """Return how many members of one weight such members are worth.

    Parameters
    ----------
    weights : they sum to 1, shape (members,) [1].

    Returns
    -------
    A number [1].
    """
    return float(1 / np.sum(weights**2))


def resampled(weights: Floats, members: int, chance: Generator) -> np.ndarray:
    """Return so many places in proportion to their weights, by evenly spaced picks.

    Parameters
    ----------
    weights : they sum to 1, shape (places,) [1].

    Returns
    -------
    Places, shape (members,).
    """
    picks = (np.arange(members) + chance.random()) / members
    chosen: np.ndarray = np.searchsorted(np.cumsum(weights), picks).clip(max=len(weights) - 1)
    return chosen
