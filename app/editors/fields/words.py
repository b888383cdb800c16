"""How the choices of a field read on the screen."""

from __future__ import annotations

from typing import Any

from model.results.wording import choice_words
from model.scenario.chemistries import CHEMISTRIES
from model.scenario.power import AS_BATTERY

# What a choice means, by the name of its field.
_TIPS = {
    ("activity", "off"): "The radio is switched off.",
    ("activity", "watch"): "The receiver is on for a share of the time; no transmission.",
    ("activity", "voice"): "Speech on single sideband: the current follows the voice.",
    ("activity", "morse"): "Keyed carrier: on for 22 of 50 units of the word PARIS.",
    ("activity", "fm"): "Full carrier for as long as the key is held.",
    (
        "activity",
        "slots",
    ): "Weak-signal data in 15 s slots, transmitting in every other one at most.",
    ("activity", "arq"): "Data with acknowledgement, such as mail: full power in bursts.",
    ("kind", "mppt"): "Tracks the panel's maximum power point; surplus voltage becomes current.",
    ("kind", "pwm"): "Connects the panel straight through: it works at battery voltage.",
    ("mount", "flat"): "Lies flat on the ground all day.",
    ("mount", "fixed"): "Stands at one tilt and azimuth all day.",
    ("mount", "re-aimed"): "Somebody turns it to the sun every so many hours.",
    ("wiring", "parallel"): "Plus to plus: the currents add up.",
    ("wiring", "series"): "One after another: the voltages add up; they shock and arc.",
    ("kept", "open"): "The cells follow the air in about 2 h.",
    ("kept", "insulated"): "In a padded box: the cells follow the air in about 8 h.",
    ("kept", "warm"): "In a tent or a sleeping bag, never below the temperature entered.",
    ("in_session", "standby"): "Powered, with RF passing by, between transmissions.",
    ("in_session", "operate"): "Ready between transmissions too: idle current flows.",
    ("out_of_session", "off"): "No current; RF passes through.",
    ("out_of_session", "standby"): "Powered, with RF passing by.",
    ("out_of_session", "operate"): "Ready all night: idle current flows all the time.",
    ("runs", "always"): "In use all the time.",
    ("runs", "data"): "In use in data blocks, asleep otherwise.",
    ("runs", "never"): "Carried but off.",
    ("for", "radio"): "From the distribution to the radio.",
    ("for", "amplifier"): "From the distribution to the amplifier.",
    ("for", "panel"): "From the panel to the controller.",
    ("for", "battery"): "From the battery to the distribution: it carries all currents.",
    ("event", "none"): "Nothing but what the meters showed.",
    ("event", "off"): "The station went off the air at this minute.",
    ("event", "back"): "The station was on the air again at this minute.",
    ("event", "no change"): "Looked at: it worked as before.",
    ("profile", AS_BATTERY): "Set for the chemistry of the battery beside it.",
} | {
    (field, name): each.help
    for field in ("chemistry", "profile")
    for name, each in CHEMISTRIES.items()
}


def tip_of(path: str, value: Any) -> str:
    """Return what a choice of the field at a path means; empty where its word says it."""
    return _TIPS.get((path.rpartition(".")[2], value), "")


def word_of(value: Any) -> str:
    """Return a choice as a person reads it."""
    return choice_words(value) if isinstance(value, str) else str(value)
