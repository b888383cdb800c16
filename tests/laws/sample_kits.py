"""Invented kits for the sweeps' tests; no part exists."""

from __future__ import annotations

from datetime import date
from typing import Any

from model.scenario.scenario import Scenario

SITE = {
    "name": "hill",
    "latitude_deg": 46.0,
    "longitude_deg": 8.0,
    "elevation_m": 800.0,
    "timezone": "Europe/Rome",
}
PLAN = [
    {"start": "06:00", "end": "18:00", "activity": "watch", "listen_share": 0.5},
    {
        "start": "18:00", "end": "19:00", "activity": "voice", "rf_w": 50.0,
        "transmit_share": 0.3,
    },
    {"start": "19:00", "end": "22:00", "activity": "watch"},
    {
        "start": "22:00", "end": "22:30", "activity": "arq", "rf_w": 20.0,
        "transmit_share": 0.4,
    },
    {"start": "22:30", "end": "06:00", "activity": "watch"},
]  # fmt: skip


def small_kit() -> dict[str, Any]:
    """A 10 W radio with an amplifier, a lithium battery and an mppt panel."""
    return {
        "name": "small",
        "reserve_fraction": 0.2,
        "start_fraction": 0.95,
        "radio": {
            "receive_a": 0.3, "off_a": 0.005, "key_down": [[1.0, 0.9], [5.0, 1.6], [10.0, 2.2]],
            "rf_min_w": 0.5, "supply_min_v": 11.0, "supply_max_v": 15.9, "receive_min_v": 9.5,
            "mass_kg": 1.2,
        },
        "amplifier": {
            "key_down": [[10.0, 3.0], [50.0, 7.5]], "gain_db": 10.0, "standby_a": 0.2,
            "operate_a": 0.6, "in_session": "operate", "supply_min_v": 11.5, "mass_kg": 1.5,
        },
        "tuner": {"idle_a": 0.01, "tuning_a": 0.5, "tuning_s": 6.0},
        "battery": {
            "chemistry": "LFP", "capacity_ah": 20.0, "tested_fraction": 0.9,
            "resistance_ohm": 0.03, "charge_efficiency": 0.99, "charge_limit_a": 10.0,
            "discharge_limit_a": 20.0, "cutoff_v": 10.0, "reconnect_v": 12.5, "mass_kg": 2.6,
        },
        "controller": {"kind": "mppt", "efficiency": 0.95, "own_a": 0.01, "start_margin_v": 1.0},
        "panel": {"rated_w": 60.0, "other_losses": 0.15, "mass_kg": 2.0},
        "leads": [
            {"for": "radio", "size_mm2": 2.5, "one_way_m": 1.5, "joints_mohm": 2.0},
            {"for": "amplifier", "size_mm2": 4.0, "one_way_m": 1.0, "joints_mohm": 2.0},
            {"for": "battery", "size_mm2": 4.0, "one_way_m": 0.5, "joints_mohm": 2.0},
            {"for": "panel", "size_mm2": 2.5, "one_way_m": 5.0, "joints_mohm": 2.0},
        ],
    }  # fmt: skip


def one_box() -> dict[str, Any]:
    """A 100 W radio with its built-in tuner, a larger battery and no amplifier."""
    kit = small_kit()
    del kit["amplifier"], kit["tuner"]
    kit["name"] = "one box"
    kit["radio"] = {
        "receive_a": 1.0,
        "off_a": 0.01,
        "key_down": [[5.0, 6.7], [50.0, 14.5], [100.0, 20.0]],
        "supply_min_v": 11.7,
        "supply_max_v": 15.9,
        "receive_min_v": 10.0,
        "mass_kg": 3.2,
    }
    kit["battery"] |= {"capacity_ah": 50.0, "discharge_limit_a": 50.0, "mass_kg": 6.0}
    kit["panel"] |= {"rated_w": 100.0, "mass_kg": 3.5}
    return kit


def question(*stations: dict[str, Any], plan: Any = None, **day: Any) -> Scenario:
    """Return a scenario of some kits; ``day`` overrides members of the day."""
    return Scenario.model_validate(
        {
            "title": "sweep",
            "site": SITE,
            "day": {"date": date(2027, 6, 15), "low_c": 8.0, "high_c": 20.0} | day,
            "plan": PLAN if plan is None else plan,
            "stations": list(stations) or [small_kit(), one_box()],
        }
    )
