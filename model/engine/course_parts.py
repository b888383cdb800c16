"""What a course takes from its loads, its panel and its cells: worked out once for each.

Numbers of a run stand in two forms: arrays, and the plain numbers that the step rule runs on, which
take longer to make than to run through. A change of the battery makes neither anew.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import Any

import numpy as np

from model.scenario.station import Laptop, Panel
from model.sky.irradiance import PanelLight
from model.station.cell_temperature import CellClimate
from model.station.chemistry import Floats
from model.station.loads import StationLoads
from model.station.panel_curve import PanelCurve, controller_output_w, kept_panel_curve
from model.station.part_loads import converter_w

# Four stations, and as many trials of them.
KEPT_PARTS = 8


@dataclass(frozen=True, eq=False)
class Part:
    """Numbers of a course by name [unit of each in ``Course``].

    Attributes
    ----------
    values : shape (steps,) or (0,).
    plain : the same as lists.
    """

    values: dict[str, Floats]
    plain: dict[str, Any]


@dataclass(frozen=True, eq=False)
class LoadPart:
    """What the loads give.

    Attributes
    ----------
    static_laptop_w : into the laptop's converter where its battery is no part of the state,
        shape (steps,) [W].
    """

    static_laptop_w: Floats
    part: Part


@dataclass(frozen=True, eq=False)
class PanelPart:
    """What the panels give.

    Attributes
    ----------
    curve : of the panels; None without any.
    output_w, lead_w : of an mppt controller, and lost in the leads to it, shape (steps,) [W].
    """

    curve: PanelCurve | None
    output_w: Floats
    lead_w: Floats
    part: Part


def part_of(**arrays: Floats) -> Part:
    """Return numbers in both forms."""
    return Part(arrays, {name: _plain(values) for name, values in arrays.items()})


@lru_cache(maxsize=KEPT_PARTS)
def part_of_battery(climate: CellClimate, ohm: float, full_ah: float, exponent: float) -> Part:
    """Return what batteries and the temperature of their cells give to a course.

    Parameters
    ----------
    climate : of the cells.
    ohm, full_ah : of all batteries together at 25 degC [ohm], [Ah].
    exponent : by which more current gives less, where it is not cold [1].

    Returns
    -------
    Resistance [ohm], charge [Ah], exponent [1] and charging rate [1/h], shape (steps,).
    """
    return part_of(
        resistance_ohm=climate.resistance_factor * ohm,
        floor_ah=climate.cold_floor_fraction * full_ah,
        rate_excess=climate.rate_excess + (exponent - 1),
        charge_rate_per_h=climate.charge_rate_per_h,
    )


@lru_cache(maxsize=KEPT_PARTS)
def part_of_loads(
    loads: StationLoads, laptop: Laptop | None, step_min: float, *, in_state: bool
) -> LoadPart:
    """Return what loads give to a course.

    Parameters
    ----------
    loads, laptop : of one station, the laptop as its loads count it.
    step_min : length of a step [min].
    in_state : whether the laptop's own battery is part of the state.

    Returns
    -------
    Currents [A] and powers [W], shape (steps,).
    """
    static_w = np.zeros(loads.laptop_w.size)
    if laptop is not None and not in_state:
        static_w = converter_w(laptop, loads.laptop_w, step_min / 60)
    radio_and_amplifier_a = (
        loads.radio_rest_a + loads.radio_send_a + loads.amplifier_rest_a + loads.amplifier_send_a
    )
    part = part_of(
        load_a=loads.other_a + radio_and_amplifier_a,
        load_w=loads.other_w + static_w,
        other_a=loads.other_a,
        radio_rest_a=loads.radio_rest_a,
        amplifier_rest_a=loads.amplifier_rest_a,
        amplifier_out_a=loads.amplifier_out_a,
        send_share=loads.send_share,
        laptop_w=loads.laptop_w if in_state else np.zeros(0),
        charger_a=loads.charger_a,
        store_a=loads.store_a,
    )
    return LoadPart(static_w, part)


def part_of_panel(
    panel: Panel | None, light: PanelLight | None, steps: int, lead_ohm: float, efficiency: float
) -> PanelPart:
    """Return what panels in such a light give to a course, without any nothing.

    Parameters
    ----------
    steps : of the course.
    lead_ohm, efficiency : of the leads to the controller [ohm], of the controller [1].

    Returns
    -------
    Powers [W], volts [V] and currents [A], shape (steps,).
    """
    if panel is not None and light is not None:
        return _part_of_panel(panel, light, lead_ohm, efficiency)
    dark = np.zeros(steps)
    return PanelPart(None, dark, dark, _dark(steps))


@lru_cache(maxsize=KEPT_PARTS)
def _part_of_panel(
    panel: Panel, light: PanelLight, lead_ohm: float, efficiency: float
) -> PanelPart:
    curve = kept_panel_curve(panel, light)
    output_w, lead_w = controller_output_w(curve, lead_ohm, efficiency)
    part = part_of(
        panel_w=output_w,
        open_v=curve.open_circuit_v,
        best_v=curve.maximum_power_v,
        short_a=curve.short_circuit_a,
        saturation_a=curve.saturation_a,
        knee_v=curve.knee_v,
    )
    return PanelPart(curve, output_w, lead_w, part)


@lru_cache(maxsize=KEPT_PARTS)
def _dark(steps: int) -> Part:
    dark = np.zeros(steps)
    return part_of(
        panel_w=dark, open_v=dark, best_v=dark, short_a=dark, saturation_a=dark, knee_v=dark
    )


def _plain(values: Floats) -> list[float]:
    """Return plain numbers: one and the same where all are alike, which is quicker to read."""
    if values.size and values.min() == values.max():
        return [float(values[0])] * values.size
    plain: list[float] = values.tolist()
    return plain
