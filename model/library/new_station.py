"""Stations made from library parts, with the defaults a careful operator would start from."""

from __future__ import annotations

from collections.abc import Iterable
from typing import cast

from model.editing.edit_stations import free_name
from model.editing.paths import with_inserted
from model.library.catalogue import Kind, Library
from model.scenario.kinds import KINDS
from model.scenario.scenario import Scenario
from model.scenario.station import Battery, Lead, Part, Radio, Station
from model.station.key_down_law import fit

START_FRACTION = 0.95


def new_part(kind: Kind) -> Part:
    """Return a part to start from, every number of it a guess."""
    row = next(row for row in KINDS if row.key == kind)
    begun = {"name": f"New {row.label.lower()}", **row.new}
    return row.part.model_validate(begun, by_name=True)


def new_station(name: str, radio: str, battery: str, library: Library) -> Station:
    """Return a station with a radio, a battery and a fused lead, all from the library.

    Parameters
    ----------
    radio, battery : names of parts in the library.

    Raises
    ------
    KeyError
        When the library has no such part.
    """
    chosen = cast(Radio, library.find("radio", radio))
    source = cast(Battery, library.find("battery", battery))
    highest_a = fit(chosen.key_down).current_a(chosen.highest_rf_w)
    lead = fused_lead("radio", highest_a, cast(tuple[Lead, ...], library.of("lead")))
    return Station(
        name=name,
        radio=chosen,
        battery=source,
        start_fraction=START_FRACTION,
        reserve_fraction=source.cell.reserve_fraction,
        leads=(lead,) if lead else (),
    )


def fused_lead(feeds: str, current_a: float, leads: Iterable[Lead]) -> Lead | None:
    """Return the lightest lead whose own fuse lets a current through; None without one.

    Parameters
    ----------
    feeds : which part it feeds, as ``"radio"``.
    current_a : the most it is to carry [A].
    leads : to choose among.
    """
    able = [
        lead
        for lead in leads
        if lead.feeds == feeds and lead.fuse_a is not None and lead.fuse_a >= current_a
    ]
    # Of two that would do, good joints matter more than grams.
    return min(able, key=lambda lead: (lead.joints_mohm, lead.mass_kg), default=None)


def with_station_added(scenario: Scenario, library: Library) -> Scenario:
    """Return a scenario with one more station: the library's first radio and battery."""
    radio, battery = library.of("radio")[0], library.of("battery")[0]
    name = free_name(scenario, f"Station {len(scenario.stations) + 1}")
    added = new_station(name, radio.name, battery.name, library)
    return with_inserted(scenario, "stations", len(scenario.stations), added)
