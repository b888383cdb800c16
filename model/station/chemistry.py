"""What the chemistry of a battery fixes: rest volts, cold, resistance, charging, rate."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from model.scenario.station import Battery

Floats = NDArray[np.float64]
Curve = tuple[tuple[float, float], ...]

# Steps of the uniform table that the step rule looks volts up in.
TABLE_STEPS = 1000
REFERENCE_C = 25.0


@dataclass(frozen=True)
class Chemistry:
    """Curves of one cell.

    Attributes
    ----------
    rest_v : open-circuit volts of a cell over its charge as a fraction.
    usable : share of the capacity that can be drawn over cell temperature [°C].
    resistance_by_c : resistance over that at 25 °C, over cell temperature [°C].
    resistance_by_charge : resistance over that at full, over charge as a fraction.
    absorption_v : volts of a cell that charging must not exceed.
    acceptance_h : hours of the exponential in which lead takes its last charge; 0 is no limit.
    rate_exponent : Peukert exponent above the 20-hour current; 1 is none.
    """

    rest_v: Curve
    usable: Curve
    resistance_by_c: Curve
    resistance_by_charge: Curve
    absorption_v: float
    acceptance_h: float = 0.0
    rate_exponent: float = 1.0


_EVEN: Curve = ((0.0, 1.0), (1.0, 1.0))

CHEMISTRIES: dict[str, Chemistry] = {
    # Rest volts: Sunil, Pattipati and Balasingam, "Piecewise Linear Approximation of Battery
    # Open-Circuit Voltage", IEEE Trans. Instrum. Meas., 2025 (measured, data under MIT licence).
    # Cold: ranges reported in the trade, 80-90 % at 0 °C and 60-70 % at -20 °C.
    "LFP": Chemistry(
        rest_v=(
            (0.0, 2.010),
            (0.0033, 2.418),
            (0.01, 2.702),
            (0.02, 2.864),
            (0.05, 3.072),
            (0.10, 3.203),
            (0.15, 3.216),
            (0.20, 3.241),
            (0.30, 3.278),
            (0.40, 3.295),
            (0.50, 3.299),
            (0.60, 3.303),
            (0.70, 3.316),
            (0.80, 3.337),
            (0.90, 3.341),
            (0.95, 3.343),
            (0.98, 3.348),
            (0.99, 3.370),
            (0.995, 3.418),
            (1.0, 3.598),
        ),
        usable=(
            (-40.0, 0.40),
            (-20.0, 0.65),
            (-10.0, 0.76),
            (0.0, 0.85),
            (10.0, 0.94),
            (25.0, 1.0),
        ),
        resistance_by_c=((-20.0, 3.0), (0.0, 1.7), (10.0, 1.3), (25.0, 1.0), (45.0, 0.9)),
        resistance_by_charge=_EVEN,
        absorption_v=3.60,
    ),
    # Rest volts and cold of a nickel-manganese-cobalt cell: from memory, common practice.
    "Li-ion": Chemistry(
        rest_v=(
            (0.0, 3.00),
            (0.05, 3.35),
            (0.10, 3.48),
            (0.20, 3.58),
            (0.30, 3.63),
            (0.40, 3.68),
            (0.50, 3.74),
            (0.60, 3.83),
            (0.70, 3.92),
            (0.80, 4.01),
            (0.90, 4.09),
            (1.0, 4.18),
        ),
        usable=((-40.0, 0.30), (-20.0, 0.55), (0.0, 0.80), (10.0, 0.92), (25.0, 1.0)),
        resistance_by_c=((-20.0, 3.0), (0.0, 1.7), (10.0, 1.3), (25.0, 1.0), (45.0, 0.9)),
        resistance_by_charge=_EVEN,
        absorption_v=4.20,
    ),
    # Rest volts: an AGM table of public firmware documentation, smoothed within 0.05 V of a table
    # of the battery trade body (12.65 to 11.89 V). Cold: an AGM maker's figures, 0.84 at 0 °C.
    # Resistance: 1.5 times at half charge, 2 times cold, common practice, no source.
    "AGM": Chemistry(
        rest_v=(
            (0.0, 1.925),
            (0.10, 1.970),
            (0.20, 1.993),
            (0.30, 2.010),
            (0.40, 2.020),
            (0.50, 2.035),
            (0.60, 2.053),
            (0.70, 2.070),
            (0.80, 2.085),
            (0.90, 2.103),
            (1.0, 2.133),
        ),
        usable=(
            (-40.0, 0.25),
            (-20.0, 0.55),
            (0.0, 0.84),
            (5.0, 0.88),
            (10.0, 0.90),
            (15.0, 0.94),
            (20.0, 0.99),
            (25.0, 1.0),
        ),
        resistance_by_c=((-20.0, 2.5), (0.0, 1.6), (10.0, 1.25), (25.0, 1.0), (45.0, 0.9)),
        resistance_by_charge=((0.0, 2.2), (0.5, 1.5), (1.0, 1.0)),
        absorption_v=2.42,
        acceptance_h=2.0,
        rate_exponent=1.12,
    ),
    # Rest volts: table of the battery trade body at 26.7 °C. Cold: reciprocals of the sizing
    # factors of IEEE Std 485 table 1 (1.40 at 0 °C, 1.59 at -6.7 °C).
    "flooded": Chemistry(
        rest_v=((0.0, 1.982), (0.25, 2.010), (0.50, 2.040), (0.75, 2.075), (1.0, 2.108)),
        usable=(
            (-40.0, 0.20),
            (-20.0, 0.47),
            (-6.7, 0.629),
            (-3.9, 0.658),
            (0.0, 0.714),
            (4.4, 0.769),
            (10.0, 0.840),
            (15.6, 0.901),
            (21.1, 0.962),
            (25.0, 1.0),
        ),
        resistance_by_c=((-20.0, 2.5), (0.0, 1.6), (10.0, 1.25), (25.0, 1.0), (45.0, 0.9)),
        resistance_by_charge=((0.0, 2.2), (0.5, 1.5), (1.0, 1.0)),
        absorption_v=2.42,
        acceptance_h=2.0,
        rate_exponent=1.25,
    ),
    # From memory, common practice.
    "NiMH": Chemistry(
        rest_v=(
            (0.0, 1.00),
            (0.05, 1.15),
            (0.10, 1.20),
            (0.30, 1.25),
            (0.50, 1.28),
            (0.70, 1.30),
            (0.90, 1.35),
            (1.0, 1.41),
        ),
        usable=((-40.0, 0.20), (-20.0, 0.50), (0.0, 0.80), (10.0, 0.93), (25.0, 1.0)),
        resistance_by_c=((-20.0, 2.5), (0.0, 1.5), (25.0, 1.0), (45.0, 0.9)),
        resistance_by_charge=_EVEN,
        absorption_v=1.50,
    ),
}


def interpolate(curve: Curve, at: Floats) -> Floats:
    """Return a curve read at each value, held constant beyond its ends; shape of ``at``."""
    x, y = zip(*curve, strict=True)
    return np.asarray(np.interp(at, x, y), dtype=np.float64)


def rest_v(chemistry: str, cells: int, fraction: Floats) -> Floats:
    """Return open-circuit volts of a battery at charge fractions; shape of ``fraction``. [V]"""
    return cells * interpolate(CHEMISTRIES[chemistry].rest_v, fraction)


@lru_cache(maxsize=64)
def rest_table_v(chemistry: str, cells: int) -> tuple[float, ...]:
    """Return rest volts at TABLE_STEPS + 1 even charge fractions from 0 to 1 [V]."""
    return tuple(rest_v(chemistry, cells, np.linspace(0, 1, TABLE_STEPS + 1)).tolist())


@lru_cache(maxsize=64)
def rest_lines_v(chemistry: str, cells: int) -> tuple[tuple[float, ...], tuple[float, ...]]:
    """Return each piece of the rest table as a line over the place in it, 0 to TABLE_STEPS.

    Volts at place 0 and rise from one place to the next, each of TABLE_STEPS pieces [V].
    """
    table = np.array(rest_table_v(chemistry, cells))
    rise = np.diff(table)
    return tuple((table[:-1] - np.arange(TABLE_STEPS) * rise).tolist()), tuple(rise.tolist())


@lru_cache(maxsize=64)
def charge_resistance_factor(chemistry: str) -> tuple[float, ...]:
    """Return resistance over that at full, at TABLE_STEPS + 1 even charge fractions [1]."""
    curve = CHEMISTRIES[chemistry].resistance_by_charge
    return tuple(interpolate(curve, np.linspace(0, 1, TABLE_STEPS + 1)).tolist())


def absorption_v(battery: Battery) -> float:
    """Return the terminal volts that charging does not exceed [V]."""
    return CHEMISTRIES[battery.chemistry].absorption_v * battery.cells_in_series


def label_wh(battery: Battery) -> float:
    """Return the energy printed on the label: rated Ah times nominal cell volts [Wh].

    Nominal cell volts are a convention of the trade: LFP 3.2, lithium-ion 3.7, lead 2.0,
    NiMH 1.2.
    """
    return (
        battery.capacity_ah
        * battery.count
        * battery.cells_in_series
        * NOMINAL_CELL_V[battery.chemistry]
    )


NOMINAL_CELL_V = {"LFP": 3.2, "Li-ion": 3.7, "AGM": 2.0, "flooded": 2.0, "NiMH": 1.2}
