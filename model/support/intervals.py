"""How far a share that was counted may be off: Wilson's interval and Student's t.

References
----------
E. B. Wilson, "Probable inference, the law of succession, and statistical inference", Journal of
the American Statistical Association 22 (1927) 209-212; M. Abramowitz and I. A. Stegun, Handbook of
Mathematical Functions, 26.7.3 and 26.7.4 (Student's t as a finite sum). From memory; the tests hold
both against another library.
"""

from __future__ import annotations

import math
from functools import lru_cache

# Standard score of a two-sided 95 % interval.
Z_95 = 1.959964
_HALVINGS = 80


def wilson_interval(share: float, trials: float, z: float = Z_95) -> tuple[float, float]:
    """Return the bounds of a share found in some independent trials.

    Parameters
    ----------
    share : share found, 0 to 1 [1].
    trials : above 0; need not be whole [1].
    z : standard score of the interval [1].

    Returns
    -------
    Lower and upper bound [1].

    Raises
    ------
    ValueError : where there are no trials or the share is not one.
    """
    if not (trials > 0.0 and 0.0 <= share <= 1.0):
        raise ValueError("Wilson's interval needs trials and a share of 0 to 1")
    z2 = z * z / trials
    middle = (share + z2 / 2.0) / (1.0 + z2)
    half = z / (1.0 + z2) * math.sqrt(share * (1.0 - share) / trials + z2 / (4.0 * trials))
    return max(0.0, middle - half), min(1.0, middle + half)


@lru_cache(maxsize=512)
def student_t(freedom: int, below: float = 0.975) -> float:
    """Return Student's t that a share of all values stay below.

    Parameters
    ----------
    freedom : degrees of freedom, from 1.
    below : that share, from 0.5 to below 1 [1].

    Returns
    -------
    The quantile [1].

    Raises
    ------
    ValueError : where there is no freedom or no such share.
    """
    if freedom < 1 or not 0.5 <= below < 1.0:
        raise ValueError("Student's t needs a degree of freedom and a share from 0.5 to below 1")
    within = 2.0 * below - 1.0
    low, high = 0.0, math.pi / 2.0
    for _ in range(_HALVINGS):
        middle = (low + high) / 2.0
        low, high = (middle, high) if _within(middle, freedom) < within else (low, middle)
    return math.sqrt(freedom) * math.tan(low)


def _within(angle: float, freedom: int) -> float:
    """Return the share of values between minus and plus t, with angle = atan(t / sqrt(freedom))."""
    cosine, sine = math.cos(angle), math.sin(angle)
    is_odd = freedom % 2 == 1
    term = cosine if is_odd else 1.0
    total = 0.0
    for step in range(3 if is_odd else 2, freedom + 1, 2):
        total += term
        term *= cosine * cosine * (step - 1) / step
    return 2.0 / math.pi * (angle + sine * total) if is_odd else sine * total
