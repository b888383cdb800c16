"""How the choices of a field read on the screen."""

from __future__ import annotations

from typing import Any

from model.scenario.chemistries import CHEMISTRIES

_WORDS = {
    "watch": "listening watch",
    "voice": "voice (SSB)",
    "morse": "Morse (CW)",
    "fm": "FM",
    "slots": "slotted data (15 s)",
    "arq": "connected data (ARQ)",
    "data": "in data blocks",
    "mppt": "MPPT",
    "pwm": "PWM",
    "open": "in the open",
    "warm": "in a warm place",
    "flat": "flat on the ground",
    "measured": "measured",
    "datasheet": "datasheet",
    "guess": "guess",
} | {name: each.label for name, each in CHEMISTRIES.items()}


# What a choice means, by the name of its field.
_TIPS = {
    ("activity", "off"): "The radio is switched off.",
    ("activity", "watch"): "The receiver is on for a share of the time; nothing is sent.",
    ("activity", "voice"): "Speech on single sideband: the current follows the voice.",
    ("activity", "morse"): "Keyed carrier: on for 22 of 50 units of the word PARIS.",
    ("activity", "fm"): "Full carrier for as long as the key is held.",
    ("activity", "slots"): "Weak-signal data in slots of 15 s, sent in every other one at most.",
    ("activity", "arq"): "Data with acknowledgement, such as mail: full power in bursts.",
    ("kind", "mppt"): "Seeks the panel's best point and turns surplus volts into amperes.",
    ("kind", "pwm"): "Ties the panel to the battery: the panel works at battery volts.",
    ("mount", "flat"): "Lies flat on the ground all day.",
    ("mount", "fixed"): "Stands at one tilt and bearing all day.",
    ("mount", "re-aimed"): "Somebody turns it to the sun every so many hours.",
    ("wiring", "parallel"): "Plus to plus: the amperes add up.",
    ("wiring", "series"): "One after another: the volts add up, and they shock and arc.",
    ("kept", "open"): "The cells follow the air in about 2 h.",
    ("kept", "insulated"): "In a padded box: the cells follow the air in about 8 h.",
    ("kept", "warm"): "In a tent or a sleeping bag, never below the temperature set.",
    ("in_session", "standby"): "Powered, with RF passing by, between transmissions.",
    ("in_session", "operate"): "Ready between transmissions too: idle current flows.",
    ("out_of_session", "off"): "No current; RF passes through.",
    ("out_of_session", "standby"): "Powered, with RF passing by.",
    ("out_of_session", "operate"): "Ready all night: idle current flows all the time.",
    ("runs", "always"): "In use all the time.",
    ("runs", "data"): "In use in data blocks, asleep otherwise.",
    ("runs", "never"): "Carried but off.",
    ("for", "radio"): "From the battery's lead on to the radio.",
    ("for", "amplifier"): "From the battery's lead on to the amplifier.",
    ("for", "panel"): "From the panel to the controller.",
    ("for", "battery"): "From the battery to where the loads part: all currents flow here.",
} | {("chemistry", name): each.help for name, each in CHEMISTRIES.items()}


def tip_of(path: str, value: Any) -> str:
    """Return what a choice of the field at a path means; empty where its word says it."""
    return _TIPS.get((path.rpartition(".")[2], value), "")


def word_of(value: Any) -> str:
    """Return a choice as a person reads it."""
    return _WORDS.get(value, str(value)) if isinstance(value, str) else str(value)
