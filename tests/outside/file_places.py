"""A listening kit at the place of a weather file, with the file's year and its twelve months.

Everything goes in by the way that a user has: the program's own import of weather files. The
same kit as numbers for the balance that is written apart (``plain_balance``).
"""

from __future__ import annotations

from datetime import date
from functools import cache
from pathlib import Path

import pvlib

from model.editing.paths import with_value
from model.files.weather_file import read_weather_file
from model.files.weather_import import import_weather
from model.scenario.scenario import Scenario
from model.sky.daily_weather import WeatherRecord
from tests.laws.sample_kits import question, small_kit
from tests.outside.plain_balance import Kit

DATA = Path(pvlib.__file__).parent / "data"
# Installed with the solar library: see ``weather_year_files``.
FILES = {
    "Sand Point": DATA / "703165TY.csv",
    "Greensboro": DATA / "723170TYA.CSV",
    "Miami": DATA / "12839.tm2",
}
START_HOUR, DAYS = 8, 3
RESERVE, CAPACITY_AH, RECEIVE_A, OWN_A = 0.2, 13.0, 0.45, 0.01


@cache
def record(path: Path) -> WeatherRecord:
    """Return what the program reads of a file."""
    return read_weather_file(path)


@cache
def imported(path: Path) -> Scenario:
    """Return the kit for three days at the place, with the climate of the file."""
    place = record(path)
    hours = round(place.utc_offset_h)
    site = {
        "latitude_deg": place.latitude_deg,
        "longitude_deg": place.longitude_deg,
        "elevation_m": max(place.elevation_m, 0.0),
        # Standard time all year; the sign of these names is that of the sea.
        "timezone": f"Etc/GMT{-hours:+d}" if hours else "Etc/GMT",
    }
    kit = small_kit()
    del kit["amplifier"], kit["tuner"]
    kit |= {"start_fraction": 1.0, "reserve_fraction": RESERVE}
    kit["radio"] |= {"receive_a": RECEIVE_A}
    kit["controller"] |= {"own_a": OWN_A}
    kit["battery"] |= {"capacity_ah": CAPACITY_AH, "tested_fraction": 1.0, "kept": "warm"}
    kit["battery"] |= {"warm_c": 15.0}
    watch = [{"start": "00:00", "end": "24:00", "activity": "watch"}]
    scenario = question(kit, plan=watch, days=DAYS, start_hour=START_HOUR)
    scenario = with_value(scenario, "site", scenario.site.model_copy(update=site))
    return with_value(scenario, "climate", import_weather(scenario.site, None, [path]).climate)


def at(path: Path, panel_w: float, tilt_deg: float, day: date, days: int = DAYS) -> Scenario:
    """Return the kit at a file's place on a day, its panel leaned towards the equator."""
    scenario = imported(path)
    towards = 180.0 if scenario.site.latitude_deg >= 0 else 0.0
    for where, value in (
        ("day.date", day),
        ("day.days", days),
        ("stations.0.panel.rated_w", panel_w),
        ("stations.0.panel.mount", "fixed"),
        ("stations.0.panel.tilt_deg", tilt_deg),
        ("stations.0.panel.azimuth_deg", towards),
    ):
        scenario = with_value(scenario, where, value)
    return scenario


def plain_kit(panel_w: float, tilt_deg: float) -> Kit:
    """Return the same kit as the plain balance has it."""
    panel = small_kit()["panel"]
    return Kit(
        load_a=RECEIVE_A + OWN_A,
        battery_ah=CAPACITY_AH,
        reserve_ah=RESERVE * CAPACITY_AH,
        panel_w=panel_w,
        tilt_deg=tilt_deg,
        other_losses=panel["other_losses"],
        power_per_c=-0.004,
        controller=small_kit()["controller"]["efficiency"],
        charge_efficiency=small_kit()["battery"]["charge_efficiency"],
    )
