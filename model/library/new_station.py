"""Stations made from library parts, with the defaults a careful operator would start from."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any, cast

from model.library.catalogue import CLASSES, KIND_LABELS, LISTS, Kind, Library, kind_of
from model.scenario.station import Battery, Lead, Part, Radio, Station
from model.station.key_down_law import fit

START_FRACTION = 0.95


# Where a part of a kind begins that nobody has measured: common practice, no source.
_NEW: dict[Kind, dict[str, Any]] = {
    "radio": {"receive_a": 0.25, "key_down": ((5.0, 1.6), (10.0, 2.2)), "supply_min_v": 11.5,
              "supply_max_v": 15.0, "receive_min_v": 10.0},
    "amplifier": {"key_down": ((10.0, 5.0), (50.0, 10.0)), "standby_a": 0.05, "operate_a": 0.3,
                  "supply_min_v": 12.0},
    "tuner": {"idle_a": 0.01, "tuning_a": 0.5, "tuning_s": 4.0, "loss_db": 0.3},
    "antenna": {"gain_dbi": 0.0, "feed_loss_db": 0.5},
    "laptop": {"power_w": 10.0, "sleep_w": 0.5, "converter_efficiency": 0.9,
               "converter_idle_a": 0.015, "own_battery_wh": 40.0, "runs": "data"},
    "battery": {"chemistry": "LFP", "capacity_ah": 15.0, "tested_fraction": 0.9,
                "resistance_ohm": 0.025, "charge_efficiency": 0.99, "charge_limit_a": 7.5,
                "discharge_limit_a": 20.0, "cutoff_v": 10.8, "reconnect_v": 12.4},
    "controller": {"kind": "mppt", "efficiency": 0.95, "own_a": 0.015, "output_limit_a": 10.0,
                   "input_limit_v": 50.0, "start_margin_v": 5.0},
    "panel": {"rated_w": 60.0, "other_losses": 0.15},
    "lead": {"feeds": "radio", "size_mm2": 2.5, "one_way_m": 1.5, "joints_mohm": 2.0,
             "fuse_a": 10.0},
    "charger": {"current_a": 5.0, "hours": (("18:00", "22:00"),)},
    "extra": {"power_w": 2.0, "hours": (("18:00", "23:00"),)},
}  # fmt: skip


def new_part(kind: Kind) -> Part:
    """Return a part to start from, every number of it a guess."""
    name = f"New {KIND_LABELS[kind].lower()}"
    return CLASSES[kind].model_validate({"name": name, **_NEW[kind]}, by_name=True)


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
