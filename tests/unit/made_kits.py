"""Invented stations, drawn from a fixed seed, whose outcomes are kept beside the tests."""

from __future__ import annotations

from datetime import date
from random import Random
from typing import Any

ZONES = (
    ("Europe/Rome", 45.0, 9.0),
    ("America/Denver", 39.0, -105.0),
    ("Pacific/Auckland", -41, 174),
)


def made_kit(seed: int) -> dict[str, Any]:
    """Return a scenario of one to three stations as its file holds it."""
    draw = Random(f"kit {seed}")
    zone, latitude, longitude = draw.choice(ZONES)
    low = draw.uniform(-12.0, 18.0)
    return {
        "format": 2,
        "title": f"Made kit {seed}",
        "site": {
            "latitude_deg": latitude,
            "longitude_deg": longitude,
            "elevation_m": draw.choice([0.0, 400.0, 2100.0]),
            "timezone": zone,
            "horizon": draw.choice([[], [[0, 4], [90, 12], [200, 2]]]),
        },
        "day": {
            "date": draw.choice(
                [date(2027, m, d) for m, d in ((1, 16), (4, 3), (7, 10), (10, 30))]
            ),
            "start_hour": draw.choice([0.0, 8.0, 17.5]),
            "days": draw.choice([1, 2]),
            "sky": draw.choice([[1.0], [0.9733], [0.5237]]),
            "low_c": [low],
            "high_c": [low + draw.uniform(2.0, 14.0)],
        },
        "plan": _plan(draw),
        "stations": [_station(draw, number) for number in range(draw.choice([1, 2, 2, 3]))],
    }


def _plan(draw: Random) -> list[dict[str, Any]]:
    night = draw.choice([0.083, 0.5, 1.0])
    spoken = draw.choice(["voice", "morse", "fm"])
    return [
        {"start": "06:00", "end": "18:30", "activity": "watch", "listen_share": 1.0},
        {
            "start": "18:30",
            "end": "19:45",
            "activity": spoken,
            "rf_w": draw.choice([5.0, 25.0, 80.0]),
            "transmit_share": draw.choice([0.1, 0.3]),
        },
        {
            "start": "20:00",
            "end": "21:00",
            "activity": draw.choice(["slots", "arq"]),
            "rf_w": draw.choice([5.0, 20.0]),
            "transmit_share": 0.35,
        },
        {"start": "21:00", "end": "06:00", "activity": "watch", "listen_share": night},
    ]


def _station(draw: Random, number: int) -> dict[str, Any]:
    low_power = draw.random() < 0.5
    station: dict[str, Any] = {
        "name": f"Station {number + 1}",
        "start_fraction": draw.choice([0.6, 0.95, 1.0]),
        "radio": {
            "receive_a": draw.uniform(0.1, 0.4) if low_power else draw.uniform(0.7, 1.4),
            "off_a": draw.choice([0.0, 0.01]),
            "key_down": [[2.0, 1.1], [10.0, 2.3]] if low_power else [[10.0, 7.0], [100.0, 19.0]],
            "supply_min_v": draw.choice([10.5, 11.6]),
            "supply_max_v": 15.9,
            "receive_min_v": 9.6,
            "mass_kg": draw.uniform(0.6, 3.0),
        },
        "battery": _battery(draw),
        "leads": [
            {"for": "radio", "size_mm2": draw.choice([1.5, 4.0]), "one_way_m": 1.4},
            {"for": "battery", "size_mm2": 6.0, "one_way_m": 0.4, "joints_mohm": 2.0},
        ],
        "extras": [{"name": "Lamp", "power_w": 3.0, "hours": [["19:00", "23:00"]]}],
    }
    if low_power and draw.random() < 0.7:
        station["amplifier"] = {
            "key_down": [[10.0, 3.2], [90.0, 14.0]],
            "gain_db": 12.0,
            "standby_a": 0.1,
            "operate_a": 0.5,
            "in_session": draw.choice(["standby", "operate"]),
            "out_of_session": draw.choice(["off", "standby", "operate"]),
        }
    if draw.random() < 0.4:
        station["tuner"] = {"idle_a": 0.02, "tuning_a": 0.4, "tuning_s": 5.0, "loss_db": 0.4}
    if draw.random() < 0.4:
        station["laptop"] = {"power_w": 14.0, "own_battery_wh": 30.0, "runs": "data"}
    if draw.random() < 0.75:
        kind = draw.choice(["mppt", "pwm"])
        mount = draw.choice(["flat", "fixed", "re-aimed"])
        station["panel"] = {"rated_w": draw.choice([30.0, 70.0]), "mount": mount}
        if mount == "fixed":
            station["panel"] |= {"tilt_deg": 40.0, "azimuth_deg": 180.0}
        station["panel"] |= {"vmp_v": 18.0, "voc_v": 22.0}
        station["controller"] = {"kind": kind, "own_a": 0.01}
    if draw.random() < 0.2:
        station["chargers"] = [{"name": "Vehicle", "current_a": 6.0, "hours": [["12:00", "13:00"]]}]
    return station


def _battery(draw: Random) -> dict[str, Any]:
    chemistry = draw.choice(["LFP", "LFP", "Li-ion", "AGM", "flooded", "NiMH"])
    return {
        "chemistry": chemistry,
        "capacity_ah": draw.uniform(6.0, 34.0),
        "tested_fraction": draw.choice([0.8, 1.0]),
        "resistance_ohm": draw.choice([0.02, 0.06]),
        "charge_efficiency": 0.97,
        "charge_limit_a": draw.choice([4.0, 15.0]),
        "discharge_limit_a": draw.choice([12.0, 30.0]),
        "cutoff_v": 10.4,
        "reconnect_v": 12.2,
        "kept": draw.choice(["open", "insulated", "warm"]),
        "mass_kg": 3.0,
    }
