"""A comparison as plain data for JSON, and every minute as one table for CSV."""

from __future__ import annotations

from dataclasses import asdict
from datetime import datetime
from math import inf
from typing import TYPE_CHECKING, Any

import pandas as pd

from model.engine.comparison import Comparison, concerns
from model.engine.outcome import USES, Clock, Clocks, Losses, PanelEnergy, TransmitVolts
from model.engine.run import StationRun
from model.export.fingerprint import fingerprint
from model.findings.rules import Finding
from model.results.provenance import guess_share
from model.station.carried_mass import carried_total, shared_extras
from model.station.decibels import decibels
from model.station.transmit_path import highest_planned_w
from model.verdict.order import ranking
from model.verdict.sentences import name_of

if TYPE_CHECKING:
    from model.advice.advice import Counsel

CSV_COLUMNS = (
    "time", "station", "load_a", "panel_w", "battery_a", "fraction", "battery_v", "radio_v",
    "cell_c", "panel_irradiance_w_m2", "input_mark",
)  # fmt: skip


def as_data(comparison: Comparison, counsel: Counsel | None) -> dict[str, Any]:
    """Return every outcome as dictionaries, lists, numbers and strings; times are ISO local.

    Objects are always there; where something never happens or does not apply only their members
    are None. Flips and cures are None where no advice was asked for.
    """
    scenario = comparison.scenario
    return {
        "title": scenario.title,
        "start": _time(comparison.clock.start),
        "days": comparison.clock.days,
        "stations": [_station(comparison, index) for index in range(len(comparison.runs))],
        "differences": _differences(comparison),
        "flips": None if counsel is None else _flips(counsel),
        "cures": None if counsel is None else _cures(comparison, counsel),
        "findings": [
            _finding(f) for f in comparison.findings if not f.path.startswith("stations.")
        ],
    }


def _flips(counsel: Counsel) -> list[dict[str, Any]]:
    return [
        {
            "path": flip.path,
            "unit": flip.unit,
            "now": flip.now,
            "value": flip.value,
            "stations": list(flip.stations),
            "both_last": flip.both_last,
        }
        for flip in counsel.flips
    ]


def _cures(comparison: Comparison, counsel: Counsel) -> list[dict[str, Any]]:
    """Return what helps the station that ends first, which ``station`` counts from 0."""
    return [
        {
            "station": ranking(comparison)[0][1],
            "key": cure.action.key,
            "words": cure.action.words,
            "loses": cure.action.loses,
            "gained_h": None if cure.gained_h == inf else cure.gained_h,
            "lasts": cure.gained_h == inf,
        }
        for cure in counsel.cures
    ]


def minutes_table(comparison: Comparison) -> pd.DataFrame:
    """Return every minute of every station that was run, station by station."""
    tables = [
        run.minutes().assign(station=name_of(comparison, index))
        for index, run in enumerate(comparison.runs)
        if run is not None
    ]
    if not tables:
        return pd.DataFrame(columns=list(CSV_COLUMNS))
    return pd.concat(tables, ignore_index=True).assign(input_mark=fingerprint(comparison.scenario))


def _station(comparison: Comparison, index: int) -> dict[str, Any]:
    scenario, run = comparison.scenario, comparison.runs[index]
    station = scenario.stations[index]
    carried = carried_total(station, shared_extras(scenario, index))
    return {
        "name": station.name,
        "mass_kg": carried.mass_kg,
        "boxes": carried.boxes,
        "cables": carried.cables,
        "cost": carried.cost,
        "rf_w": highest_planned_w(station, scenario.plan),
        **(_outcome(run) if run is not None else _withheld()),
        "findings": [_finding(f) for f in comparison.findings if concerns(f, index)],
    }


def _outcome(run: StationRun) -> dict[str, Any]:
    sums = run.sums
    return {
        "lowest_fraction": {"value": run.lowest.value, "at": _time(run.lowest.at)},
        "end_fraction": run.end_fraction,
        "reserve_crossed": {"at": _time(run.reserve_crossed_at)},
        "clocks": _clocks(run.clocks),
        "hours_on_battery": run.hours_on_battery,
        "load_ah": sums.load_ah,
        "load_wh": sums.load_wh,
        "by_use_ah": dict(sums.by_use_ah),
        "panel_wh": asdict(sums.panel_wh),
        "charger_wh": sums.charger_wh,
        "battery_wh": {"into": sums.battery_in_wh, "out": sums.battery_out_wh},
        "losses_wh": asdict(sums.losses_wh),
        "transmit_volts": _volts(run.transmit_volts),
        "guess_share": guess_share(run),
        "ledger_residual": sums.ledger_residual,
    }


def _withheld() -> dict[str, Any]:
    """Return the outcome of a station that was not run: the same objects, nothing in them."""
    nothing = Clock()
    return {
        "lowest_fraction": {"value": None, "at": None},
        "end_fraction": None,
        "reserve_crossed": {"at": None},
        "clocks": _clocks(Clocks(nothing, nothing, nothing)),
        "hours_on_battery": None,
        "load_ah": None,
        "load_wh": None,
        "by_use_ah": dict.fromkeys(USES),
        "panel_wh": dict.fromkeys(PanelEnergy.__dataclass_fields__),
        "charger_wh": None,
        "battery_wh": {"into": None, "out": None},
        "losses_wh": dict.fromkeys(Losses.__dataclass_fields__),
        "transmit_volts": _volts(TransmitVolts()),
        "guess_share": None,
        "ledger_residual": None,
    }


def _clocks(clocks: Clocks) -> dict[str, Any]:
    return {
        name: {
            "until": _time(clock.until),
            "cause": clock.cause,
            "because": clock.because,
            "drain": clock.drain,
            "back_at": _time(clock.back_at),
            "hours": clock.hours,
            "next_transmit": _time(clock.next_transmit),
        }
        for name, clock in vars(clocks).items()
    }


def _volts(volts: TransmitVolts) -> dict[str, Any]:
    return {"first": volts.first, "lowest": volts.lowest, "at": _time(volts.at)}


def _finding(finding: Finding) -> dict[str, str]:
    return {
        "level": finding.level,
        "path": finding.path,
        "sentence": finding.sentence,
        "remedy": finding.remedy,
    }


def _differences(comparison: Comparison) -> list[dict[str, Any]]:
    """Return how each other station stands against the first: the other less the first."""
    scenario, first = comparison.scenario, comparison.runs[0]
    loads = [carried_total(s, shared_extras(scenario, i)) for i, s in enumerate(scenario.stations)]
    powers = [highest_planned_w(station, scenario.plan) for station in scenario.stations]
    rows = []
    for index, run in enumerate(comparison.runs[1:], start=1):
        row: dict[str, Any] = {
            "stations": [0, index],
            "power_db": decibels(powers[index], powers[0]) if powers[0] and powers[index] else None,
            "mass_kg": loads[index].mass_kg - loads[0].mass_kg,
            "boxes": loads[index].boxes - loads[0].boxes,
            "cables": loads[index].cables - loads[0].cables,
            "cost": loads[index].cost - loads[0].cost,
        }
        both = first is not None and run is not None
        row["load_ah"] = run.sums.load_ah - first.sums.load_ah if first and run else None
        row["lowest_fraction"] = run.lowest.value - first.lowest.value if first and run else None
        row["end_fraction"] = run.end_fraction - first.end_fraction if first and run else None
        row["hours"] = {
            name: _less(getattr(run.clocks, name), getattr(first.clocks, name))
            if both and run and first
            else None
            for name in Clocks.__dataclass_fields__
        }
        rows.append(row)
    return rows


def _less(clock: Clock, other: Clock) -> float | None:
    if clock.hours is None or other.hours is None:
        return None
    return clock.hours - other.hours


def _time(at: datetime | None) -> str | None:
    return None if at is None else at.isoformat()
