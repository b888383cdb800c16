"""Rules about place and weather."""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache

import numpy as np

from model.findings.finding import Finding, Setting, Subject
from model.scenario.scenario import Day, Site
from model.sky.horizon import horizon_height_deg
from model.sky.irradiance import panel_light, sun_position
from model.sky.timeline import timeline
from model.station.cell_temperature import cell_climate
from model.support.figures import amount, entered

# Light below which even a cold battery misses nothing worth a word [W/m²].
WORTHWHILE_W_M2 = 50.0


def _low_above_high(setting: Setting) -> Iterator[Finding]:
    day = setting.day
    pairs = max(len(day.low_c), len(day.high_c))
    lows = day.low_c * pairs if len(day.low_c) == 1 else day.low_c
    highs = day.high_c * pairs if len(day.high_c) == 1 else day.high_c
    for number, (low, high) in enumerate(zip(lows, highs, strict=True), start=1):
        if low > high:
            yield Finding(
                "warning",
                "day.low_c",
                f"On day {number} the low of {entered(low, '°C')} is above the high of"
                f" {entered(high, '°C')}.",
                "Swap the two.",
            )
            return


SETTING_RULES = (_low_above_high,)


@lru_cache(maxsize=32)
def _noon(site: Site, day: Day) -> tuple[float, float, float]:
    """Return the sun's greatest height, the horizon there, and hours hidden [deg], [deg], [h]."""
    sun = sun_position(site, day)
    height = sun.apparent_elevation_deg
    ridge = horizon_height_deg(site.horizon, sun.azimuth_deg)
    top = int(np.argmax(height))
    hidden = np.count_nonzero((height > 0) & (height < ridge)) * timeline(site, day).step_h
    return float(height[top]), float(ridge[top]), hidden / day.days


def _dark_noon(subject: Subject) -> Iterator[Finding]:
    site, day = subject.setting.site, subject.setting.day
    if subject.station.panel is None:
        return
    height_deg, ridge_deg, hidden_h = _noon(site, day)
    if height_deg <= 0:
        yield Finding(
            "hint",
            "panel",
            "The sun does not rise in this run: the panel gives next to nothing.",
            "Leave it at home, or bring another charger.",
        )
    elif height_deg < ridge_deg:
        yield Finding(
            "hint",
            "panel",
            f"At noon the sun stands {amount(height_deg, '°')} high behind a horizon of"
            f" {amount(ridge_deg, '°')}:"
            f" it is hidden for {amount(hidden_h, 'h')} a day, noon included.",
            "Set up where the sky towards the sun is open.",
        )


def _frost(subject: Subject) -> Iterator[Finding]:
    station, setting = subject.station, subject.setting
    panel, battery = station.panel, station.battery
    if panel is None or min(setting.day.low_c) >= battery.lowest_charge_c:
        return
    climate = cell_climate(setting.site, setting.day, battery)
    light = panel_light(setting.site, setting.day, panel)
    refused = np.count_nonzero(~climate.may_charge & (light.irradiance_w_m2 > WORTHWHILE_W_M2))
    if refused:
        hours = refused * timeline(setting.site, setting.day).step_h
        yield Finding(
            "hint",
            "battery.kept",
            f"For {amount(hours, 'h')} of sun the cells are below"
            f" {entered(battery.lowest_charge_c, '°C')}, coldest"
            f" {amount(float(climate.cell_c.min()), '°C')}: in that time the battery is not"
            " charged.",
            "Keep the battery insulated or in a warm place; no heat packs against bare cells.",
        )


STATION_RULES = (_dark_noon, _frost)
