"""What the amplifier of a station costs in a plan: the charge it takes, and its mass."""

from __future__ import annotations

from dataclasses import dataclass

from model.engine.comparison import Comparison, simulate
from model.scenario.scenario import Scenario
from model.station.carried_mass import carried_total
from model.station.transmit_path import alone, amplified, highest_planned_w


@dataclass(frozen=True)
class AmplifierPrice:
    """The same plan and sky with the amplifier and without it.

    Attributes
    ----------
    more_ah : charge taken over the whole run, above that of the radio alone [Ah].
    more_kg : mass carried above that [kg].
    days : length of the run.
    is_whole : whether both kits stay on the air to the end; else a kit that went off took less.
    """

    more_ah: float
    more_kg: float
    days: int
    is_whole: bool


def kit_powers_w(scenario: Scenario, index: int) -> tuple[float, ...]:
    """Return what a station gives in the plan: the radio alone, then with its amplifier.

    Parameters
    ----------
    scenario : plan and stations; a plan that names no power asks for all there is.
    index : the station, from 0.

    Returns
    -------
    One power, or two where the amplifier gives more [W].
    """
    station = scenario.stations[index]
    boosted = amplified(station)
    planned_w = highest_planned_w(station, scenario.plan)
    most_w = planned_w or max(alone(station).highest_w, boosted.highest_w if boosted else 0.0)
    bare_w = min(alone(station).highest_w, most_w)
    return (bare_w, most_w) if most_w > bare_w else (bare_w,)


def amplifier_price(comparison: Comparison, index: int) -> AmplifierPrice | None:
    """Return what a station's amplifier costs; None where it has none or is not run.

    Parameters
    ----------
    comparison : of a scenario.
    index : the station, from 0.
    """
    run, station = comparison.runs[index], comparison.scenario.stations[index]
    if run is None or station.amplifier is None:
        return None
    leads = tuple(lead for lead in station.leads if lead.feeds != "amplifier")
    bare = station.model_copy(update={"amplifier": None, "leads": leads})
    stations = list(comparison.scenario.stations)
    stations[index] = bare
    changed = {"stations": tuple(stations), "variants": ()}
    other = simulate(comparison.scenario.model_copy(update=changed)).runs[index]
    if other is None:
        return None
    mass_kg, bare_kg = (carried_total(each, run.shared).mass_kg for each in (station, bare))
    return AmplifierPrice(
        more_ah=run.sums.load_ah - other.sums.load_ah,
        more_kg=mass_kg - bare_kg,
        days=run.clock.days,
        is_whole=all(each.clocks.receive.until is None for each in (run, other)),
    )
