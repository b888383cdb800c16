"""What the chemistry of a battery fixes: rest volts, cold, resistance, charging, rate."""

from __future__ import annotations

from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from model.scenario.chemistries import CHEMISTRIES, Curve
from model.scenario.station import Battery

Floats = NDArray[np.float64]

# Steps of the uniform table that the step rule looks volts up in.
TABLE_STEPS = 1000
REFERENCE_C = 25.0


def interpolate(curve: Curve, at: Floats) -> Floats:
    """Return a curve read at each value, held constant beyond its ends.

    Parameters
    ----------
    curve : pairs of place and value, places rising.
    at : where to read it, any shape [unit of the places].

    Returns
    -------
    Values, of the shape of ``at`` [unit of the curve].
    """
    x, y = zip(*curve, strict=True)
    return np.asarray(np.interp(at, x, y), dtype=np.float64)


def rest_v(chemistry: str, cells: int, fraction: Floats) -> Floats:
    """Return open-circuit volts of a battery at charge fractions.

    Parameters
    ----------
    chemistry : key of `CHEMISTRIES`, where each curve has its source.
    cells : in series.
    fraction : stored charge over tested capacity, 0..1, any shape [1].

    Returns
    -------
    Volts, of the shape of the fractions [V].
    """
    return cells * interpolate(CHEMISTRIES[chemistry].rest_v, fraction)


@lru_cache(maxsize=64)
def rest_table_v(chemistry: str, cells: int) -> tuple[float, ...]:
    """Return the table of rest volts that the step rule looks up in.

    Parameters
    ----------
    chemistry : key of `CHEMISTRIES`.
    cells : in series.

    Returns
    -------
    Volts at TABLE_STEPS + 1 even charge fractions from 0 to 1 [V].
    """
    return tuple(rest_v(chemistry, cells, np.linspace(0, 1, TABLE_STEPS + 1)).tolist())


@lru_cache(maxsize=64)
def rest_lines_v(chemistry: str, cells: int) -> tuple[tuple[float, ...], tuple[float, ...]]:
    """Return each piece of the rest table as a line over the place in it, 0 to TABLE_STEPS.

    Parameters
    ----------
    chemistry : key of `CHEMISTRIES`.
    cells : in series.

    Returns
    -------
    Volts at place 0 and rise from one place to the next, each of TABLE_STEPS pieces [V].
    """
    table = np.array(rest_table_v(chemistry, cells))
    rise = np.diff(table)
    return tuple((table[:-1] - np.arange(TABLE_STEPS) * rise).tolist()), tuple(rise.tolist())


@lru_cache(maxsize=64)
def charge_resistance_factor(chemistry: str) -> tuple[float, ...]:
    """Return resistance over that at full charge.

    Parameters
    ----------
    chemistry : key of `CHEMISTRIES`.

    Returns
    -------
    Factor at TABLE_STEPS + 1 even charge fractions from 0 to 1 [1].
    """
    curve = CHEMISTRIES[chemistry].resistance_by_charge
    return tuple(interpolate(curve, np.linspace(0, 1, TABLE_STEPS + 1)).tolist())


def half_charged_v(battery: Battery) -> float:
    """Return the rest volts of a battery that is half charged.

    Parameters
    ----------
    battery : its chemistry and cells.

    Returns
    -------
    Volts [V].
    """
    return float(rest_v(battery.chemistry, battery.cells_in_series, np.array([0.5]))[0])


def charge_rate_per_h(chemistry: str, cell_c: Floats) -> Floats:
    """Return the most charging current over the capacity.

    Parameters
    ----------
    chemistry : key of `CHEMISTRIES`, where the curve has its source.
    cell_c : temperature of the cells, any shape [degC].

    Returns
    -------
    Rate, inf where the chemistry sets none, of the shape of the temperatures [1/h].
    """
    curve = CHEMISTRIES[chemistry].charge_rate_per_h
    if not curve:
        return np.full(cell_c.shape, np.inf)
    return np.where(cell_c < curve[-1][0], interpolate(curve, cell_c), np.inf)


def absorption_v(battery: Battery) -> float:
    """Return the terminal volts that charging does not exceed.

    Parameters
    ----------
    battery : its chemistry and cells.

    Returns
    -------
    Volts [V].
    """
    return battery.cell.absorption_v * battery.cells_in_series


def label_wh(battery: Battery) -> float:
    """Return the energy printed on the label: rated Ah times nominal volts.

    Parameters
    ----------
    battery : capacity, count, chemistry and cells.

    Returns
    -------
    Energy [Wh].
    """
    return battery.capacity_ah * battery.count * nominal_v(battery)


def nominal_v(battery: Battery) -> float:
    """Return the volts that a battery is called by: a convention of the trade.

    Parameters
    ----------
    battery : its chemistry and cells.

    Returns
    -------
    Volts [V].
    """
    return battery.cells_in_series * battery.cell.nominal_cell_v
