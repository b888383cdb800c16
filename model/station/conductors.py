"""Resistance of copper leads, from conductor size, length both ways and joints."""

from __future__ import annotations

from math import pi
from typing import Any

from model.scenario.station import Lead, Station

# Annealed copper at 20 °C and its temperature coefficient: IEC 60028.
COPPER_OHM_M = 1.7241e-8
COPPER_PER_C = 0.00393
REFERENCE_C = 20.0


def awg_diameter_mm(awg: float) -> float:
    """Return the diameter of a solid conductor: 0.005 in x 92^((36 - n)/39).

    Parameters
    ----------
    awg : number of the gauge [AWG].

    Returns
    -------
    Diameter [mm].

    References
    ----------
    ASTM B258, "Standard nominal diameters and cross-sectional areas of AWG sizes of solid round
    wires".
    """
    return float(0.127 * 92 ** ((36 - awg) / 39))


def awg_mm2(awg: float) -> float:
    """Return the cross-section of an AWG number.

    Parameters
    ----------
    awg : number of the gauge [AWG].

    Returns
    -------
    Area [mm²].
    """
    return pi / 4 * awg_diameter_mm(awg) ** 2


def conductor_mm2(lead: Lead) -> float | None:
    """Return the cross-section of a lead, whichever way it was given.

    Parameters
    ----------
    lead : one lead.

    Returns
    -------
    Area, None where neither is given [mm²].
    """
    if lead.size_mm2 is not None:
        return lead.size_mm2
    return None if lead.awg is None else awg_mm2(lead.awg)


def copper_ohm_per_m(size_mm2: float, temperature_c: Any = REFERENCE_C) -> Any:
    """Return the resistance of one conductor, linear in the temperature.

    Parameters
    ----------
    size_mm2 : cross-section [mm²].
    temperature_c : of the copper, any shape [degC].

    Returns
    -------
    Resistance per length, of the shape of the temperature [ohm/m].

    References
    ----------
    IEC 60028, "International standard of resistance for copper".
    """
    warm = 1 + COPPER_PER_C * (temperature_c - REFERENCE_C)
    return COPPER_OHM_M / (size_mm2 * 1e-6) * warm


def lead_ohm(lead: Lead, temperature_c: float = REFERENCE_C) -> float:
    """Return the resistance of a lead: both conductors and all its joints.

    Parameters
    ----------
    lead : one lead; copper of unknown size counts as none.
    temperature_c : of the copper [degC].

    Returns
    -------
    Resistance out and back [ohm].
    """
    size_mm2 = conductor_mm2(lead)
    copper: float = copper_ohm_per_m(size_mm2, temperature_c) if size_mm2 else 0.0
    return 2 * lead.one_way_m * copper + lead.joints_mohm / 1000


def path_ohm(station: Station, feeds: str, temperature_c: float = REFERENCE_C) -> float:
    """Return the resistance of all leads in line to a part.

    Parameters
    ----------
    station : whose leads.
    feeds : what they lead to.
    temperature_c : of the copper [degC].

    Returns
    -------
    Resistance out and back, 0 where there is no lead [ohm].
    """
    return sum(lead_ohm(lead, temperature_c) for lead in station.leads if lead.feeds == feeds)
