"""Stations made from library parts, with the defaults a careful operator would start from."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any, cast

from model.library.catalogue import LISTS, Kind, Library, kind_of
from model.scenario.kinds import KINDS
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
    return Station(
        name=name,
        radio=chosen,
        battery=source,
        start_fraction=START_FRACTION,
        reserve_fraction=source.cell.reserve_fraction,
        leads=_radio_leads(chosen, cast(tuple[Lead, ...], library.of("lead"))),
    )


def _radio_leads(radio: Radio, leads: Iterable[Lead]) -> tuple[Lead, ...]:
    """Return the lightest fused lead that bears the radio's highest current; none without one."""
    highest_a = fit(radio.key_down).current_a(radio.highest_rf_w)
    able = [
        lead
        for lead in leads
        if lead.feeds == "radio" and lead.fuse_a is not None and lead.fuse_a >= highest_a
    ]
    # Of two that would do, good joints matter more than grams.
    return tuple(sorted(able, key=lambda lead: (lead.joints_mohm, lead.mass_kg))[:1])


def with_part(station: Station, part: Part, place: int | None = None) -> Station:
    """Return a station that carries a part: in its slot, or in its list.

    Parameters
    ----------
    place : which lead, charger or extra it takes the place of; None adds one.

    Notes
    -----
    A reserve that is the usual one for the old battery becomes the usual one for the new.
    """
    kind = kind_of(part)
    if kind in LISTS:
        held = getattr(station, LISTS[kind])
        rows = (*held, part) if place is None else (*held[:place], part, *held[place + 1 :])
        return station.model_copy(update={LISTS[kind]: rows})
    changes: dict[str, Any] = {kind: part}
    usual = station.battery.cell.reserve_fraction
    if isinstance(part, Battery) and station.reserve_fraction == usual:
        changes["reserve_fraction"] = part.cell.reserve_fraction
    return station.model_copy(update=changes)
