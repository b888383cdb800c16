"""Invented scenarios for the plots and the strip: made-up sets, no maker's numbers."""

from __future__ import annotations

from datetime import date
from typing import Any

from model.scenario.scenario import Block, Scenario

RADIO = {
    "receive_a": 0.16, "off_a": 0.0, "key_down": [[5.0, 1.4], [10.0, 2.1]], "supply_min_v": 12.0,
}  # fmt: skip
BIG_RADIO = {
    "receive_a": 0.9, "key_down": [[10.0, 8.0], [100.0, 19.0]], "supply_min_v": 12.4,
    "receive_min_v": 10.5,
}  # fmt: skip
AMPLIFIER = {
    "key_down": [[20.0, 6.0], [50.0, 10.0]], "gain_db": 10.0, "standby_a": 0.15, "operate_a": 0.9,
    "in_session": "operate", "out_of_session": "operate", "supply_min_v": 11.5,
}  # fmt: skip
PLAN = [
    {"start": "06:00", "end": "06:30", "activity": "voice", "rf_w": 50.0, "transmit_share": 0.2,
     "frequency_mhz": 7.1, "note": "morning net"},
    {"start": "06:30", "end": "18:00", "activity": "watch", "listen_share": 1.0},
    {"start": "18:00", "end": "19:00", "activity": "voice", "rf_w": 50.0, "transmit_share": 0.4,
     "frequency_mhz": 3.7, "note": "evening net"},
    {"start": "19:00", "end": "20:30", "activity": "slots", "rf_w": 20.0, "transmit_share": 0.4,
     "frequency_mhz": 7.074},
    {"start": "22:00", "end": "05:00", "activity": "watch", "listen_share": 0.083},
]  # fmt: skip


def station(name: str, **changes: Any) -> dict[str, Any]:
    """Return a station as a file holds it."""
    return {
        "name": name,
        "reserve_fraction": 0.2,
        "start_fraction": 0.95,
        "radio": RADIO,
        "battery": {
            "chemistry": "LFP", "capacity_ah": 20.0, "tested_fraction": 0.9,
            "resistance_ohm": 0.03, "cutoff_v": 10.0, "reconnect_v": 12.0,
        },
        "controller": {"kind": "mppt", "efficiency": 0.95, "own_a": 0.01},
        "panel": {"rated_w": 60.0},
        "leads": [{"for": "radio", "size_mm2": 2.5, "one_way_m": 1.5, "joints_mohm": 2.0}],
    } | changes  # fmt: skip


def scene(*stations: dict[str, Any], **changes: Any) -> Scenario:
    """Return a scenario with these stations, by default two, over two days in June."""
    site = {
        "name": "Example ridge", "latitude_deg": 45.0, "longitude_deg": 9.0, "elevation_m": 800.0,
        "timezone": "Europe/Rome",
    }  # fmt: skip
    day = {"date": date(2025, 6, 13), "start_hour": 6.0, "days": 2, "low_c": 8.0, "high_c": 22.0}
    two = four_stations()[:2]
    return Scenario.model_validate(
        {
            "title": "Two kits for a weekend",
            "site": site | changes.pop("site", {}),
            "day": day | changes.pop("day", {}),
            "plan": changes.pop("plan", PLAN),
            "stations": list(stations or two),
        }
        | changes
    )


def four_stations() -> tuple[dict[str, Any], ...]:
    """Return four stations, the last two alike so that they fail in the same minute."""
    return (
        station("small set and amplifier", amplifier=AMPLIFIER),
        station("one box", radio=BIG_RADIO),
        station("one box, no panel", radio=BIG_RADIO, panel=None, controller=None),
        station("its twin, no panel", radio=BIG_RADIO, panel=None, controller=None),
    )


def block(start: str, end: str, activity: str = "watch", **changes: Any) -> Block:
    """Return a block of a plan."""
    return Block.model_validate({"start": start, "end": end, "activity": activity} | changes)
