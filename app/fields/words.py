"""How the choices of a field read on the screen."""

from __future__ import annotations

from typing import Any

_WORDS = {
    "watch": "listening watch",
    "voice": "voice (SSB)",
    "morse": "Morse (CW)",
    "fm": "FM",
    "slots": "slotted data (15 s)",
    "arq": "connected data (ARQ)",
    "data": "in data blocks",
    "AGM": "lead AGM",
    "flooded": "lead flooded",
    "LFP": "lithium LFP",
    "Li-ion": "lithium-ion",
    "mppt": "MPPT",
    "pwm": "PWM",
    "open": "in the open",
    "warm": "in a warm place",
    "flat": "flat on the ground",
    "measured": "measured",
    "datasheet": "datasheet",
    "guess": "guess",
}


def word_of(value: Any) -> str:
    """Return a choice as a person reads it."""
    return _WORDS.get(value, str(value)) if isinstance(value, str) else str(value)
