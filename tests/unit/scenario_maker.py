"""A sound scenario that says nothing of itself, and ways to spoil it."""

from __future__ import annotations

from datetime import date
from typing import Any

from model.editing.paths import with_value
from model.scenario.scenario import Scenario

RADIO = {
    "receive_a": 0.75,
    "key_down": ((5.0, 6.3), (50.0, 14.5), (100.0, 19.5)),
    "supply_min_v": 11.7,
    "supply_max_v": 15.9,
    "receive_min_v": 10.5,
}
BATTERY = {
    "chemistry": "LFP",
    "capacity_ah": 20.0,
    "resistance_ohm": 0.022,
    "discharge_limit_a": 30.0,
    "charge_limit_a": 10.0,
    "cutoff_v": 10.0,
    "reconnect_v": 12.0,
}
PANEL = {"rated_w": 60.0, "other_losses": 0.15, "mount": "fixed", "tilt_deg": 30.0}
CONTROLLER = {"kind": "mppt", "efficiency": 0.95, "own_a": 0.015, "input_limit_v": 50.0}
AMPLIFIER = {
    "key_down": ((5.0, 3.8), (50.0, 10.3)),
    "gain_db": 10.0,
    "standby_a": 0.05,
    "operate_a": 0.3,
    "supply_min_v": 11.5,
}
SMALL_RADIO = {"receive_a": 0.16, "key_down": ((1.0, 0.95), (5.0, 1.69)), "supply_min_v": 10.5}
BATTERY_LEAD = {"for": "battery", "awg": 8, "one_way_m": 0.3, "joints_mohm": 2.0, "fuse_a": 30.0}
RADIO_LEAD = {"for": "radio", "awg": 10, "one_way_m": 1.5, "joints_mohm": 2.0}
WATCH = {"start": "06:00", "end": "20:00", "activity": "watch"}
NET = {
    "start": "20:00",
    "end": "21:00",
    "activity": "voice",
    "rf_w": 50.0,
    "transmit_share": 0.2,
    "frequency_mhz": 3.6,
}


def scenario(
    *,
    station: dict[str, Any] | None = None,
    plan: tuple[dict[str, Any], ...] = (WATCH, NET),
    site: dict[str, Any] | None = None,
    day: dict[str, Any] | None = None,
) -> Scenario:
    """Return one station on a mild June day; the arguments replace whole parts."""
    parts = {
        "name": "one box",
        "reserve_fraction": 0.2,
        "radio": RADIO,
        "battery": BATTERY,
        "panel": PANEL,
        "controller": CONTROLLER,
        "leads": (BATTERY_LEAD, RADIO_LEAD),
    } | (station or {})
    return Scenario.model_validate(
        {
            "site": {"latitude_deg": 46.0, "longitude_deg": 11.0, "timezone": "Europe/Rome"}
            | (site or {}),
            "day": {"date": date(2027, 6, 10), "low_c": 12.0, "high_c": 24.0} | (day or {}),
            "plan": plan,
            "stations": ({key: part for key, part in parts.items() if part is not None},),
        }
    )


def changed(given: Scenario, **values: Any) -> Scenario:
    """Return the scenario with values at paths below its first station; __ stands for a dot."""
    for path, value in values.items():
        given = with_value(given, "stations.0." + path.replace("__", "."), value)
    return given
