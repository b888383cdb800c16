"""Two factors per kind of emission, never to be mixed.

The *duty factor* is mean RF power over peak envelope power while sending: exposure and heat.
The *current factor* is the mean of sqrt(p / PEP): it multiplies the part of the supply current
that follows the envelope, hence the battery.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from model.scenario.scenario import Activity

# A slotted mode sends 79 symbols of 0.160 s in every second slot of 15 s. Franke, Somerville and
# Taylor, "The FT4 and FT8 Communication Protocols", QEX, July/August 2020.
SLOT_S = 15.0
SLOT_SENDING_S = 12.64
HIGHEST_SLOT_SHARE = SLOT_SENDING_S / (2 * SLOT_S)


@dataclass(frozen=True)
class Emission:
    """Factors of an emission while the transmitter is on, both in 0..1 [1]."""

    duty_factor: float
    current_factor: float


# Voice duty factors: FCC OET Bulletin 65 Supplement B, table 2. Voice current factors: common
# practice, no source. Morse: the word PARIS with its space has 22 of 50 units keyed, ITU-R M.1677.
_VOICE = Emission(0.20, 0.35)
_VOICE_PROCESSED = Emission(0.50, 0.55)
_MORSE = Emission(0.44, 0.44)
_CONSTANT_ENVELOPE = Emission(1.0, 1.0)


def emission(activity: Activity, *, processed: bool = False) -> Emission:
    """Return both factors of an activity; speech processing matters to voice alone."""
    if activity == "voice":
        return _VOICE_PROCESSED if processed else _VOICE
    if activity == "morse":
        return _MORSE
    return _CONSTANT_ENVELOPE


def mean_a(bias_a: Any, peak_a: Any, current_factor: Any) -> Any:
    """Return the mean of bias + peak * sqrt(p / PEP) over an emission.

    Parameters
    ----------
    bias_a, peak_a : standing current, and what full envelope adds, number or any shape [A].
    current_factor : mean of sqrt(p / PEP), of a shape that goes with them [1].

    Returns
    -------
    Mean current, of their common shape [A].
    """
    return bias_a + current_factor * peak_a


def mean_square_a2(bias_a: Any, peak_a: Any, factors: Emission) -> Any:
    """Return the mean of (bias + peak * sqrt(p / PEP))² over an emission.

    It is the heat in leads and battery; the mean current alone would miss part of it.

    Parameters
    ----------
    bias_a, peak_a : standing current, and what full envelope adds, number or any shape [A].
    factors : both factors of the emission.

    Returns
    -------
    Mean square, of their common shape [A²].
    """
    return (
        bias_a**2 + 2 * bias_a * factors.current_factor * peak_a + peak_a**2 * factors.duty_factor
    )
