"""The sum behind one figure of the comparison table, in Ah and Wh, with its factors in words."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime

import numpy as np

from model.editing.field_facts import describe
from model.engine.comparison import Comparison
from model.engine.outcome import USES
from model.engine.run import StationRun
from model.results.provenance import Basis, bases
from model.results.wording import USE_WORDS, heading_at
from model.scenario.station import Battery
from model.station.carried_mass import items, shared_extras
from model.station.transmit_path import given_rf_w
from model.support.figures import amount, day_and_time, duration, entered, percent, told
from model.verdict.order import is_guessed
from model.verdict.stretches import longest_draw, off_air, step_at

# A minute is the least that a time is told to [h].
_LEAST_TOLD_H = 1.0 / 60.0


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
    name = heading_at(comparison.scenario, index)
    if key in ("mass_kg", "boxes", "cables", "cost"):
        return _carried(comparison, index, name)
    if key in ("rf_w", "power_db"):
        return _power(comparison, index, name)
    run = comparison.runs[index]
    if run is None:
        return FigureSum(f"{name} is not calculated: see its findings", ())
    group, _, use = key.partition(".")
    if group == "by_use_ah":
        return _one_use(run, name, use)
    if key in ("full_power", "reduced_power", "receive", "lowest_fraction", "end_fraction"):
        return _charge(run, name, key)
    return _SUMS.get(group, _loads)(run, name)


def _loads(run: StationRun, name: str) -> FigureSum:
    lines, total = _uses(run, slice(0, run.clock.steps), entered(run.clock.days * 24, "h"))
    return FigureSum(f"{name}, drawn in total, at the battery", lines, total)


def _night(run: StationRun, name: str) -> FigureSum:
    night = longest_draw(run)
    if night is None:
        return FigureSum(f"{name}, no night: the sun is never 6° down", ())
    steps = slice(night.first_step, night.end_step)
    lines, total = _uses(run, steps, duration(night.night.hours))
    begin, end = (day_and_time(at, run.clock.days) for at in (night.night.begin, night.night.end))
    return FigureSum(f"{name}, drawn from {begin} to {end}, sun 6° down or more", lines, total)


def _uses(run: StationRun, steps: slice, over: str) -> tuple[tuple[SumLine, ...], SumLine]:
    """Return what each use draws in some steps, the most first, and what that comes to."""
    flow, hours = run.flow, run.clock.step_h
    volts = flow.bus_v[steps]
    lines = []
    for use in USES:
        current_a = flow.use_a[use][steps]
        drawn_h = float(np.count_nonzero(current_a > 0.0) * hours)
        if drawn_h == 0.0:
            continue
        ah = float(current_a.sum() * hours)
        wh = float((current_a * volts).sum() * hours)
        factors = _product(ah, drawn_h, wh) if ah else ""
        lines.append(SumLine(USE_WORDS[use], factors, ah, wh))
    lines.sort(key=lambda line: -(line.ah or 0.0))
    load_a = flow.load_a[steps]
    total = SumLine(
        "drawn in total",
        f"over {over}",
        float(load_a.sum() * hours),
        float((load_a * volts).sum() * hours),
    )
    return tuple(lines), total


def _off_air(run: StationRun, name: str) -> FigureSum:
    about = is_guessed(run)
    spans = off_air(run, about=about)
    if not spans:
        return FigureSum(f"{name}, never off the air", ())
    days = run.clock.days
    lines = tuple(
        SumLine(
            f"from {day_and_time(span.begin, days)} to {day_and_time(span.end, days)}",
            duration(span.hours),
        )
        for span in spans
    )
    total = SumLine("in all", duration(sum(span.hours for span in spans)))
    told_to = ", each time to ten minutes: most of the Ah come from guesses" if about else ""
    return FigureSum(f"{name}, off the air{told_to}", lines, total)


def _one_use(run: StationRun, name: str, use: str) -> FigureSum:
    rows = [row for row in bases(run) if row.use == use]
    words = next((words for known, words in USE_WORDS.items() if known == use), use)
    if not rows:
        return FigureSum(f"{name}, {words}, nothing drawn", ())
    volts = _mean_volts(run, use)
    lines = tuple(SumLine(_basis_words(row), row.origin, row.ah, row.ah * volts) for row in rows)
    ah = sum(row.ah for row in rows)
    total = SumLine("total", f"at a mean of {amount(volts, 'V')}", ah, ah * volts)
    return FigureSum(f"{name}, {words}, by the numbers it comes from", lines, total)


def _mean_volts(run: StationRun, use: str) -> float:
    current_a = next(current for known, current in run.flow.use_a.items() if known == use)
    drawn = float(current_a.sum())
    return float((current_a * run.flow.bus_v).sum()) / drawn if drawn else 0.0


def _basis_words(row: Basis) -> str:
    places = [_place_words(path) for path in row.paths if path]
    return " × ".join(place for place in places if place) or USE_WORDS[row.use]


def _place_words(path: str) -> str:
    slot, _, name = path.partition(".")
    # What all carry is an extra of another station.
    at = f"extras.0.{name}" if slot == "shared" else path
    words = describe(f"stations.0.{at}").partition(", ")[2]
    return f"shared {words.replace(' 1', '', 1)}" if slot == "shared" else words


def _guesses(run: StationRun, name: str) -> FigureSum:
    rows = bases(run)
    lines = tuple(
        SumLine(f"{USE_WORDS[row.use]}: {_basis_words(row)}", row.origin, row.ah) for row in rows
    )
    guessed_ah = sum(row.ah for row in rows if row.origin == "guess")
    total = SumLine("from guesses", f"of {amount(run.sums.load_ah, 'Ah')}", guessed_ah)
    return FigureSum(f"{name}, where the Ah come from", lines, total)


def _moment_of(run: StationRun, key: str) -> datetime | None:
    if key == "lowest_fraction":
        return run.lowest.at
    return None if key == "end_fraction" else getattr(run.clocks, key).until


def _charge(run: StationRun, name: str, key: str) -> FigureSum:
    """Follow the stored charge to the moment of a figure: from the start, or from a reading on."""
    at = _moment_of(run, key)
    steps = run.clock.steps
    if at is not None:
        steps = min(step_at(run, at), steps)
    flow, hours = run.flow, run.clock.step_h
    first = run.judged_from
    span = slice(first, steps)
    full_ah = run.inputs.bounds.full_ah
    stored = np.append(flow.stored_ah, run.end.stored_ah)
    battery = run.station.battery
    begin = _time_of(run, run.clock.at(first)) if first else "the start"
    charge = f"{percent(float(stored[first]) / full_ah)} of {_capacity(battery)}"
    lines = [SumLine(f"stored at {begin}", charge, float(stored[first]))]
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
        lines.append(SumLine("lost in charging and to high current", "", -lost_ah))
    left = float(stored[steps])
    when = _time_of(run, run.clock.at(steps))
    part = f"{percent(left / full_ah)} of {amount(full_ah, 'Ah')}"
    total = SumLine(f"stored at {when}", part, left)
    return FigureSum(f"{name}, charge from {begin} to {when}", tuple(lines), total)


def _alone(run: StationRun, name: str) -> FigureSum:
    battery, hours = run.station.battery, run.hours_on_battery
    full = SumLine("full battery", _capacity(battery), battery.full_ah)
    if hours is None:
        return FigureSum(
            f"{name}, on the battery alone it lasts over {entered(30, 'days')}", (full,)
        )
    lasts = duration(hours)
    # What goes off at once has drawn nothing that a current could be told by.
    by_time = hours >= _LEAST_TOLD_H
    part = f"{lasts} × {amount(battery.full_ah / hours, 'A')} at most" if by_time else lasts
    rate = SumLine("until it is off the air", part)
    return FigureSum(f"{name}, from full, without sun or charger", (full, rate))


def _sun(run: StationRun, name: str) -> FigureSum:
    panel = run.sums.panel_wh
    lines = (
        SumLine("used", "", None, panel.used),
        SumLine("unused: battery full or a limit reached", "", None, panel.spilled),
        SumLine("lost: the panel not at its maximum power point", "", None, panel.mismatch),
    )
    hours = float(np.count_nonzero(run.inputs.irradiance_w_m2 > 0) * run.clock.step_h)
    mean = panel.available / hours if hours else 0.0
    total = SumLine(
        "the panel could give",
        f"mean {amount(mean, 'W')} × {amount(hours, 'h')} of light",
        None,
        panel.available,
    )
    return FigureSum(f"{name}, sun at the panel's maximum power point", lines, total)


def _capacity(battery: Battery) -> str:
    rated, tested = entered(battery.capacity_ah, "Ah"), percent(battery.tested_fraction)
    return f"{rated} × {battery.count} × {tested}"


def _product(ah: float, drawn_h: float, wh: float) -> str:
    return f"mean {amount(ah / drawn_h, 'A')} × {amount(drawn_h, 'h')} × {amount(wh / ah, 'V')}"


def _time_of(run: StationRun, at: datetime) -> str:
    """Return a moment as verdict and table say it."""
    return day_and_time(told(at, about=is_guessed(run)), run.clock.days)


def _volts(run: StationRun, name: str) -> FigureSum:
    volts = run.transmit_volts
    if volts.lowest is None or volts.first is None or volts.at is None:
        return FigureSum(f"{name}, nothing is transmitted at planned power", ())
    lowest = f"{amount(volts.lowest, 'V', 4)} at {_time_of(run, volts.at)}"
    lines = (
        SumLine("key down, first", amount(volts.first, "V", 4)),
        SumLine("key down, lowest", lowest),
    )
    return FigureSum(f"{name}, voltage at the radio", lines)


def _power(comparison: Comparison, index: int, name: str) -> FigureSum:
    station = comparison.scenario.stations[index]
    lines = tuple(
        SumLine(
            f"{block.start} to {block.end}",
            f"planned {entered(block.rf_w, 'W')}, transmits"
            f" {amount(given_rf_w(station, block), 'W')}",
        )
        for block in comparison.scenario.plan
        if block.sends
    )
    return FigureSum(f"{name}, RF power in each transmit block", lines)


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
    return FigureSum(f"{name}, what is carried", lines, total)


# By the first word of a figure's key; all other figures are what is drawn in total.
_SUMS: dict[str, Callable[[StationRun, str], FigureSum]] = {
    "panel_wh": _sun, "hours_on_battery": _alone, "transmit_volts": _volts,
    "guess_share": _guesses, "off_air": _off_air, "night_ah": _night,
}  # fmt: skip
