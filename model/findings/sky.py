"""Rules about place and weather."""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache

import numpy as np

from model.findings.finding import Finding, Setting, Subject
from model.scenario.scenario import Site
from model.scenario.station import Panel
from model.sky.horizon import horizon_height_deg
from model.sky.irradiance import panel_light, sun_position
from model.sky.timeline import date_name, timeline
from model.sky.trip import Trip
from model.sky.weather import coldest_c
from model.station.cell_temperature import cell_climate
from model.station.chemistry import Floats, half_charged_v
from model.station.panel_curve import kept_panel_curve
from model.station.part_loads import hour_of, offered_a
from model.support.figures import amount, entered

# Light below which even a cold battery misses nothing worth a word [W/m²].
WORTHWHILE_W_M2 = 50.0
DAILY_FIELDS = {"sky": "The sky", "low_c": "The low", "high_c": "The high"}


def _low_above_high(setting: Setting) -> Iterator[Finding]:
    weather, dates = setting.trip.weather, timeline(setting.site, setting.trip).dates
    for number, date in enumerate(dates):
        low, high = (
            given[min(number, len(given) - 1)] for given in (weather.low_c, weather.high_c)
        )
        if low > high:
            yield Finding(
                "warning",
                "day.low_c",
                f"On {date_name(date)} the low of {entered(low, '°C')} is above the high of"
                f" {entered(high, '°C')}.",
                "Swap the two.",
            )
            return


def _kept_unused(setting: Setting) -> Iterator[Finding]:
    dates = timeline(setting.site, setting.trip).dates
    for name, words in DAILY_FIELDS.items():
        given = len(getattr(setting.day, name))
        if given > len(dates):
            yield Finding(
                "hint",
                f"day.{name}",
                f"{words} is given for {given} dates; the run touches {len(dates)},"
                f" to {date_name(dates[-1])}. The rest is kept and not used.",
                "Nothing need be done; a longer run would use them.",
            )


SETTING_RULES = (_low_above_high, _kept_unused)


@lru_cache(maxsize=32)
def _noon(site: Site, trip: Trip) -> tuple[float, float, float]:
    """Return the sun's greatest height, the horizon there, and hours hidden [deg], [deg], [h]."""
    sun = sun_position(site, trip)
    height = sun.apparent_elevation_deg
    ridge = horizon_height_deg(site.horizon, sun.azimuth_deg)
    top = int(np.argmax(height))
    hidden = np.count_nonzero((height > 0) & (height < ridge)) * timeline(site, trip).step_h
    return float(height[top]), float(ridge[top]), hidden / trip.days


def _dark_noon(subject: Subject) -> Iterator[Finding]:
    site, trip = subject.setting.site, subject.setting.trip
    if subject.station.panel is None:
        return
    height_deg, ridge_deg, hidden_h = _noon(site, trip)
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
    if panel is None or coldest_c(setting.site, setting.trip) >= battery.lowest_charge_c:
        return
    climate = cell_climate(setting.site, setting.trip, battery)
    light = panel_light(setting.site, setting.trip, panel)
    refused = np.count_nonzero(~climate.may_charge & (light.irradiance_w_m2 > WORTHWHILE_W_M2))
    if refused:
        hours = refused * timeline(setting.site, setting.trip).step_h
        yield Finding(
            "hint",
            "battery.kept",
            f"For {amount(hours, 'h')} of sun the cells are below"
            f" {entered(battery.lowest_charge_c, '°C')}, coldest"
            f" {amount(float(climate.cell_c.min()), '°C')}: in that time the battery is not"
            " charged.",
            "Keep the battery insulated or in a warm place; no heat packs against bare cells.",
        )


def _cold_charge(subject: Subject) -> Iterator[Finding]:
    """Name what panel and chargers offer to cells that are too cold to take it.

    Two makers' tables agree within a factor of two on how much that is. How soon more wears the
    cells is not published for a cell that nobody named, and neither the file nor the run knows
    whether its board limits the charge: so it is worth knowing, not known to be wrong.
    """
    station, setting = subject.station, subject.setting
    battery = station.battery
    curve = battery.cell.charge_rate_per_h
    if not curve or coldest_c(setting.site, setting.trip) >= curve[-1][0]:
        return
    rate = cell_climate(setting.site, setting.trip, battery).charge_rate_per_h
    steps = rate.size
    offered = offered_a(station, hour_of(setting.site, setting.trip, 1.0), steps)
    if station.panel is not None:
        offered = offered + _panel_current_a(subject, station.panel)
    if battery.charge_limit_a is not None:
        offered = np.minimum(offered, battery.charge_limit_a * battery.count)
    bears_a = np.where(np.isfinite(rate), rate, 0.0) * battery.full_ah
    over = (bears_a > 0.0) & (offered > bears_a)
    if not over.any():
        return
    worst = int(np.argmax(np.where(over, offered / np.maximum(bears_a, 1e-9), 0.0)))
    hours = np.count_nonzero(over) * timeline(setting.site, setting.trip).step_h
    yield Finding(
        "hint",
        "battery.kept",
        f"For {amount(hours, 'h')} the cells are below {entered(curve[-1][0], '°C')} and are"
        " offered more current than makers allow at that temperature: up to"
        f" {amount(float(offered[worst]), 'A')} where {amount(float(bears_a[worst]), 'A')} is the"
        " most. The run charges no faster. More than that plates lithium and ages the cells; how"
        " soon is not known, nor whether your battery limits it by itself.",
        "Keep the battery insulated or warm, or limit the charging current; ask its maker.",
    )


def _panel_current_a(subject: Subject, panel: Panel) -> Floats:
    """Return what the panel could give into the battery in each step, shape (steps,). [A]"""
    station, setting = subject.station, subject.setting
    light = panel_light(setting.site, setting.trip, panel)
    given_a = kept_panel_curve(panel, light).maximum_w / half_charged_v(station.battery)
    limit_a = station.controller.output_limit_a if station.controller else None
    return given_a if limit_a is None else np.minimum(given_a, limit_a)


STATION_RULES = (_dark_noon, _frost, _cold_charge)
