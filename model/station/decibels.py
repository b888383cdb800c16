"""Ratios of power in decibels and in steps of a signal meter."""

from __future__ import annotations

from math import log10

# IARU Region 1 Technical Recommendation R.1: one S-unit is 6 dB.
S_UNIT_DB = 6.0


def decibels(power_w: float, other_w: float) -> float:
    """Return how far one power lies above another.

    Parameters
    ----------
    power_w, other_w : the powers, above 0 [W].

    Returns
    -------
    ``10 log10`` of their ratio [dB].
    """
    return 10 * log10(power_w / other_w)
