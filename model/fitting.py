"""Stations made from library parts, with the defaults a careful operator would start from."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any, cast

from model.catalogue import LISTS, Library, kind_of
from model.keydown import fit
from model.parts import Battery, Lead, Part, Radio, Station

START_FRACTION = 0.95
LITHIUM_RESERVE_FRACTION = 0.2
LEAD_RESERVE_FRACTION = 0.5


def reserve_for(battery: Battery) -> float:
    """Return the reserve a new station keeps: lead ages fast below half [1]."""
    return LEAD_RESERVE_FRACTION if battery.is_lead else LITHIUM_RESERVE_FRACTION


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
        reserve_fraction=reserve_for(source),
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
        rows = (
            (*held, part) if place is None else (*held[:place], part, *held[place + 1 :])
        )
        return station.model_copy(update={LISTS[kind]: rows})
    changes: dict[str, Any] = {kind: part}
    if isinstance(part, Battery) and station.reserve_fraction == reserve_for(station.battery):
        changes["reserve_fraction"] = reserve_for(part)
    return station.model_copy(update=changes)
