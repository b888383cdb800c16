"""A share of paths with its interval by evening.

One evening's paths rise and fall together, so an interval that took each report for a trial of its
own would be far too narrow. The share is the ratio of two sums over evenings; its variance is that
of a ratio over clusters (W. G. Cochran, Sampling Techniques, 3rd ed. 1977, section 2.11), but from
the differences of neighbouring evenings: what changes slowly over a season is part of the share of
that season and no error (J. von Neumann, R. H. Kent, H. R. Bellinson and B. I. Hart, "The mean
square successive difference", Annals of Mathematical Statistics 12 (1941) 153-162). Evenings that
resemble each other for some days make it too small. It is turned into as many independent reports
as would give the same, and then Wilson's interval with Student's t (E. L. Korn and B. I. Graubard,
"Confidence intervals for proportions with small expected number of positive counts estimated from
survey data", Survey Methodology 24 (1998) 193-201).

Where less than a few paths reach what is needed, or fall short of it, their number says how many at
most and no more: one end of the interval is told, the other is none or all.

One report more or less of two is a large step: a report counts by the part of a few decibels either
way that lies above what is needed, fewer the more reports there are (A. Azzalini, "A note on the
estimation of a distribution function and quantiles by a kernel method", Biometrika 68 (1981)
326-328). Sources from memory; ``tests/laws/reception_trial.py`` measures what all this covers.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from model.reception.reports import Floats, Ints
from model.support.intervals import student_t, wilson_interval

# Intervals are said at 8 in 10; what they cover was measured on made-up paths, see the trial.
NOMINAL_SHARE = 0.8
_BELOW = 0.5 + NOMINAL_SHARE / 2.0
# Half of the width over which a report counts: by the deviation of reports, over the cube root of
# their number, and never more than this part of the distance to what the decoder cannot read,
# below which no reports make up for those above. Fits of ours, from the trial.
WIDTH_OF_DEVIATION, WIDTH_OF_DISTANCE = 1.2, 1.0 / 6.0
# With fewer paths than these on one side nominal intervals held the truth in as few as 65 of 100:
# a fit of ours, from the trial.
FEW_PATHS = 8


@dataclass(frozen=True)
class Share:
    """A share of paths.

    Attributes
    ----------
    share, low, high : found, and the bounds of its interval; where one bound alone is known, the
        other is 0 or 1 [1].
    """

    share: float
    low: float
    high: float

    @property
    def has_both_bounds(self) -> bool:
        """Whether both ends of the interval are known."""
        return self.low > 0.0 and self.high < 1.0


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
    variance = evenings * difference_variance(counted - share * of) / total**2
    binomial = share * (1.0 - share)
    # None or all of them, or evenings that do not differ: as independent paths would have it.
    trials = binomial / variance if variance > 0.0 < binomial else total
    low, high = wilson_interval(share, trials, difference_t(evenings))
    least = min(low, share) if share * total >= FEW_PATHS else 0.0
    most = max(high, share) if (1.0 - share) * total >= FEW_PATHS else 1.0
    return Share(share, least, most)


def difference_variance(by_evening: Floats) -> float:
    """Return the variance between evenings, free of what changes slowly from first to last.

    Parameters
    ----------
    by_evening : one value an evening, in the order of their dates, shape (evenings,).

    Returns
    -------
    Half of the mean square of the differences of neighbours, in the square of the values' unit.
    """
    return float((np.diff(by_evening) ** 2).mean()) / 2.0


def difference_t(evenings: int) -> float:
    """Return Student's t for a variance from differences of neighbouring evenings.

    Parameters
    ----------
    evenings : how many there are, from 3.

    Returns
    -------
    The quantile of the interval's upper end, with as many degrees of freedom as the variance of
    that estimate leaves for normal values [1].
    """
    return student_t(2 * (evenings - 1) ** 2 // (3 * evenings - 4), _BELOW)


def counting_half_width_db(
    snr_db: Floats, needed_db: float, unread_below_db: float, half_step_db: float
) -> float:
    """Return how far either way of what is needed a report counts in part.

    Parameters
    ----------
    snr_db : reports, shape (reports,) [dB].
    needed_db : lowest ratio that counts [dB].
    unread_below_db : below it no report says how weak a signal is [dB].
    half_step_db : half of what reports are rounded to [dB].

    Returns
    -------
    Half of the width, not below that of the rounding [dB].
    """
    width_db = WIDTH_OF_DEVIATION * float(snr_db.std()) / float(np.cbrt(snr_db.size))
    return max(half_step_db, min(width_db, WIDTH_OF_DISTANCE * (needed_db - unread_below_db)))


def counted_by_evening(
    snr_db: Floats, evening: Ints, evenings: int, needed_db: float, half_width_db: float
) -> Floats:
    """Return how many reports of each evening reach a ratio, shape (evenings,) [1].

    Parameters
    ----------
    snr_db : reports, shape (reports,) [dB].
    evening : number of each report's evening, shape (reports,).
    evenings : how many there are.
    needed_db : lowest ratio that counts [dB].
    half_width_db : a report stands for so much either way, and one that straddles what is needed
        counts by the part that lies above [dB].

    Returns
    -------
    Counts, need not be whole, shape (evenings,) [1].
    """
    above_db = snr_db - needed_db
    if half_width_db > 0.0:
        part: Floats = np.clip(above_db / (2.0 * half_width_db) + 0.5, 0.0, 1.0)
    else:
        part = (above_db >= 0.0).astype(np.float64)
    return np.bincount(evening, part, evenings).astype(np.float64)
