"""What a lesson may ask of a run, by name: the outcomes, and the numbers of the scenario itself."""

from __future__ import annotations

import difflib
import re
from collections.abc import Callable, Mapping
from dataclasses import fields, is_dataclass
from datetime import datetime
from functools import cache
from typing import Any

import numpy as np

from model.editing.field_facts import field_at, is_index
from model.editing.paths import value_at
from model.engine.comparison import Comparison
from model.engine.outcome import USES
from model.engine.run import StationRun
from model.lessons.formula import FormulaError, Known
from model.results.expected_readings import METER_DOUBT_V
from model.results.minute import moment
from model.results.provenance import guess_share
from model.results.signal_levels import heard
from model.results.voltage_drop import Chain, chain_at
from model.scenario.station import Battery
from model.sky.cloud_words import index_of
from model.sky.irradiance import panel_light
from model.station.carried_mass import carried_total, shared_extras
from model.station.chemistry import TABLE_STEPS, rest_v
from model.station.key_down_law import fit
from model.station.transmit_path import highest_planned_w

_MOMENT = re.compile(r"(\d\d):(\d\d)(?:\+(\d{1,3}))?", re.ASCII)
MINUTES_A_DAY = 1440

_OF_STATION = ("mass_kg", "boxes", "cables", "rf_w")
_SPECIAL = ("at", "signals")
# These follow from the scenario alone, or are what a meter shows before anything happens.
_NO_SECRET = {"full_ah", "radio_law", "start", *_OF_STATION}


class Outcomes:
    """Looks up one name after another in one comparison."""

    def __init__(self, comparison: Comparison) -> None:
        self.comparison = comparison
        self._kept: dict[str, Known] = {}

    def value(self, name: str) -> Known:
        """Return an outcome, or else the number that stands at this path of the scenario.

        Raises
        ------
        FormulaError
            When there is neither; names the nearest that there is.
        """
        if name not in self._kept:
            self._kept[name] = self._found(name)
        return self._kept[name]

    def is_outcome(self, name: str) -> bool:
        """Whether a name tells something that only a run knows."""
        parts = name.split(".")
        return (
            self._is_known(parts)
            and parts[2] not in _NO_SECRET
            and parts[2:] != ["rest", "start_v"]
            and not self._is_field(name)
        )

    def _is_known(self, parts: list[str]) -> bool:
        return parts[0] == "stations" and len(parts) > 2 and parts[2] in known_outcomes()

    def _is_field(self, name: str) -> bool:
        try:
            value_at(self.comparison.scenario, name)
        except KeyError:
            return False
        return True

    def _found(self, name: str) -> Known:
        parts = name.split(".")
        if self._is_field(name):
            scenario = self.comparison.scenario
            found = value_at(scenario, name)
            if field_at(name).kind == "sky":
                found = index_of(found, scenario.climate)
            return _plain(found, name)
        if self._is_known(parts):
            return _plain(self._outcome(parts), name)
        raise FormulaError(_unknown(name))

    def _outcome(self, parts: list[str]) -> Any:
        scenario, key = self.comparison.scenario, parts[2]
        index = int(parts[1]) if is_index(parts[1]) else -1
        if not 0 <= index < len(scenario.stations):
            raise FormulaError(f"there is no stations.{parts[1]} here")
        station = scenario.stations[index]
        if key == "signals":
            return _walk(_signals(self.comparison, index), parts, 3)
        if key in _OF_STATION:
            carried = carried_total(station, shared_extras(scenario, index))
            sent_w = highest_planned_w(station, scenario.plan)
            return _walk(sent_w if key == "rf_w" else getattr(carried, key), parts, 3)
        run = self.comparison.runs[index]
        if run is None:
            raise FormulaError(f"stations.{index} is not run: its findings say why")
        if key == "at":
            return _walk(_at(run, parts), parts, 4)
        return _walk(_OF_RUN[key](run), parts, 3)


def charges_alike(battery: Battery, reading_v: float) -> tuple[float, float]:
    """Return the least and the most charge whose volts at rest a meter may show so [1]."""
    charge = np.linspace(0.0, 1.0, TABLE_STEPS + 1)
    volts = rest_v(battery.chemistry, battery.cells_in_series, charge)
    alike = charge[np.abs(volts - reading_v) <= METER_DOUBT_V]
    return (float(alike.min()), float(alike.max())) if alike.size else (0.0, 0.0)


def _rest(run: StationRun) -> dict[str, float]:
    """Return volts at rest at the start, and the charges that a meter cannot tell from it."""
    volts = float(run.flow.rest_v[0])
    low, high = charges_alike(run.station.battery, volts)
    return {"start_v": volts, "low_fraction": low, "high_fraction": high}


def _share(run: StationRun, use: str) -> float:
    drawn = {str(known): ah for known, ah in run.sums.by_use_ah.items()}
    return drawn[use] / run.sums.load_ah if run.sums.load_ah else 0.0


def _sun_hours(run: StationRun) -> float:
    """Return the light on the panel in hours of 1000 W/m², as the mean of a day."""
    return float(run.inputs.irradiance_w_m2.sum() * run.clock.step_h / 1000 / run.clock.days)


def _first_charge(run: StationRun) -> datetime | None:
    charged = np.flatnonzero(run.flow.battery_a < -1e-6)
    return run.clock.at(int(charged[0])) if charged.size else None


def _key_down(chain: Chain) -> dict[str, float | None]:
    """Return volts from the cells to the sets, listening and with the key down."""
    radio, amplifier = chain.at_set_v("radio"), chain.at_set_v("amplifier")
    cells = next((link for link in chain.links if link.kind == "cells"), None)
    return {
        "rf_w": chain.rf_w,
        "rest_v": chain.rest_v,
        "bus_v": chain.bus_key_down_v,
        "radio_v": radio[1],
        "amplifier_v": amplifier[1],
        "receive_radio_v": radio[0],
        "current_a": cells.key_down_a if cells else None,
        "holding_w": chain.holding_w,
        "full_power_end_fraction": chain.full_power_end.fraction,
    }


def _lead_sums(run: StationRun, what: str) -> dict[str, float]:
    links = chain_at(run).links
    return {
        str(index): sum(float(getattr(link, what)) for link in links if link.lead_index == index)
        for index in range(len(run.station.leads))
    }


def _signals(comparison: Comparison, index: int) -> dict[str, Any]:
    return {str(block.block_index): block.signals[index] for block in heard(comparison)}


def _at(run: StationRun, parts: list[str]) -> dict[str, Any]:
    """Return the minute of a wall-clock time, first met at or after the start; +1 a day later."""
    found = _MOMENT.fullmatch(parts[3]) if len(parts) > 4 else None
    if found is None:
        raise FormulaError("a moment is written at.06:30.fraction, a day later at.06:30+1.fraction")
    start = run.clock.start
    begin = start.hour * 60 + start.minute
    wanted = int(found[1]) * 60 + int(found[2])
    step = (wanted - begin) % MINUTES_A_DAY + MINUTES_A_DAY * int(found[3] or 0)
    if step >= run.clock.steps:
        raise FormulaError(f"the run is over before {parts[3]}")
    there = moment(run, step)
    values = {field.name: getattr(there, field.name) for field in fields(there)}
    values["cell_c"] = float(run.inputs.climate.cell_c[step])
    if run.station.panel is not None:
        light = panel_light(run.site, run.trip, run.station.panel, run.clock.step_min)
        values["panel_cell_c"] = float(light.cell_c[step])
    return values


def _hours(run: StationRun) -> dict[str, float]:
    """Return how long a plan has a station receive, transmit, and listen outside such blocks."""
    loads, step_h = run.inputs.loads, run.clock.step_h
    listening = np.divide(
        loads.receive_a,
        run.station.radio.receive_a,
        out=np.zeros(loads.receive_a.size),
        where=loads.receive_a > 0,
    )
    return {
        "receive": float(listening.sum() * step_h),
        "transmit": float(loads.send_share.sum() * step_h),
        "quiet": float(np.count_nonzero((loads.send_row < 0) & (listening > 0)) * step_h),
    }


def _walk(value: Any, parts: list[str], place: int) -> Any:
    for part in parts[place:]:
        keys = _keys(value)
        if part not in keys:
            before = ".".join(parts[: parts.index(part)])
            known = f"; there are {', '.join(keys)}" if keys else ""
            raise FormulaError(f'{before} has no "{part}"{known}')
        value = value[part] if isinstance(value, Mapping) else getattr(value, part)
    return value


def _keys(value: Any) -> list[str]:
    if isinstance(value, Mapping):
        return [str(key) for key in value]
    if is_dataclass(value) and not isinstance(value, type):
        own = [field.name for field in fields(value)]
        kind = type(value)
        return own + [name for name in dir(kind) if isinstance(getattr(kind, name), property)]
    return []


def _plain(value: Any, name: str) -> Known:
    if isinstance(value, bool):
        raise FormulaError(f"{name} is yes or no, not a number")
    if isinstance(value, int | float | np.floating):
        return float(value)
    if value is None or isinstance(value, str | datetime):
        return value
    keys = _keys(value)
    if keys:
        raise FormulaError(f"{name} is a group; go on with one of {', '.join(keys)}")
    raise FormulaError(f"{name} is no single number")


def _unknown(name: str) -> str:
    if not name.startswith("stations."):
        return f"there is no {name} here"
    parts = name.split(".")
    wanted = parts[2] if len(parts) > 2 else ""
    nearest = difflib.get_close_matches(wanted, known_outcomes(), n=1, cutoff=0.6)
    hint = f'; the nearest known name is "{nearest[0]}"' if nearest else ""
    return f"there is no {name} here{hint}"


@cache
def known_outcomes() -> tuple[str, ...]:
    """Return what may stand after ``stations.0.`` beside the fields of a station."""
    return (*_OF_RUN, *_OF_STATION, *_SPECIAL)


# What stands behind each name of a station; the rest of the name walks on from there.
_OF_RUN: dict[str, Callable[[StationRun], Any]] = {
    "lowest_fraction": lambda run: run.lowest,
    "end_fraction": lambda run: run.end_fraction,
    "reserve_crossed": lambda run: {"at": run.reserve_crossed_at},
    "clocks": lambda run: run.clocks,
    "hours_on_battery": lambda run: run.hours_on_battery,
    "load_ah": lambda run: run.sums.load_ah,
    "load_wh": lambda run: run.sums.load_wh,
    "by_use_ah": lambda run: run.sums.by_use_ah,
    "panel_wh": lambda run: run.sums.panel_wh,
    "charger_wh": lambda run: run.sums.charger_wh,
    "losses_wh": lambda run: run.sums.losses_wh,
    "transmit_volts": lambda run: run.transmit_volts,
    "guess_share": guess_share,
    "full_ah": lambda run: run.station.battery.full_ah,
    "planned_hours": _hours,
    "share": lambda run: {use: _share(run, use) for use in USES},
    "sun_hours": _sun_hours,
    "first_charge": lambda run: {"at": _first_charge(run)},
    "key_down": lambda run: _key_down(chain_at(run)),
    "lead_drop_v": lambda run: _lead_sums(run, "lost_v"),
    "lead_mohm": lambda run: _lead_sums(run, "resistance_mohm"),
    "rest": _rest,
    "radio_law": lambda run: fit(run.station.radio.key_down),
    "start": lambda run: run.clock.start,
}
