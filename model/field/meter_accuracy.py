"""How far a meter in the field can be believed, for each thing that can be read off it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from model.engine.run import StationRun
from model.field.observations import SKY_OF_MOMENT_SHARE
from model.scenario.station import Battery, Meters
from model.station.chemistry import TABLE_STEPS, rest_v
from model.support.figures import amount, entered, percent

# Volts that fit charges further apart than this answer no question about charge.
WIDEST_FRACTION = 0.25
LEAST_PANEL_A = 0.1
SPILL_SHARE = 0.05


@dataclass(frozen=True)
class Credit:
    """Whether a reading can be believed for the question at hand, why, and how far it may be off.

    ``doubt_ah`` and ``doubt_a`` are half-widths of the 95 % band [Ah], [A]; ``fraction`` is the
    charge that rested volts tell [1].
    """

    believable: bool
    sentence: str
    doubt_ah: float = 0.0
    doubt_a: float = 0.0
    fraction: float = 1.0


@dataclass(frozen=True)
class ChargeByVolts:
    """What rested volts say of the charge: most likely, least and most [1]."""

    middle_fraction: float
    low_fraction: float
    high_fraction: float


def charge_by_volts(battery: Battery, volts_v: float, doubt_v: float) -> ChargeByVolts | None:
    """Return the charges whose rest volts lie within the meter's doubt; None where none do."""
    charge = np.linspace(0.0, 1.0, TABLE_STEPS + 1)
    volts = rest_v(battery.chemistry, battery.cells_in_series, charge)
    alike = charge[np.abs(volts - volts_v) <= doubt_v]
    if not alike.size:
        return None
    low, high = float(alike.min()), float(alike.max())
    return ChargeByVolts((low + high) / 2, low, high)


def credit_of_counter(used_ah: float, hours: float, meters: Meters) -> Credit:
    """Return how far a counter of ampere-hours can be believed after some hours."""
    doubt_ah = meters.counter_share * abs(used_ah) + meters.counter_offset_a * hours
    return Credit(
        True,
        f"A counter is good to about {amount(doubt_ah, 'Ah', 2)} by now, if it was set to zero at"
        " full charge and all current flows through it. A cheap one misses short key-downs.",
        doubt_ah=doubt_ah,
    )


def credit_of_load(load_a: float, meters: Meters) -> Credit:
    """Return how far the current of the loads can be believed."""
    doubt_a = meters.current_share * load_a
    return Credit(
        True,
        f"Good to about {amount(doubt_a, 'A', 2)}, if nothing was transmitted and no sun came in"
        " through the same meter.",
        doubt_a=doubt_a,
    )


def credit_of_volts(battery: Battery, volts_v: float, meters: Meters, *, at_rest: bool) -> Credit:
    """Return whether volts say anything of the charge."""
    if not at_rest:
        return Credit(
            False,
            "Voltage under load or charge does not indicate the charge: read it after"
            " 30\N{NO-BREAK SPACE}min with nothing drawn or charged.",
        )
    span = charge_by_volts(battery, volts_v, meters.volts_v)
    volts = entered(volts_v, "V")
    if span is None:
        return Credit(
            False,
            f"This battery never rests at {volts}: it had not rested, or it is another kind.",
        )
    low, high = round(span.low_fraction * 100), percent(span.high_fraction)
    words = f"{volts} at rest can be any charge from {low} to {high}"
    cell = battery.cell
    is_flat = (
        span.low_fraction < cell.flat_to_fraction and span.high_fraction > cell.flat_from_fraction
    )
    if is_flat or span.high_fraction - span.low_fraction > WIDEST_FRACTION:
        return Credit(False, f"{words}: trust the counted Ah instead.")
    doubt_ah = max(span.high_fraction - span.low_fraction, 0.04) / 2 * battery.full_ah
    return Credit(True, f"{words}.", doubt_ah=doubt_ah, fraction=span.middle_fraction)


def credit_of_panel(
    run: StationRun, step: int, panel_a: float, *, has_room: bool | None = None
) -> Credit:
    """Return whether the panel's current says anything of the sun at that minute.

    ``has_room`` says whether a counter showed the battery well below full; None without one.
    """
    able_a, used_a = float(run.flow.panel_able_a[step]), float(run.flow.panel_a[step])
    if able_a < LEAST_PANEL_A:
        return Credit(False, "Hardly any sun is expected at this minute: read it nearer noon.")
    foretold_full = used_a < able_a * (1 - SPILL_SHARE)
    if panel_a < able_a and (foretold_full if has_room is None else not has_room):
        return Credit(
            False,
            f"A battery this full may take less than the {amount(able_a, 'A', 2)} the panel could"
            " give: the reading shows how full it is, not how much sun there is.",
        )
    doubt_a = SKY_OF_MOMENT_SHARE * max(panel_a, able_a)
    return Credit(
        True,
        f"Good to about {amount(doubt_a, 'A', 2)} under a steady sky: a passing cloud or a badly"
        " aimed panel shows at once.",
        doubt_a=doubt_a,
    )
