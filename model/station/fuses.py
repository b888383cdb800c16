"""What conductors bear, and which fuse suits a lead: large enough to hold, never above the wire.

Indicative: electrical work defers to local codes and qualified persons.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from math import inf

from model.scenario.scenario import Block
from model.scenario.station import Lead, Station
from model.station.chemistry import nominal_v
from model.station.conductors import awg_mm2, conductor_mm2
from model.station.panel_curve import SHORT_CIRCUIT_OVER_BEST
from model.station.part_loads import most_drawn, most_offered_a
from model.station.transmit_path import highest_planned_w, way_for
from model.support.figures import amount, entered

# Blade fuses: ISO 8820-3 [A].
BLADE_RATINGS_A = (1.0, 2.0, 3.0, 4.0, 5.0, 7.5, 10.0, 15.0, 20.0, 25.0, 30.0, 40.0)
# Larger ones, as bolted fuses come: common practice, no source [A].
BOLTED_RATINGS_A = (50.0, 60.0, 80.0, 100.0, 125.0, 150.0, 200.0)
# A fuse carries at most this share of its rating for long: fuse makers' guides give 0.75 to 0.80.
CONTINUOUS_SHARE = 0.75
# A size in mm² that is rounded from an AWG number still counts as that number.
ROUNDED_SHARE = 0.97

INSULATIONS_C = (60, 75, 80, 90, 105, 125, 200)


@dataclass(frozen=True)
class ConductorTable:
    """Amperes that copper conductors bear, single in free air at 30 °C.

    Attributes
    ----------
    name : the law or standard, as it is to be cited.
    rows : AWG number, then the amperes at each of ``insulations_c``, thinnest first [A].
    bundled_factor : for the least number of live conductors run together, the factor on the
        amperes, largest number first [1].
    """

    name: str
    rows: tuple[tuple[int, tuple[float, ...]], ...]
    bundled_factor: tuple[tuple[int, float], ...]
    insulations_c: tuple[int, ...] = INSULATIONS_C


# United States law for boats. Its bundling factors, note 2, bind from 50 V on; below that they are
# a cautious choice for leads that run together. AWG 0 stands for 1/0; -1, -2 and -3 for 2/0 to 4/0.
BOATS = ConductorTable(
    "33 CFR 183.425, Table 5",
    (
        (18, (10, 10, 15, 20, 20, 25, 25)),
        (16, (15, 15, 20, 25, 25, 30, 35)),
        (14, (20, 20, 25, 30, 35, 40, 45)),
        (12, (25, 25, 35, 40, 45, 50, 55)),
        (10, (40, 40, 50, 55, 60, 70, 70)),
        (8, (55, 65, 70, 70, 80, 90, 100)),
        (6, (80, 95, 100, 100, 120, 125, 135)),
        (4, (105, 125, 130, 135, 160, 170, 180)),
        (3, (120, 145, 150, 155, 180, 195, 210)),
        (2, (140, 170, 175, 180, 210, 225, 240)),
        (1, (165, 195, 210, 210, 245, 265, 280)),
        (0, (195, 230, 245, 245, 285, 305, 325)),
        (-1, (225, 265, 285, 285, 330, 355, 370)),
        (-2, (260, 310, 330, 330, 385, 410, 430)),
        (-3, (300, 360, 385, 385, 445, 475, 510)),
    ),
    ((25, 0.40), (7, 0.50), (4, 0.60), (3, 0.70)),
)


@lru_cache(maxsize=512)
def bears_a(lead: Lead, table: ConductorTable = BOATS, live_conductors: int = 2) -> float | None:
    """Return what a lead bears for long.

    A size between two rows counts as the smaller one. Below the smallest row amperes shrink with
    the cross-section, which is on the safe side: thin wires cool better for their copper.

    Parameters
    ----------
    lead : one lead.
    table : the law that applies.
    live_conductors : conductors that carry current and run together, this lead's two included.

    Returns
    -------
    Current, None where the size is not given [A].
    """
    size_mm2 = conductor_mm2(lead)
    if size_mm2 is None:
        return None
    column = table.insulations_c.index(lead.insulation_c)
    factor = next(
        (factor for least, factor in table.bundled_factor if live_conductors >= least), 1.0
    )
    fitting = [
        amperes[column] for awg, amperes in table.rows if size_mm2 >= awg_mm2(awg) * ROUNDED_SHARE
    ]
    thinnest_awg, thinnest_a = table.rows[0]
    return factor * (
        fitting[-1] if fitting else thinnest_a[column] * size_mm2 / awg_mm2(thinnest_awg)
    )


@dataclass(frozen=True)
class FuseAdvice:
    """Which fuse a lead should have.

    Attributes
    ----------
    lead_index : place of the lead in the station.
    carries_a : most that the lead is to carry, with the key down [A].
    bears_a : what its conductor bears for long, inf where its size is unknown [A].
    fuse_a : the advised rating, None where none fits [A].
    holds_continuously : whether the rating also holds that current for long.
    fault : what is wrong with the fuse that is there; empty where nothing is.
    sentence : the advice in words.
    """

    lead_index: int
    carries_a: float
    bears_a: float
    fuse_a: float | None
    holds_continuously: bool
    fault: str
    sentence: str


def advise(
    station: Station,
    plan: tuple[Block, ...],
    table: ConductorTable = BOATS,
    live_conductors: int = 2,
) -> tuple[FuseAdvice, ...]:
    """Return advice for each lead, in their order; a fuse sits at the battery end."""
    carried = lead_currents_a(station, highest_planned_w(station, plan) or inf)
    return tuple(
        _advice(lead, index, carried[lead.feeds], bears_a(lead, table, live_conductors))
        for index, lead in enumerate(station.leads)
    )


def _advice(lead: Lead, index: int, carries: float, known: float | None) -> FuseAdvice:
    bears = inf if known is None else known
    fuse_a, continuous = fitting_fuse_a(carries, bears)
    return FuseAdvice(
        index,
        carries,
        bears,
        fuse_a,
        continuous,
        fuse_fault(lead, bears),
        _advice_in_words(lead, carries, bears, fuse_a, continuous=continuous),
    )


def fitting_fuse_a(carries_a: float, bears_a: float) -> tuple[float | None, bool]:
    """Return a standard rating for a current, and whether it holds that current for long.

    The smallest that is loaded to ``CONTINUOUS_SHARE`` at most; where the conductor does not bear
    that, the largest it bears that is not below the current.

    Parameters
    ----------
    carries_a, bears_a : key-down current, and what the conductor bears [A].

    Returns
    -------
    Rating, None where there is none [A], and whether it holds the current for long.
    """
    borne = [rating for rating in (*BLADE_RATINGS_A, *BOLTED_RATINGS_A) if rating <= bears_a]
    roomy = [rating for rating in borne if carries_a <= CONTINUOUS_SHARE * rating]
    if roomy:
        return roomy[0], True
    tight = [rating for rating in borne if rating >= carries_a]
    return (tight[-1], False) if tight else (None, False)


def fuse_fault(lead: Lead, bears: float) -> str:
    """Return what is wrong with a lead's fuse against its conductor, empty where nothing is.

    Parameters
    ----------
    lead : one lead.
    bears : what its conductor bears for long [A].

    Returns
    -------
    The sentence.
    """
    if lead.fuse_a is None or lead.fuse_a <= bears:
        return ""
    return (
        f"the fuse of {entered(lead.fuse_a, 'A')} is above the {amount(bears, 'A')} its conductor"
        " is rated"
        " for: in a short circuit the wire burns first"
    )


def _advice_in_words(
    lead: Lead, carries: float, bears: float, fuse_a: float | None, *, continuous: bool
) -> str:
    if lead.feeds == "panel":
        held = "is" if carries <= bears else "is not"
        return (
            f"The panel gives {amount(carries, 'A')} into a short circuit; its lead {held} rated"
            " for that."
        )
    if fuse_a is None:
        return (
            f"No fuse fits: it must carry {amount(carries, 'A')}, and the conductor is rated for"
            f" {amount(bears, 'A')}."
            " Use a thicker lead."
        )
    if continuous:
        return f"{entered(fuse_a, 'A')} at the battery carries the {amount(carries, 'A')} needed."
    return (
        f"{entered(fuse_a, 'A')} at the battery, the most the conductor is rated for, carries"
        f" {amount(carries, 'A')} in voice and Morse; a full-duty mode may open it. A thicker lead"
        " takes a larger fuse."
    )


def lead_currents_a(station: Station, rf_w: float) -> dict[str, float]:
    """Return the most that the leads to each part are to carry with the key down.

    Parameters
    ----------
    station : whose leads.
    rf_w : power sent; the station gives what it can of it [W].

    Returns
    -------
    Current by what the leads feed [A].
    """
    way, given_w = way_for(station, rf_w)
    radio_a = max(way.radio.current_a(given_w), station.radio.receive_a)
    amplifier_a = way.amplifier.current_a(given_w)
    if not amplifier_a and station.amplifier is not None:
        amplifier_a = max(station.amplifier.standby_a, station.amplifier.operate_a)
    both_a = radio_a + amplifier_a + _beside_a(station)
    return {
        "radio": radio_a,
        "amplifier": amplifier_a,
        "battery": max(both_a, _charging_a(station)),
        "panel": _panel_short_circuit_a(station),
    }


def _nominal_v(station: Station) -> float:
    battery = station.battery
    return nominal_v(battery)


def _beside_a(station: Station) -> float:
    laptop = station.laptop
    current_a, power_w = most_drawn(station)
    if laptop is not None and laptop.runs != "never":
        power_w += laptop.power_w / laptop.converter_efficiency
    return current_a + power_w / _nominal_v(station)


def _charging_a(station: Station) -> float:
    panel, controller = station.panel, station.controller
    given_a = max(most_offered_a(station), default=0.0)
    if panel is not None:
        from_panel_a = panel.rated_w * panel.count * (1 - panel.other_losses) / _nominal_v(station)
        if controller is not None and controller.output_limit_a is not None:
            from_panel_a = min(from_panel_a, controller.output_limit_a)
        given_a += from_panel_a
    return given_a


def _panel_short_circuit_a(station: Station) -> float:
    panel = station.panel
    if panel is None:
        return 0.0
    in_parallel = 1 if panel.wiring == "series" else panel.count
    return SHORT_CIRCUIT_OVER_BEST * panel.rated_w / panel.vmp_v * in_parallel
