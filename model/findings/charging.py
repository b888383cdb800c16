"""Rules about charging: panel, controller, charger and what the battery accepts."""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache

import numpy as np

from model.findings.finding import Finding, Subject
from model.scenario.chemistries import CHARGE_EFFICIENCY_MARGIN, CHEMISTRIES
from model.scenario.power import AS_BATTERY
from model.scenario.station import Panel, Station
from model.sky.irradiance import PanelLight
from model.sky.weather import coldest_c
from model.station.chemistry import absorption_v, half_charged_v
from model.station.panel_curve import cold_open_circuit_v, panel_curve, tied_current_a
from model.support.figures import amount, apart, entered, percent

# A panel made for a 12 V battery loses about a fifth tied to it; from here on it is the wrong one.
NOTABLE_MISMATCH = 0.25
TOUCHABLE_V = 60.0


def _volts_in_series(panel: Panel) -> int:
    return panel.count if panel.wiring == "series" else 1


@lru_cache(maxsize=64)
def _tied_share(panel: Panel, battery_v: float) -> float:
    """Return power at battery volts over the best power, in full light at 25 °C cells [1]."""
    light = PanelLight(np.array([1000.0]), np.array([1000.0]), np.array([25.0]))
    curve = panel_curve(panel, light)
    return float(tied_current_a(curve, battery_v)[0] * battery_v / curve.maximum_w[0])


def _no_controller(subject: Subject) -> Iterator[Finding]:
    station = subject.station
    if station.panel is not None and station.controller is None:
        yield Finding(
            "warning",
            "controller",
            "Do not connect this panel to the battery: without a charge controller nothing ends"
            " the charge, and at night current may flow back. The run counts its sun as through a"
            " PWM controller.",
            "Add a controller set to the battery's chemistry.",
        )
    if station.controller is not None and station.panel is None:
        taken_ah = station.controller.own_a * 24
        costs = f" and draws {amount(taken_ah, 'Ah')} a day" if taken_ah else ""
        yield Finding(
            "hint",
            "controller",
            f"There is no panel: the controller charges nothing{costs}.",
            "Leave it at home.",
        )


def _mismatch(subject: Subject) -> Iterator[Finding]:
    station = subject.station
    panel, controller = station.panel, station.controller
    if panel is None or (controller is not None and controller.kind == "mppt"):
        return
    battery_v = half_charged_v(station.battery)
    lost = 1 - _tied_share(panel, round(battery_v, 3))
    if lost >= NOTABLE_MISMATCH:
        best_v = panel.vmp_v * _volts_in_series(panel)
        held = "Held" if controller else "Through a PWM controller, held"
        yield Finding(
            "hint",
            "controller.kind" if controller else "controller",
            f"{held} at the battery's {amount(battery_v, 'V')}, this panel works far below its"
            " voltage"
            f" at maximum power of {entered(best_v, 'V')}: in full sun, cells at 25 °C,"
            f" {percent(lost)} of its power is lost.",
            "Use an MPPT controller, panels in parallel, or a panel with a Vmp of about 18 V.",
        )


def _too_few_volts(subject: Subject) -> Iterator[Finding]:
    station = subject.station
    panel, controller = station.panel, station.controller
    if panel is None:
        return
    open_v = panel.voc_v * _volts_in_series(panel)
    margin_v = controller.start_margin_v if controller else 0.0
    battery_v = half_charged_v(station.battery)
    if open_v <= battery_v + margin_v:
        above = f" plus the {entered(margin_v, 'V')} the controller starts at" if margin_v else ""
        yield Finding(
            "warning",
            "panel.voc_v",
            f"Without load the panel reaches {entered(open_v, 'V')}, never above the battery's"
            f" {amount(battery_v, 'V')}{above}: it cannot charge.",
            "Wire panels in series, or choose one of higher voltage.",
        )
    elif panel.vmp_v * _volts_in_series(panel) < absorption_v(station.battery):
        yield Finding(
            "hint",
            "panel.vmp_v",
            "The panel's voltage at maximum power,"
            f" {entered(panel.vmp_v * _volts_in_series(panel), 'V')}, is"
            f" below the {amount(absorption_v(station.battery), 'V')} of a battery nearly full: the"
            " end of the charge is slow, and slower in heat.",
        )


def _crossed_volts(subject: Subject) -> Iterator[Finding]:
    panel = subject.station.panel
    if panel is not None and panel.vmp_v >= panel.voc_v:
        yield Finding(
            "error",
            "panel.vmp_v",
            f"The voltage at maximum power of {entered(panel.vmp_v, 'V')} is not below the"
            " open-circuit"
            f" voltage of {entered(panel.voc_v, 'V')}.",
            "Vmp is usually about 0.8 of Voc.",
        )


def _cold_volts(subject: Subject) -> Iterator[Finding]:
    panel, controller = subject.station.panel, subject.station.controller
    if panel is None:
        return
    lowest_c = coldest_c(subject.setting.site, subject.setting.trip)
    cold_v = cold_open_circuit_v(panel, lowest_c)
    string = f"{panel.count} panels in series" if _volts_in_series(panel) > 1 else "the panel"
    limit_v = controller.input_limit_v if controller else None
    if limit_v is not None and cold_v > limit_v:
        cold, limit = apart((cold_v, limit_v), "V")
        yield Finding(
            "warning",
            "controller.input_limit_v",
            f"At {entered(lowest_c, '°C')} {string} can reach {cold} without load; the controller"
            f" is rated for {limit}, and more destroys it.",
            "Wire in parallel, or use a controller with a higher voltage rating.",
        )
    if cold_v > TOUCHABLE_V:
        yield Finding(
            "hint",
            "panel.wiring",
            f"At {entered(lowest_c, '°C')} {string} can reach {amount(cold_v, 'V')}: enough for a"
            " shock, and a plug pulled under load draws an arc.",
            "Cover the panels before you plug or unplug them; local rules apply.",
        )


def _output_limit(subject: Subject) -> Iterator[Finding]:
    panel, controller = subject.station.panel, subject.station.controller
    if panel is None or controller is None or controller.output_limit_a is None:
        return
    battery_v = half_charged_v(subject.station.battery)
    best_w = panel.rated_w * panel.count * (1 - panel.other_losses)
    kept_w = controller.output_limit_a * battery_v
    if kept_w < 0.95 * best_w:
        yield Finding(
            "hint",
            "controller.output_limit_a",
            f"The controller passes {entered(controller.output_limit_a, 'A')}, about"
            f" {amount(kept_w, 'W')} into this"
            f" battery; the panel could give {amount(best_w, 'W')}.",
        )


def _charge_limit(subject: Subject) -> Iterator[Finding]:
    station = subject.station
    battery = station.battery
    if battery.charge_limit_a is None:
        return
    limit_a = battery.charge_limit_a * battery.count
    for index, charger in enumerate(station.chargers):
        if charger.current_a > limit_a:
            yield Finding(
                "warning",
                f"chargers.{index}.current_a",
                f"This charger offers {entered(charger.current_a, 'A')}; the battery may take"
                f" {entered(limit_a, 'A')}. The run leaves the rest unused; in the field it damages"
                " the"
                " battery or opens its protection.",
                f"Use a charger of {entered(limit_a, 'A')} or less.",
            )
    given_a = full_sun_a(station)
    if given_a > limit_a:
        yield Finding(
            "warning",
            "battery.charge_limit_a",
            f"In full sun the panel can charge with {amount(given_a, 'A')}; the battery may take"
            f" {entered(limit_a, 'A')}.",
            "Limit the controller's output, or use a larger battery.",
        )


def full_sun_a(station: Station) -> float:
    """Return the current that the panel charges with in full sun; 0 without a panel [A]."""
    panel, controller = station.panel, station.controller
    if panel is None:
        return 0.0
    best_w = panel.rated_w * panel.count * (1 - panel.other_losses)
    given_a = best_w / half_charged_v(station.battery)
    if controller is not None and controller.output_limit_a is not None:
        given_a = min(given_a, controller.output_limit_a)
    return given_a


def _cold_charging(subject: Subject) -> Iterator[Finding]:
    battery = subject.station.battery
    limit_c = battery.charge_min_c
    if battery.cell.frost_harms and limit_c is not None and limit_c < 0:
        yield Finding(
            "warning",
            "battery.charge_min_c",
            f"Charging is allowed down to {entered(limit_c, '°C')} cell temperature; below 0 °C it"
            f" damages {battery.cell.family} cells for good.",
            "Leave it empty unless the maker allows it for these cells.",
        )


def _wrong_profile(subject: Subject) -> Iterator[Finding]:
    controller, battery = subject.station.controller, subject.station.battery
    if controller is not None and controller.profile not in (AS_BATTERY, battery.chemistry):
        yield Finding(
            "error",
            "controller.profile",
            f"The controller is set to charge {CHEMISTRIES[controller.profile].label}; the battery"
            f" is {battery.cell.label}. It would be overcharged, or never filled.",
            "Set the controller to the battery's chemistry, or carry one that has it.",
        )


def _charge_efficiency(subject: Subject) -> Iterator[Finding]:
    battery = subject.station.battery
    charges = subject.station.panel is not None or bool(subject.station.chargers)
    usual = battery.cell.usual_charge_efficiency
    if (
        usual is not None
        and charges
        and battery.charge_efficiency > usual + CHARGE_EFFICIENCY_MARGIN
    ):
        yield Finding(
            "hint",
            "battery.charge_efficiency",
            f"A {battery.cell.family} battery gives back about {entered(usual)} of what it is"
            f" charged with, not {entered(battery.charge_efficiency)}.",
        )


def _flattered_panel(subject: Subject) -> Iterator[Finding]:
    panel = subject.station.panel
    if panel is not None and panel.other_losses == 0:
        yield Finding(
            "hint",
            "panel.other_losses",
            f"The panel is counted at its full rating of {entered(panel.rated_w, 'W')}; in the"
            " field"
            " dirt, age, shade and an optimistic rating take 0.15 to 0.3 of it.",
        )


def _mount(subject: Subject) -> Iterator[Finding]:
    panel, site = subject.station.panel, subject.setting.site
    if panel is None:
        return
    if panel.mount != "fixed":
        if panel.tilt_deg > 0:
            how = "lies flat" if panel.mount == "flat" else "is turned to the sun"
            yield Finding(
                "hint",
                "panel.tilt_deg",
                f"The panel {how}: the tilt of {entered(panel.tilt_deg, '°')} is not used.",
                "Set the mount to fixed to use it.",
            )
        return
    sunward_deg = 180.0 if site.latitude_deg > 0 else 0.0
    away_deg = abs((panel.azimuth_deg - sunward_deg + 180.0) % 360.0 - 180.0)
    if abs(site.latitude_deg) > 23.5 and panel.tilt_deg >= 15 and away_deg > 100:
        yield Finding(
            "hint",
            "panel.azimuth_deg",
            f"The panel is tilted {entered(panel.tilt_deg, '°')} towards"
            f" {entered(panel.azimuth_deg, '°')}, away from"
            f" the noon sun at {entered(sunward_deg, '°')}.",
        )


RULES = (
    _no_controller,
    _mismatch,
    _too_few_volts,
    _crossed_volts,
    _cold_volts,
    _output_limit,
    _charge_limit,
    _cold_charging,
    _wrong_profile,
    _charge_efficiency,
    _flattered_panel,
    _mount,
)
