"""The sum behind one figure of the comparison table, in Ah and Wh, with its factors in words."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

import numpy as np

from model.editing.field_facts import describe
from model.engine.comparison import Comparison, shared_extras
from model.engine.outcome import USES
from model.engine.run import StationRun
from model.results.provenance import Basis, bases
from model.results.wording import USE_WORDS
from model.station.carried_mass import items
from model.station.transmit_path import given_rf_w


@dataclass(frozen=True)
class SumLine:
    """One term of a sum.

    Attributes
    ----------
    label, factors : what it is, and how it comes about.
    ah, wh : its amount; None where the term has none in that unit.
    kg : its mass, for figures that are carried.
    """

    label: str
    factors: str = ""
    ah: float | None = None
    wh: float | None = None
    kg: float | None = None


@dataclass(frozen=True)
class FigureSum:
    """A figure opened: what it is called, its terms, and what they come to."""

    title: str
    lines: tuple[SumLine, ...]
    total: SumLine | None = None


def figure_sum(comparison: Comparison, index: int, key: str) -> FigureSum:
    """Return the sum behind a figure of one station.

    Parameters
    ----------
    key : of a row of the verdict's table, such as ``by_use_ah.receive``.
    """
    station = comparison.scenario.stations[index]
    name = station.name or f"Station {index + 1}"
    if key in ("mass_kg", "boxes", "cables", "cost"):
        return _carried(comparison, index, name)
    if key in ("rf_w", "power_db"):
        return _power(comparison, index, name)
    run = comparison.runs[index]
    if run is None:
        return FigureSum(f"{name} is not run: see its findings", ())
    if key.startswith("by_use_ah."):
        return _one_use(run, name, key.partition(".")[2])
    if key.startswith("panel_wh."):
        return _sun(run, name)
    if key == "hours_on_battery":
        return _alone(run, name)
    if key == "transmit_volts.lowest":
        return _volts(run, name)
    if key == "guess_share":
        return _guesses(run, name)
    if key in ("full_power", "reduced_power", "receive", "lowest_fraction", "end_fraction"):
        return _charge(run, name, key)
    return _loads(run, name)


def _loads(run: StationRun, name: str) -> FigureSum:
    flow, hours = run.flow, run.clock.step_h
    lines = []
    for use in USES:
        current_a = flow.use_a[use]
        drawn_h = float(np.count_nonzero(current_a > 0.0) * hours)
        if drawn_h == 0.0:
            continue
        ah = float(current_a.sum() * hours)
        wh = float((current_a * flow.bus_v).sum() * hours)
        factors = f"{ah / drawn_h:.3f} A mean × {drawn_h:.1f} h × {wh / ah:.2f} V" if ah else ""
        lines.append(SumLine(USE_WORDS[use], factors, ah, wh))
    lines.sort(key=lambda line: -(line.ah or 0.0))
    total = SumLine(
        "drawn in all",
        f"over {run.clock.days * 24} h",
        run.sums.load_ah,
        float((flow.load_a * flow.bus_v).sum() * hours),
    )
    return FigureSum(f"{name}: drawn in all, at the battery's bus", tuple(lines), total)


def _one_use(run: StationRun, name: str, use: str) -> FigureSum:
    rows = [row for row in bases(run) if row.use == use]
    words = next((words for known, words in USE_WORDS.items() if known == use), use)
    if not rows:
        return FigureSum(f"{name}: {words}, nothing drawn", ())
    volts = _mean_volts(run, use)
    lines = tuple(SumLine(_basis_words(row), row.origin, row.ah, row.ah * volts) for row in rows)
    ah = sum(row.ah for row in rows)
    total = SumLine("in all", f"at {volts:.2f} V mean", ah, ah * volts)
    return FigureSum(f"{name}: {words}, by the numbers it rests on", lines, total)


def _mean_volts(run: StationRun, use: str) -> float:
    current_a = next(current for known, current in run.flow.use_a.items() if known == use)
    drawn = float(current_a.sum())
    return float((current_a * run.flow.bus_v).sum()) / drawn if drawn else 0.0


def _basis_words(row: Basis) -> str:
    places = [
        describe(f"stations.0.{path}").partition(", ")[2] if path else "" for path in row.paths
    ]
    return " × ".join(place for place in places if place) or USE_WORDS[row.use]


def _guesses(run: StationRun, name: str) -> FigureSum:
    rows = bases(run)
    lines = tuple(
        SumLine(f"{USE_WORDS[row.use]}: {_basis_words(row)}", row.origin, row.ah) for row in rows
    )
    guessed_ah = sum(row.ah for row in rows if row.origin == "guess")
    total = SumLine("rests on guesses", f"of {run.sums.load_ah:.2f} Ah", guessed_ah)
    return FigureSum(f"{name}: what the Ah rest on", lines, total)


def _moment_of(run: StationRun, key: str) -> datetime | None:
    if key == "lowest_fraction":
        return run.lowest.at
    return None if key == "end_fraction" else getattr(run.clocks, key).until


def _charge(run: StationRun, name: str, key: str) -> FigureSum:
    """Follow the stored charge from the start to the moment of a figure."""
    at = _moment_of(run, key)
    steps = run.clock.steps
    if at is not None:
        elapsed_h = (at - run.clock.start).total_seconds() / 3600
        steps = min(round(elapsed_h / run.clock.step_h), steps)
    flow, hours = run.flow, run.clock.step_h
    span = slice(0, steps)
    full_ah = run.inputs.bounds.full_ah
    stored = np.append(flow.stored_ah, run.end.stored_ah)
    battery = run.station.battery
    lines = [
        SumLine(
            "stored at the start",
            f"{run.station.start_fraction * 100:.0f} % of {battery.capacity_ah:g} Ah"
            f" × {battery.count}"
            f" × {battery.tested_fraction * 100:.0f} %",
            float(stored[0]),
        )
    ]
    for label, current_a in (("from the panel", flow.panel_a), ("from chargers", flow.charger_a)):
        ah = float(current_a[span].sum() * hours)
        if ah:
            wh = float((current_a * flow.bus_v)[span].sum() * hours)
            lines.append(SumLine(label, "", ah, wh))
    for use in USES:
        current_a = flow.use_a[use]
        ah = float(current_a[span].sum() * hours)
        if ah:
            wh = float((current_a * flow.bus_v)[span].sum() * hours)
            lines.append(SumLine(USE_WORDS[use], "", -ah, -wh))
    charging = flow.battery_a < 0
    lost_a = np.where(
        charging,
        -flow.battery_a * (1 - run.inputs.bounds.charge_efficiency),
        flow.drawn_a - flow.battery_a,
    )
    lost_ah = float(lost_a[span].sum() * hours)
    if abs(lost_ah) > 1e-9:
        lines.append(SumLine("lost in charging, and to high current", "", -lost_ah))
    left = float(stored[steps])
    when = f"at {run.clock.at(steps):%a %H:%M}"
    total = SumLine(f"stored {when}", f"{left / full_ah * 100:.0f} % of {full_ah:.2f} Ah", left)
    return FigureSum(f"{name}: charge from the start to {when[3:]}", tuple(lines), total)


def _alone(run: StationRun, name: str) -> FigureSum:
    battery, hours = run.station.battery, run.hours_on_battery
    factors = (
        f"{battery.capacity_ah:g} Ah × {battery.count} × {battery.tested_fraction * 100:.0f} %"
    )
    full = SumLine("full battery", factors, battery.full_ah)
    if hours is None:
        return FigureSum(f"{name}: on the battery alone it lasts beyond 30 days", (full,))
    rate = SumLine("until it is silent", f"{hours:.1f} h × {battery.full_ah / hours:.3f} A at most")
    return FigureSum(f"{name}: from full, without sun or charger", (full, rate))


def _sun(run: StationRun, name: str) -> FigureSum:
    panel = run.sums.panel_wh
    lines = (
        SumLine("used", "", None, panel.used),
        SumLine("unused: the battery was full or the limit reached", "", None, panel.spilled),
        SumLine("lost to mismatch: not at the panel's best point", "", None, panel.mismatch),
    )
    hours = float(np.count_nonzero(run.inputs.irradiance_w_m2 > 0) * run.clock.step_h)
    mean = panel.available / hours if hours else 0.0
    total = SumLine(
        "the panel could give", f"{mean:.1f} W mean × {hours:.1f} h of light", None, panel.available
    )
    return FigureSum(f"{name}: sun at the panel's best point", lines, total)


def _volts(run: StationRun, name: str) -> FigureSum:
    volts = run.transmit_volts
    if volts.lowest is None or volts.first is None or volts.at is None:
        return FigureSum(f"{name}: nothing is sent at planned power", ())
    lines = (
        SumLine("with the key down, first", f"{volts.first:.2f} V"),
        SumLine("with the key down, lowest", f"{volts.lowest:.2f} V at {volts.at:%a %H:%M}"),
    )
    return FigureSum(f"{name}: volts at the radio", lines)


def _power(comparison: Comparison, index: int, name: str) -> FigureSum:
    station = comparison.scenario.stations[index]
    lines = tuple(
        SumLine(
            f"{block.start} to {block.end}",
            f"asked {block.rf_w:g} W, gives {given_rf_w(station, block):g} W",
        )
        for block in comparison.scenario.plan
        if block.sends
    )
    return FigureSum(f"{name}: RF power in each block that sends", lines)


def _carried(comparison: Comparison, index: int, name: str) -> FigureSum:
    station = comparison.scenario.stations[index]
    carried = list(items(station, shared_extras(comparison.scenario, index)))
    lines = tuple(
        SumLine(
            item.part.name or item.group,
            f"{item.quantity} ×" if item.quantity > 1 else "",
            kg=item.mass_kg,
        )
        for item in sorted(carried, key=lambda item: -item.mass_kg)
    )
    total = SumLine("carried", "", kg=sum(item.mass_kg for item in carried))
    return FigureSum(f"{name}: what is carried", lines, total)
