"""The judged trial of shares from reports, on made-up paths whose distribution is known.

``python -m tests.laws.reception_trial --seeds 200`` prints how often nominal 80 % intervals cover
the truth, and how far whole decibels and the decoder's lowest value move a share. Nothing in it is
taken from the code it judges except the answers themselves.
"""

from __future__ import annotations

import argparse
import sys
from dataclasses import dataclass

import numpy as np

from model.reception.cells import Cell
from model.reception.requests import readable
from model.reception.thresholds import FT4, FT8, MORSE, VOICE, Mode

POWER_W = 8.0
# A few more than the hundred reports that are needed, and as many as an hour of slots gives.
PATHS = (12, 25)
NIGHTS_OF_THE_TRUTH = 4000


@dataclass(frozen=True)
class Paths:
    """Made-up paths: humps in dB, how evenings differ, and a drift over the season."""

    name: str
    humps: tuple[tuple[float, float, float], ...]  # share, mean dB, deviation dB
    evening_sd_db: float
    drift_db: float = 0.0


ONE_HUMP = Paths("one hump", ((1.0, -9.0, 8.0),), 2.0)
TWO_HUMPS = Paths("two humps", ((0.6, -16.0, 4.0), (0.4, 4.0, 5.0)), 2.0)
DRIFTING = Paths("drifting", ((1.0, -9.0, 7.0),), 3.0, drift_db=6.0)
STRONG_DRIFT = Paths("strong drift", ((1.0, -9.0, 7.0),), 3.0, drift_db=12.0)
KINDS = (ONE_HUMP, TWO_HUMPS, DRIFTING, STRONG_DRIFT)
ASKED: tuple[tuple[Mode, float], ...] = (
    (VOICE, 8.0), (VOICE, 80.0), (VOICE, 100.0), (MORSE, 2.0), (FT4, 4.0), (FT8, 2.0), (FT8, 5.0),
    # Within a decibel of what is read, and shares of a path in hundreds.
    (FT8, 8.0), (FT8, 7.2), (VOICE, 2.0), (VOICE, 4.0), (VOICE, 16.0), (MORSE, 8.0),
)  # fmt: skip
ASKED_UP: tuple[tuple[Mode, float], ...] = (
    (FT8, 7.2), (FT8, 8.0), (FT8, 10.0), (FT8, 16.0), (FT8, 32.0), (MORSE, 80.0),
)  # fmt: skip


def drawn(kind: Paths, chance: np.random.Generator, evenings: int, paths: int = 25):
    """Return true ratios, shape (evenings, paths), and which of them were decoded."""
    shares = [share for share, _, _ in kind.humps]
    hump = chance.choice(len(shares), size=(evenings, paths), p=shares)
    mean, sd = (np.array([row[place] for row in kind.humps]) for place in (1, 2))
    level = kind.evening_sd_db * chance.standard_normal((evenings, 1))
    # Evenings stand in the middle of equal parts of the season.
    level += kind.drift_db * ((np.arange(evenings)[:, None] + 0.5) / evenings - 0.5)
    true_db = mean[hump] + sd[hump] * chance.standard_normal((evenings, paths)) + level
    # Half of the slots decode at the threshold; fading softens the edge a little.
    edge_db = FT8.threshold_db + 0.7 * chance.standard_normal((evenings, paths))
    return true_db, true_db >= edge_db


def cell_of(true_db, is_heard, *, whole_db=True, lowest_db=-24.0, attempts=False) -> Cell:
    """Return the reports of these paths as a decoder gives them."""
    evening = np.nonzero(is_heard)[0].astype(np.int64)
    shown_db = np.rint(true_db[is_heard]) if whole_db else true_db[is_heard]
    missed = (~is_heard).sum(axis=1).astype(np.float64)
    return Cell(
        band="40 m", hour=21, mode=FT8, power_w=POWER_W,
        snr_db=np.maximum(shown_db, lowest_db), evening=evening,
        missed=missed if attempts else np.zeros_like(missed), whole_db=whole_db,
    )  # fmt: skip


def truths(kind: Paths, asked, *, attempts: bool) -> list[float]:
    """Return the shares of all such paths that reach a ratio, of those heard or of all tried."""
    true_db, is_heard = drawn(kind, np.random.default_rng(12345), NIGHTS_OF_THE_TRUTH, 100)
    among = np.ones_like(is_heard) if attempts else is_heard
    return [
        float(((true_db >= needed(mode, power_w)) & among).sum() / among.sum())
        for mode, power_w in asked
    ]


def needed(mode: Mode, power_w: float) -> float:
    """Return the ratio a report at 8 W must have, by the definition of the decibel."""
    return mode.threshold_db - 10.0 * np.log10(power_w / POWER_W)


@dataclass(frozen=True)
class Found:
    """What came of one request in all seeds.

    ``both`` is the share of answers that name both ends of an interval: of these rows nominal
    coverage is judged. Of one end alone it is wanted that it holds at least so often.
    """

    kind: str
    evenings: int
    request: str
    truth: float
    answered: int
    both: float
    covered: float
    bias: float

    def __str__(self) -> str:
        return (
            f"{self.kind}, {self.evenings} evenings: {self.request}, truth {self.truth:.3f}:"
            f" {self.answered} answered, {self.both:.2f} with both ends,"
            f" covered {self.covered:.3f}, bias {100 * self.bias:+.2f} points"
        )


def trial(
    kind: Paths, seeds: int, evenings: int, *, paths: int = 25, attempts: bool = False
) -> list[Found]:
    """Return how often intervals cover the truth, and the mean error of the shares."""
    asked = ASKED_UP if attempts else ASKED
    true = truths(kind, asked, attempts=attempts)
    covers: list[list[bool]] = [[] for _ in asked]
    both: list[list[bool]] = [[] for _ in asked]
    errors: list[list[float]] = [[] for _ in asked]
    for seed in range(seeds):
        pair = drawn(kind, np.random.default_rng([seed, 7]), evenings, paths)
        cell = cell_of(*pair, attempts=attempts)
        for place, (mode, power_w) in enumerate(asked):
            share = readable(cell, mode, power_w).share
            if share is not None:
                covers[place].append(share.low <= true[place] <= share.high)
                both[place].append(share.has_both_bounds)
                errors[place].append(share.share - true[place])
    return [
        Found(
            f"{kind.name}, {paths} paths", evenings, f"{mode.label} {power_w:g} W", true[place],
            len(covers[place]), *(
                float(np.mean(each[place])) if each[place] else float("nan")
                for each in (both, covers, errors)
            ),
        )
        for place, (mode, power_w) in enumerate(asked)
    ]  # fmt: skip


def rounding(kind: Paths, seeds: int, lowest_db: float) -> list[tuple[str, float, float]]:
    """Return for each request the mean error that rounding and the lowest value bring in."""
    errors: dict[str, list[float]] = {}
    for seed in range(seeds):
        pair = drawn(kind, np.random.default_rng([seed, 8]), 14)
        exact = cell_of(*pair, whole_db=False, lowest_db=-99.0)
        shown = cell_of(*pair, lowest_db=lowest_db)
        for mode, power_w in ASKED:
            one, other = (readable(cell, mode, power_w).share for cell in (exact, shown))
            if one is not None and other is not None:
                name = f"{mode.label} {power_w:g} W"
                errors.setdefault(name, []).append(other.share - one.share)
    return [
        (name, float(np.mean(each)), float(np.abs(each).max())) for name, each in errors.items()
    ]


def main() -> None:
    """Print the whole trial."""
    given = argparse.ArgumentParser(description=main.__doc__)
    given.add_argument("--seeds", type=int, default=200)
    seeds = given.parse_args().seeds
    for attempts in (False, True):
        for evenings in (12, 20, 40):
            for kind in KINDS:
                for paths in PATHS:
                    for row in trial(kind, seeds, evenings, paths=paths, attempts=attempts):
                        sys.stdout.write(f"fit, {row}\n" if attempts else f"{row}\n")
    for lowest_db in (-24.0, -15.0):
        for kind in KINDS:
            for name, mean, worst in rounding(kind, seeds, lowest_db):
                sys.stdout.write(
                    f"rounding, lowest {lowest_db:g} dB, {kind.name}: {name}: mean"
                    f" {100 * mean:+.2f}, worst {100 * worst:.2f} points\n"
                )


if __name__ == "__main__":
    main()
