"""How a station makes RF: with the radio alone or through the amplifier."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from math import sqrt

from model.scenario.scenario import Block
from model.scenario.station import Amplifier, AmplifierState, Radio, Station
from model.station.key_down_law import KeyDownLaw, fit

_NOTHING = KeyDownLaw(0.0, 0.0)


@dataclass(frozen=True)
class SendingWay:
    """One way to make RF, with both currents as laws of the output power.

    Attributes
    ----------
    amplified : whether the amplifier is in line and working.
    radio, amplifier : currents over the station's output power, not over the drive.
    lowest_w, highest_w : range of output power [W].
    """

    amplified: bool
    radio: KeyDownLaw
    amplifier: KeyDownLaw
    lowest_w: float
    highest_w: float

    def current_a(self, rf_w: float) -> float:
        """Return the key-down current of radio and amplifier together [A]."""
        return self.radio.current_a(rf_w) + self.amplifier.current_a(rf_w)


def alone(station: Station) -> SendingWay:
    """Return the way with the radio alone."""
    return _alone(station.radio)


def amplified(station: Station) -> SendingWay | None:
    """Return the way through the amplifier, or None where there is none.

    The radio then works at the output divided by the gain; the output is at most the gain times
    the radio's highest power, and at most the amplifier's own.
    """
    return None if station.amplifier is None else _amplified(station.radio, station.amplifier)


# Remembered by the parts that matter: to look up a whole station costs more than the sum.
@lru_cache(maxsize=256)
def _alone(radio: Radio) -> SendingWay:
    return SendingWay(False, fit(radio.key_down), _NOTHING, radio.lowest_rf_w, radio.highest_rf_w)


@lru_cache(maxsize=256)
def _amplified(radio: Radio, amplifier: Amplifier) -> SendingWay:
    gain = 10 ** (amplifier.gain_db / 10)
    driver = fit(radio.key_down)
    return SendingWay(
        True,
        KeyDownLaw(driver.bias_a, driver.root_a / sqrt(gain)),
        fit(amplifier.key_down),
        radio.lowest_rf_w * gain,
        min(amplifier.highest_rf_w, gain * radio.highest_rf_w),
    )


def way_for(station: Station, rf_w: float) -> tuple[SendingWay, float]:
    """Return the way that comes nearest to a power, and the power it then gives.

    The radio alone is preferred where it can do as much.

    Parameters
    ----------
    station : radio and amplifier.
    rf_w : the power asked for, before the tuner [W].

    Returns
    -------
    The way, and what it gives of the power [W].
    """
    bare, boosted = alone(station), amplified(station)
    by_itself = min(rf_w, bare.highest_w)
    if boosted is not None and min(rf_w, boosted.highest_w) > by_itself:
        return boosted, min(rf_w, boosted.highest_w)
    return bare, by_itself


def given_rf_w(station: Station, block: Block) -> float:
    """Return the power this station gives in a block.

    Parameters
    ----------
    station : radio and amplifier.
    block : of the plan.

    Returns
    -------
    Power, 0 where nothing is sent [W].
    """
    return way_for(station, block.rf_w)[1] if block.sends else 0.0


def highest_planned_w(station: Station, plan: tuple[Block, ...]) -> float:
    """Return the highest power this station is to give in the plan.

    Parameters
    ----------
    station : radio and amplifier.
    plan : what is worked.

    Returns
    -------
    Power, 0 where nothing is sent [W].
    """
    return max((given_rf_w(station, block) for block in plan), default=0.0)


def idle_amplifier_a(station: Station, state: AmplifierState) -> float:
    """Return what the amplifier draws while it sends nothing.

    Parameters
    ----------
    station : its amplifier.
    state : off, standby or operate.

    Returns
    -------
    Current, 0 without an amplifier [A].
    """
    amplifier = station.amplifier
    if amplifier is None or state == "off":
        return 0.0
    return amplifier.standby_a if state == "standby" else amplifier.operate_a
