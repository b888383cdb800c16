"""A share of paths with its interval by evening.

One evening's paths rise and fall together, so an interval that took each report for a trial of its
own would be far too narrow. The share is the ratio of two sums over evenings; its variance is that
of a ratio over clusters (W. G. Cochran, Sampling Techniques, 3rd ed. 1977, section 2.11), turned
into as many independent reports as would give the same, and then Wilson's interval with Student's
t for one evening less than there are (E. L. Korn and B. I. Graubard, "Confidence intervals for
proportions with small expected number of positive counts estimated from survey data", Survey
Methodology 24 (1998) 193-201). Sources from memory; ``tests/laws/reception_trial.py`` measures
what it covers.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from model.reception.reports import Floats, Ints
from model.support.intervals import student_t, wilson_interval

# Intervals are said at 8 in 10; what they cover was measured on made-up paths, see the trial.
NOMINAL_SHARE = 0.8
_BELOW = 0.5 + NOMINAL_SHARE / 2.0


@dataclass(frozen=True)
class Share:
    """A share of paths.

    Attributes
    ----------
    share, low, high : found, and the bounds of its interval [1].
    """

    share: float
    low: float
    high: float


def evening_share(counted: Floats, of: Floats) -> Share:
    """Return a share with its interval, from counts by evening.

    Parameters
    ----------
    counted : paths that count, shape (evenings,) [1].
    of : all paths of each evening, shape (evenings,) [1].
    """
    total = float(of.sum())
    share = min(float(counted.sum()) / total, 1.0)
    evenings = of.size
    residuals = counted - share * of
    variance = evenings / (evenings - 1) * float((residuals**2).sum()) / total**2
    binomial = share * (1.0 - share)
    # None or all of them, or evenings that do not differ: as independent paths would have it.
    trials = binomial / variance if variance > 0.0 < binomial else total
    low, high = wilson_interval(share, trials, student_t(evenings - 1, _BELOW))
    return Share(share, min(low, share), max(high, share))


def counted_by_evening(
    snr_db: Floats, evening: Ints, evenings: int, needed_db: float, *, whole_db: bool
) -> Floats:
    """Return how many reports of each evening reach a ratio, shape (evenings,) [1].

    A report in whole decibels stands for half a decibel either way: one that straddles what is
    needed counts by the part of it that lies above.

    Parameters
    ----------
    snr_db : reports, shape (reports,) [dB].
    evening : number of each report's evening, shape (reports,).
    evenings : how many there are.
    needed_db : lowest ratio that counts [dB].
    whole_db : whether reports are rounded to whole decibels.

    Returns
    -------
    Counts, need not be whole, shape (evenings,) [1].
    """
    if whole_db:
        part: Floats = np.clip(snr_db + 0.5 - needed_db, 0.0, 1.0)
    else:
        part = (snr_db >= needed_db).astype(np.float64)
    return np.bincount(evening, part, evenings).astype(np.float64)
