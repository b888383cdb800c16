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
    """Return the diameter of a solid conductor [mm]. ASTM B258: 0.005 in x 92^((36 - n)/39)."""
    return float(0.127 * 92 ** ((36 - awg) / 39))


def awg_mm2(awg: float) -> float:
    """Return the cross-section of an AWG number [mm²]."""
    return pi / 4 * awg_diameter_mm(awg) ** 2


def conductor_mm2(lead: Lead) -> float | None:
    """Return the cross-section of a lead, whichever way it was given; None where neither [mm²]."""
    if lead.size_mm2 is not None:
        return lead.size_mm2
    return None if lead.awg is None else awg_mm2(lead.awg)


def copper_ohm_per_m(size_mm2: float, temperature_c: Any = REFERENCE_C) -> Any:
    """Return the resistance of one conductor, of the shape of the temperature [ohm/m]."""
    warm = 1 + COPPER_PER_C * (temperature_c - REFERENCE_C)
    return COPPER_OHM_M / (size_mm2 * 1e-6) * warm


def lead_ohm(lead: Lead, temperature_c: float = REFERENCE_C) -> float:
    """Return the resistance of a lead: both conductors and all its joints [ohm]."""
    size_mm2 = conductor_mm2(lead)
    copper: float = copper_ohm_per_m(size_mm2, temperature_c) if size_mm2 else 0.0
    return 2 * lead.one_way_m * copper + lead.joints_mohm / 1000


def path_ohm(station: Station, feeds: str, temperature_c: float = REFERENCE_C) -> float:
    """Return the resistance of all leads in line to ``feeds``; none is 0 [ohm]."""
    return sum(lead_ohm(lead, temperature_c) for lead in station.leads if lead.feeds == feeds)
