"""Every chemistry a battery may be of, one entry each: all that depends on it stands here.

Whoever adds a chemistry adds an entry. The words a file may use, the form's choices, the run, the
page, the library and the cautions read it.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from model.scenario.cautions import (
    FROST,
    HOT_VEHICLE,
    LEAD_ACID,
    NIMH,
    OVER_VOLTAGE,
    PROTECTION,
    SHORT_CIRCUIT,
    SLEEPING_BAG,
    WARMED,
    Caution,
)

Curve = tuple[tuple[float, float], ...]


@dataclass(frozen=True)
class Chemistry:
    """What a chemistry fixes of one cell.

    Attributes
    ----------
    family : what its kind is called in a sentence.
    label, help : as a choice in a form, and what it means.
    cells : usual count in series of a battery for 12 V.
    nominal_cell_v : volts that the energy on a label is reckoned with, a convention of the trade.
    rest_v : open-circuit volts of a cell over its charge as a fraction.
    usable : share of the capacity that can be drawn at the 20-hour current, over cell temperature
        [°C].
    cold_rate_excess : what the cold adds to the exponent by which more current gives less, over
        cell temperature; none is nothing [°C], [1].
    cold_spread_fraction : half-width of the 95 % band of ``usable`` in hard cold, from one cell to
        another, of the capacity [1].
    resistance_by_c : resistance over that at 25 °C, over cell temperature [°C].
    resistance_by_charge : resistance over that at full, over charge as a fraction.
    absorption_v : volts of a cell that charging must not exceed.
    acceptance_h : hours of the exponential in which the last charge is taken; 0 is no limit.
    rate_exponent : Peukert exponent above the 20-hour current; 1 is none.
    lowest_charge_c : cell temperature below which charging is refused, if a file is silent [°C].
    charge_rate_per_h : most charging current over the capacity, over cell temperature; warmer than
        its last point is without limit, none is without any [°C], [1/h].
    frost_harms : whether charging below 0 °C harms the cells for good.
    reserve_fraction : charge a new station keeps back [1].
    harmed_below_cell_v : rest below which discharge costs life; None where a board sees to it [V].
    usual_charge_efficiency : Ah that come back for each Ah put in, beyond which (by
        CHARGE_EFFICIENCY_MARGIN) an entered one is doubted; None where none is [1].
    flat_from_fraction, flat_to_fraction : charges between which rest volts are flat, and differ by
        what was last done as much as by charge; none where the first is above the second [1].
    cautions : what stands beside the battery and on the station's page, the gravest first.
    """

    family: str
    label: str
    help: str
    cells: int
    nominal_cell_v: float
    rest_v: Curve
    usable: Curve
    resistance_by_c: Curve
    resistance_by_charge: Curve
    absorption_v: float
    lowest_charge_c: float
    reserve_fraction: float
    cautions: tuple[Caution, ...]
    acceptance_h: float = 0.0
    rate_exponent: float = 1.0
    cold_rate_excess: Curve = ()
    cold_spread_fraction: float = 0.0
    charge_rate_per_h: Curve = ()
    frost_harms: bool = False
    harmed_below_cell_v: float | None = None
    usual_charge_efficiency: float | None = None
    flat_from_fraction: float = 1.0
    flat_to_fraction: float = 0.0


CHARGE_EFFICIENCY_MARGIN = 0.1
_LITHIUM_CAUTIONS = (FROST, SHORT_CIRCUIT, PROTECTION, WARMED, SLEEPING_BAG, HOT_VEHICLE)
_LEAD_CAUTIONS = (LEAD_ACID, PROTECTION)
# Common practice, no source.
LEAD_KINDEST_CELL_V = 1.75
# A maker's table: none below 0 °C, 0.1 of the capacity in an hour from 0 to 5 °C, 0.1 to 0.2 from 5
# to 10 °C; another maker's guideline gives 0.2 at most below 10 °C.
_COLD_LITHIUM_PER_H: Curve = ((0.0, 0.1), (5.0, 0.1), (10.0, 0.2))
# In the cold a high current leaves more in the cells: at the 20-hour current the curves give the
# upper part of what is reported, at the one-hour current its lower end (LFP 0.87 and 0.8 at 0 °C,
# 0.68 and 0.6 at -20 °C). Published values at -10 °C lie from 0.66 to 0.9, by cell and rate:
# nothing better is known than 15 points to each side. The exponents are a fit of ours to those.
_COLD_LITHIUM_EXCESS: Curve = (
    (-20.0, 0.04),
    (0.0, 0.03),
    (10.0, 0.015),
    (25.0, 0.0),
)
_COLD_LITHIUM_SPREAD = 0.15
_EVEN: Curve = ((0.0, 1.0), (1.0, 1.0))

CHEMISTRIES: dict[str, Chemistry] = {
    # Rest volts: Sunil, Pattipati and Balasingam, "Piecewise Linear Approximation of Battery
    # Open-Circuit Voltage", IEEE Trans. Instrum. Meas., 2025 (measured, data under MIT licence).
    # Cold: ranges reported in the trade, 80-90 % at 0 °C and 60-70 % at -20 °C.
    "LFP": Chemistry(
        family="lithium",
        label="lithium (LFP)",
        help="Lithium iron phosphate: flat voltage, about 3.3 V a cell.",
        cells=4,
        nominal_cell_v=3.2,
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
            (-40.0, 0.42),
            (-20.0, 0.68),
            (-10.0, 0.79),
            (0.0, 0.87),
            (10.0, 0.95),
            (25.0, 1.0),
        ),
        cold_rate_excess=_COLD_LITHIUM_EXCESS,
        cold_spread_fraction=_COLD_LITHIUM_SPREAD,
        resistance_by_c=((-20.0, 3.0), (0.0, 1.7), (10.0, 1.3), (25.0, 1.0), (45.0, 0.9)),
        resistance_by_charge=_EVEN,
        absorption_v=3.60,
        lowest_charge_c=0.0,
        charge_rate_per_h=_COLD_LITHIUM_PER_H,
        frost_harms=True,
        reserve_fraction=0.2,
        flat_from_fraction=0.2,
        flat_to_fraction=0.9,
        cautions=_LITHIUM_CAUTIONS,
    ),
    # Rest volts and cold of a nickel-manganese-cobalt cell: from memory, common practice.
    "Li-ion": Chemistry(
        family="lithium",
        label="lithium-ion",
        help="Lithium-ion with cobalt, nickel or manganese: about 3.7 V a cell.",
        cells=4,
        nominal_cell_v=3.7,
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
        usable=((-40.0, 0.32), (-20.0, 0.57), (0.0, 0.82), (10.0, 0.93), (25.0, 1.0)),
        cold_rate_excess=_COLD_LITHIUM_EXCESS,
        cold_spread_fraction=_COLD_LITHIUM_SPREAD,
        resistance_by_c=((-20.0, 3.0), (0.0, 1.7), (10.0, 1.3), (25.0, 1.0), (45.0, 0.9)),
        resistance_by_charge=_EVEN,
        absorption_v=4.20,
        lowest_charge_c=0.0,
        charge_rate_per_h=_COLD_LITHIUM_PER_H,
        frost_harms=True,
        reserve_fraction=0.2,
        cautions=(*_LITHIUM_CAUTIONS, OVER_VOLTAGE),
    ),
    # Rest volts: an AGM table of public firmware documentation, smoothed within 0.05 V of a table
    # of the battery trade body (12.65 to 11.89 V). Cold: an AGM maker's figures, 0.84 at 0 °C.
    # Resistance: 1.5 times at half charge, 2 times cold, common practice, no source.
    "AGM": Chemistry(
        family="lead-acid",
        label="lead-acid (AGM)",
        help="Sealed, with glass mat; heavy, and gives less at high current.",
        cells=6,
        nominal_cell_v=2.0,
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
        lowest_charge_c=-20.0,
        reserve_fraction=0.5,
        harmed_below_cell_v=LEAD_KINDEST_CELL_V,
        usual_charge_efficiency=0.85,
        cautions=_LEAD_CAUTIONS,
    ),
    # Rest volts: table of the battery trade body at 26.7 °C. Cold: reciprocals of the sizing
    # factors of IEEE Std 485 table 1 (1.40 at 0 °C, 1.59 at -6.7 °C).
    "flooded": Chemistry(
        family="lead-acid",
        label="lead-acid (flooded)",
        help="Liquid acid: keep it upright and ventilated.",
        cells=6,
        nominal_cell_v=2.0,
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
        lowest_charge_c=-20.0,
        reserve_fraction=0.5,
        harmed_below_cell_v=LEAD_KINDEST_CELL_V,
        usual_charge_efficiency=0.85,
        cautions=_LEAD_CAUTIONS,
    ),
    # From memory, common practice.
    "NiMH": Chemistry(
        family="NiMH",
        label="NiMH",
        help="Nickel metal hydride: about 1.2 V a cell.",
        cells=10,
        nominal_cell_v=1.2,
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
        lowest_charge_c=0.0,
        reserve_fraction=0.2,
        cautions=(NIMH, PROTECTION),
    ),
}


def by_family(said: Callable[[Chemistry], str], words: str) -> str:
    """Return what differs by family as a list: ``4 for lithium, 6 for lead``.

    Parameters
    ----------
    words : one entry of the list, with the places ``{said}`` and ``{families}``.
    """
    families: dict[str, list[str]] = {}
    for one in CHEMISTRIES.values():
        among = families.setdefault(said(one), [])
        if one.family not in among:
            among.append(one.family)
    return ", ".join(
        words.format(said=key, families=" and ".join(among)) for key, among in families.items()
    )
