"""Sun needed and sun expected: how a panel is set, what it gives, and what the station asks."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

import numpy as np

from model.engine.run import StationRun
from model.sky.irradiance import panel_facing, panel_light
from model.sky.trip import Trip

WH_PER_KWH = 1000.0


@dataclass(frozen=True)
class Aim:
    """One setting of the panel: from when, tilt and true bearing [deg]."""

    at: datetime
    tilt_deg: float
    azimuth_deg: float


@dataclass(frozen=True)
class Harvest:
    """Sun in hours of full sun a day (1000 W/m² on the panel's plane), as means over the run.

    Attributes
    ----------
    needed_sun_h : what the station's own use asks of this panel; None where it gives nothing.
    clear_sun_h, bad_sun_h, planned_sun_h : what falls on it under each sky.
    clear_wh, bad_wh, planned_wh : what it could give in a day under each sky, before the
        controller.
    aims : settings on the first day with sun; one where the panel is not moved.
    charge_from : when the cells are first warm enough to charge on each day that they were not.
    never_charges : whether the cells stay too cold throughout.
    """

    needed_sun_h: float | None
    clear_sun_h: float
    bad_sun_h: float
    planned_sun_h: float
    clear_wh: float
    bad_wh: float
    planned_wh: float
    aims: tuple[Aim, ...]
    charge_from: tuple[datetime, ...]
    never_charges: bool


def harvest(run: StationRun, clear: StationRun, bad: StationRun) -> Harvest | None:
    """Compare the sun a station needs with the sun it may expect; None without a panel.

    Notes
    -----
    A watt-hour drawn at night goes through the battery and is divided by its charge efficiency.
    What an hour of full sun brings is what the panel gave under the clear sky, less controller
    and leads, over the light on its plane.
    """
    panel = run.station.panel
    if panel is None:
        return None
    days = run.clock.days
    clear_h = _sun_h(run, clear.trip)
    clear_wh = clear.sums.panel_wh.available / days
    return Harvest(
        needed_sun_h=_needed_h(run, clear, clear_h),
        clear_sun_h=clear_h,
        bad_sun_h=_sun_h(run, bad.trip),
        planned_sun_h=_sun_h(run, run.trip),
        clear_wh=clear_wh,
        bad_wh=bad.sums.panel_wh.available / days,
        planned_wh=run.sums.panel_wh.available / days,
        aims=_aims(run),
        charge_from=_charge_from(run),
        never_charges=not run.inputs.climate.may_charge.any(),
    )


def _sun_h(run: StationRun, trip: Trip) -> float:
    panel = run.station.panel
    assert panel is not None
    light = panel_light(run.site, trip, panel, run.clock.step_min)
    return float(light.plane_w_m2.sum() * run.clock.step_h / WH_PER_KWH / run.clock.days)


def _needed_h(run: StationRun, clear: StationRun, clear_sun_h: float) -> float | None:
    if clear_sun_h <= 0:
        return None
    able_wh = float((clear.flow.panel_able_a * clear.flow.bus_v).sum()) * clear.clock.step_h
    per_sun_h = able_wh / run.clock.days / clear_sun_h
    if per_sun_h <= 0:
        return None
    load_w = run.flow.load_a * run.flow.bus_v
    lit = clear.flow.panel_able_a > 0
    through_battery = np.where(lit, 1.0, 1.0 / run.station.battery.charge_efficiency)
    asked_wh = float((load_w * through_battery).sum()) * run.clock.step_h / run.clock.days
    return asked_wh / per_sun_h


def _aims(run: StationRun) -> tuple[Aim, ...]:
    panel = run.station.panel
    assert panel is not None
    if panel.mount != "re-aimed":
        return (Aim(run.clock.start, _tilt(panel.mount, panel.tilt_deg), panel.azimuth_deg),)
    tilt, azimuth = panel_facing(run.site, run.trip, panel, run.clock.step_min)
    turned = np.flatnonzero((np.diff(tilt) != 0) | (np.diff(azimuth) != 0)) + 1
    starts = np.concatenate([[0], turned])
    standing = [int(step) for step in starts if tilt[step] > 0]
    if not standing:
        return ()
    within = round(24.0 / run.clock.step_h)
    return tuple(
        Aim(run.clock.at(step), float(tilt[step]), float(azimuth[step]))
        for step in standing
        if step < within
    )


def _tilt(mount: str, tilt_deg: float) -> float:
    return 0.0 if mount == "flat" else tilt_deg


def _charge_from(run: StationRun) -> tuple[datetime, ...]:
    """Return the ends of the stretches in which the cells were too cold to charge."""
    allowed = run.inputs.climate.may_charge
    begins = np.flatnonzero(allowed[1:] & ~allowed[:-1]) + 1
    return tuple(run.clock.at(int(step)) for step in begins)
