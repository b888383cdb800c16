"""Resistance measured with two loads: volts and amperes on receive, then with the key down."""

from __future__ import annotations

from dataclasses import dataclass

from model.results.voltage_drop import Chain, Link
from model.scenario.station import Battery
from model.support.figures import entered

# Digits that a hand-held meter leaves in doubt: common practice, no source.
METER_DOUBT_V = 0.02
LEAST_STEP_A = 0.5


@dataclass(frozen=True)
class LoadReading:
    """What a meter shows at one place under one load [V], [A]."""

    read_v: float
    current_a: float


@dataclass(frozen=True)
class Measured:
    """What two loads tell.

    Attributes
    ----------
    resistance_ohm : of everything between the cells and where the volts were read [ohm].
    doubt_ohm : how far that may be off for the meter's last digits [ohm].
    rest_v : volts without any load, carried back on the line through both [V].
    """

    resistance_ohm: float
    doubt_ohm: float
    rest_v: float

    def lost_v(self, current_a: float) -> float:
        """Return the volts that this resistance loses at a current [V]."""
        return self.resistance_ohm * current_a


def resistance_of(light: LoadReading, heavy: LoadReading) -> Measured:
    """Return ``(V_light - V_heavy) / (I_heavy - I_light)``.

    Raises
    ------
    ValueError
        When the two loads cannot tell a resistance; the message says what to do.
    """
    step_a = heavy.current_a - light.current_a
    if step_a < LEAST_STEP_A:
        raise ValueError(
            f"The second load must draw at least {entered(LEAST_STEP_A, 'A')} more than the first."
        )
    if heavy.read_v > light.read_v:
        raise ValueError(
            "The voltage rose under the heavier load: something is charging, or the readings are"
            " swapped."
        )
    resistance = (light.read_v - heavy.read_v) / step_a
    return Measured(resistance, METER_DOUBT_V / step_a, light.read_v + resistance * light.current_a)


def surplus_mohm(measured: Measured, chain: Chain, battery: Battery) -> float:
    """Return resistance measured at the radio beyond the chain's own figures [mohm].

    The battery counts as at 25 °C and full: that is where a bench stands.
    """
    leads = sum(link.resistance_mohm for link in _leads_to_the_radio(chain))
    return 1000 * (measured.resistance_ohm - battery.resistance_ohm / battery.count) - leads


def joints_that_explain(
    measured: Measured, chain: Chain, battery: Battery
) -> tuple[int, float] | None:
    """Return the lead nearest the radio and the joints that would explain a measurement.

    Returns
    -------
    Place of the lead in the station and its joints [mohm], never below 0; None where no lead
    leads to the radio.
    """
    joints = [link for link in _leads_to_the_radio(chain) if link.kind == "joints"]
    if not joints or joints[-1].lead_index is None:
        return None
    explained = joints[-1].resistance_mohm + surplus_mohm(measured, chain, battery)
    return joints[-1].lead_index, max(explained, 0.0)


def battery_ohm_that_explains(measured: Measured, battery: Battery) -> float:
    """Return the resistance of one battery from readings at the terminals, full, at 25 °C [ohm]."""
    return measured.resistance_ohm * battery.count


def _leads_to_the_radio(chain: Chain) -> list[Link]:
    """Return all links outside the battery on the way to the radio, outwards."""
    return [link for link in chain.links if link.kind != "cells" and link.branch != "amplifier"]
