"""The electric side of the panel: its most power, and the current it gives at any volts.

The current-volt curve is that of one ideal diode, ``I = Isc - I0 * (exp(V / a) - 1)``. Its knee is
chosen in every step so that the greatest ``V * I`` is exactly the power of the panel's rating at
this light and heat; so a panel tied to a battery can never give more than that.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from model.scenario.station import Panel
from model.sky.irradiance import PanelLight
from model.sky.timeline import Floats
from model.support.cache import kept_within, read_only

STC_W_M2 = 1000.0
STC_CELL_C = 25.0
STC_CELL_K = 298.15
# Median of 156 modules of 36 cells, 45-140 W, in the module list of the California Energy
# Commission: short-circuit current over current at the best point, 1.08; change of the
# short-circuit current, 0.0005 per degC; change of the open-circuit volts with the logarithm
# of the light, 0.045 (their single-diode curves at 50 to 1000 W/m2).
SHORT_CIRCUIT_OVER_BEST = 1.08
CURRENT_PER_C = 0.0005
VOLTS_PER_LOG_LIGHT = 0.045
# Fill factors an ideal diode can have; from 0.25, a straight line, towards 1, a rectangle.
FILL_FACTOR_MIN, FILL_FACTOR_MAX = 0.27, 0.93
OPEN_CIRCUIT_FLOOR = 0.05
LEAD_STEPS_LIMIT = 40
LEAD_SETTLED_V = 1e-11


@dataclass(frozen=True)
class PanelCurve:
    """The panels together in each step; all arrays read-only, shape (steps,).

    Attributes
    ----------
    maximum_w : power at the best point [W].
    maximum_power_v : volts at the best point; 0 in the dark [V].
    open_circuit_v : volts without a load; 0 in the dark [V].
    short_circuit_a : current into a short circuit [A].
    saturation_a : ``I0`` of the diode [A].
    knee_v : ``a`` of the diode, always above 0 [V].
    """

    maximum_w: Floats
    maximum_power_v: Floats
    open_circuit_v: Floats
    short_circuit_a: Floats
    saturation_a: Floats
    knee_v: Floats


def panel_curve(panel: Panel, light: PanelLight) -> PanelCurve:
    """Return power and current-volt curve of the panels in each step.

    ``maximum_w`` is ``rated_w * G / 1000 * (1 + power_per_c * (Tc - 25)) * (1 - other_losses) *
    count`` and never below 0. Volts count once for each panel in series, current once for each in
    parallel; other losses take current.

    Parameters
    ----------
    panel : of one kind, with count and wiring.
    light : into the cells, and their temperature, shape (steps,).

    Returns
    -------
    Power [W], volts [V] and currents [A] of all panels together, shape (steps,) each.

    References
    ----------
    A. P. Dobos, "PVWatts Version 5 Manual", NREL/TP-6A20-62641 (2014), for the power; the curve of
    one diode through it is described at the head of this file.
    """
    sunlight = light.irradiance_w_m2 / STC_W_M2
    warming = light.cell_c - STC_CELL_C
    one_w = _one_w(panel, light)
    lit = one_w > 0.0
    open_v = np.where(lit, _open_circuit_v(panel, sunlight, light.cell_c), 0.0)
    least_short_a = SHORT_CIRCUIT_OVER_BEST * panel.rated_w / panel.vmp_v * sunlight
    least_short_a = least_short_a * (1.0 + CURRENT_PER_C * warming) * (1.0 - panel.other_losses)
    fill = np.divide(one_w, open_v * least_short_a, out=np.full(lit.size, 0.7), where=lit)
    best, steepness, fill = diode_of_fill(fill)
    # Where the diode reaches the fill factor this is the current above; elsewhere current yields.
    short_a = np.divide(one_w, open_v * fill, out=np.zeros(lit.size), where=lit)
    knee_v = np.where(lit, open_v, panel.voc_v) / steepness
    volts, amperes = _wired(panel)
    return PanelCurve(
        maximum_w=read_only(one_w * panel.count),
        maximum_power_v=read_only(open_v * best / steepness * volts),
        open_circuit_v=read_only(open_v * volts),
        short_circuit_a=read_only(short_a * amperes),
        saturation_a=read_only(short_a * amperes / np.expm1(steepness)),
        knee_v=read_only(knee_v * volts),
    )


@kept_within(16_000_000)
def kept_panel_curve(panel: Panel, light: PanelLight) -> PanelCurve:
    """Return ``panel_curve``, found once for a panel and one light.

    A run and what is doubtful about its design both ask for it.
    """
    return panel_curve(panel, light)


def _one_w(panel: Panel, light: PanelLight) -> Floats:
    heat = np.maximum(1.0 + panel.power_per_c * (light.cell_c - STC_CELL_C), 0.0)
    sunlight = light.irradiance_w_m2 / STC_W_M2
    return panel.rated_w * sunlight * heat * (1.0 - panel.other_losses)


def controller_output_w(
    curve: PanelCurve, lead_ohm: Any, efficiency: Any, by: Any = 1.0
) -> tuple[Floats, Floats]:
    """Return what an mppt controller puts out, and the loss in the leads to it.

    Parameters
    ----------
    curve : arrays of shape (steps,) or (steps, 1).
    lead_ohm, efficiency : of the leads [ohm], of the controller [1]; numbers or (members,).
    by : panels of so many times the current, a number or (members,) [1].

    Returns
    -------
    Power out and power lost, of the common shape of all [W].
    """
    best_a = np.divide(
        curve.maximum_w,
        curve.maximum_power_v,
        out=np.zeros(curve.maximum_w.shape),
        where=curve.maximum_power_v > 0,
    )
    most_w = curve.maximum_w * by
    lead_w = np.minimum((best_a * by) ** 2 * lead_ohm, most_w)
    return efficiency * (most_w - lead_w), lead_w


def tied_current_a(curve: PanelCurve, volts: Floats | float) -> Floats:
    """Return the current of the panels held at given volts in each step.

    Parameters
    ----------
    curve : shape (steps,).
    volts : at the panel, one number or shape (steps,), 0 or more [V].

    Returns
    -------
    Current, never below 0, shape (steps,) [A].
    """
    held = np.minimum(volts, curve.open_circuit_v)
    given = curve.short_circuit_a - curve.saturation_a * np.expm1(held / curve.knee_v)
    return np.asarray(np.where(volts < curve.open_circuit_v, np.maximum(given, 0.0), 0.0))


def tied_through_lead_a(curve: PanelCurve, bus_v: Floats, lead_ohm: float) -> Floats:
    """Return the current of panels tied through a lead to a bus in each step.

    Parameters
    ----------
    curve : shape (steps,).
    bus_v : volts at the end of the lead, shape (steps,) [V].
    lead_ohm : of the lead, out and back [ohm].

    Returns
    -------
    Current, shape (steps,) [A].
    """
    volts = np.minimum(bus_v, curve.open_circuit_v)
    for _ in range(LEAD_STEPS_LIMIT):
        drop_v = lead_ohm * tied_current_a(curve, volts)
        held = np.minimum(volts, curve.open_circuit_v)
        slope_a = curve.saturation_a * np.exp(held / curve.knee_v) / curve.knee_v
        change_v = (volts - drop_v - bus_v) / (1.0 + lead_ohm * slope_a)
        volts = np.minimum(volts - change_v, np.maximum(curve.open_circuit_v, bus_v))
        if np.abs(change_v).max(initial=0.0) < LEAD_SETTLED_V:
            break
    return tied_current_a(curve, volts)


def cold_open_circuit_v(panel: Panel, coldest_c: float) -> float:
    """Return the volts of the panels, unloaded in full light, at the coldest cells.

    For the check against what a controller bears; panels in series add.

    Parameters
    ----------
    panel : of one kind, with count and wiring.
    coldest_c : temperature of the cells [degC].

    Returns
    -------
    Open-circuit volts [V].
    """
    one_v = panel.voc_v * (1.0 + panel.voc_per_c * (coldest_c - STC_CELL_C))
    return one_v * _wired(panel)[0]


def _wired(panel: Panel) -> tuple[int, int]:
    """Return how many times the volts and the current of one panel count."""
    return (panel.count, 1) if panel.wiring == "series" else (1, panel.count)


def _open_circuit_v(panel: Panel, sunlight: Floats, cell_c: Floats) -> Floats:
    warming = cell_c - STC_CELL_C
    faded = np.log(np.maximum(sunlight, 1e-9)) * (cell_c - STC_CELL_C + STC_CELL_K) / STC_CELL_K
    factor = 1.0 + panel.voc_per_c * warming + VOLTS_PER_LOG_LIGHT * faded
    return np.asarray(panel.voc_v * np.maximum(factor, OPEN_CIRCUIT_FLOOR))


def _steepness(best: Floats) -> Floats:
    # dP/dV = 0 of the ideal diode, with best = Vmp / a and steepness = Voc / a.
    return np.asarray(best + np.log1p(best))


def fill_factor(best: Floats) -> Floats:
    """Return the fill factor of an ideal diode.

    Parameters
    ----------
    best : ``Vmp / a``, any shape [1].

    Returns
    -------
    Fill factor, of its shape [1].
    """
    steepness = _steepness(best)
    return np.asarray(best / steepness * (1.0 - np.expm1(best) / np.expm1(steepness)))


_BEST = np.geomspace(0.01, 100.0, 2000)
_FILL = fill_factor(_BEST)
_RISE = np.append(np.diff(_BEST) / np.diff(_FILL), 0.0)
# Even cells so narrow that none holds two points of the table: the last point at or below each.
_CELLS_PER_FILL = 20_000.0
_FIRST = np.searchsorted(
    _FILL,
    FILL_FACTOR_MIN
    + np.arange((FILL_FACTOR_MAX - FILL_FACTOR_MIN) * _CELLS_PER_FILL + 1) / _CELLS_PER_FILL,
    side="right",
)


def diode_of_fill(fill: Floats) -> tuple[Floats, Floats, Floats]:
    """Return ``Vmp / a``, ``Voc / a`` and the fill factor of the diode nearest to ``fill``.

    Parameters
    ----------
    fill : fill factors, any shape [1].

    Returns
    -------
    Three arrays of its shape [1].

    Notes
    -----
    Between the points of a table, whose place is looked up: a search takes several times as long.
    """
    fill = np.clip(fill, FILL_FACTOR_MIN, FILL_FACTOR_MAX)
    cell = ((fill - FILL_FACTOR_MIN) * _CELLS_PER_FILL).astype(np.intp)
    above = _FIRST.take(cell)
    above += fill >= _FILL.take(above)
    below = above - 1
    best = _RISE.take(below) * (fill - _FILL.take(below)) + _BEST.take(below)
    return best, _steepness(best), fill_factor(best)
