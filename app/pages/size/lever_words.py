"""The effect of each input as bars, in words and as a table."""

from __future__ import annotations

from math import inf, isfinite

from app.charts.bars import Bar
from app.pages.size.export import Table
from app.widgets.number_text import plain, quantity
from model.editing.move_input import label_of
from model.sizing.sensitivity import Lever, Measure, Result, Sensitivity
from model.support.figures import duration, percent

MEASURES: dict[Measure, str] = {
    "first_end": "time of the first limit",
    "lowest_charge": "lowest charge",
    "needed_kg": "mass needed",
}


def bars_of(found: Sensitivity, measure: Measure, *, us: bool) -> tuple[tuple[Bar, ...], str]:
    """Return the bars of a measure, largest first, and what the line in their middle stands for."""
    levers = found.strongest(measure)
    now = _measured(found.as_it_is, measure, found.run_h)
    reaches = [
        abs(change)
        for lever in levers
        for end in (lever.low, lever.high)
        if isfinite(change := _measured(end, measure, found.run_h) - now)
    ]
    most = max(reaches, default=0.0) or 1.0
    bars = tuple(_bar(found, lever, measure, now, most, us) for lever in levers)
    return bars, f"now: {_words(found.as_it_is, measure, us)}"


def levers_table(found: Sensitivity) -> Table:
    """Return every input with all results at both ends."""
    heads = ("input", "end", "first_end_h", "lowest_fraction", "needed_kg")
    rows: list[list[object]] = [["as it is", "", *_cells(found.as_it_is)]]
    for lever in found.levers:
        label = label_of(lever.path)
        rows.append([label, "lower", *_cells(lever.low)])
        rows.append([label, "higher", *_cells(lever.high)])
    return heads, rows


def _bar(
    found: Sensitivity,
    lever: Lever,
    measure: Measure,
    now: float,
    most: float,
    us: bool,
) -> Bar:
    shares = [
        _share(_measured(end, measure, found.run_h) - now, most) for end in (lever.low, lever.high)
    ]
    words = f"{_words(lever.low, measure, us)} to {_words(lever.high, measure, us)}"
    return Bar(lever.path, label_of(lever.path), shares[0], shares[1], words)


def _share(change: float, most: float) -> float:
    # Both may be without end: then nothing changes.
    return 0.0 if change != change else change / most if isfinite(change) else change


def _measured(result: Result, measure: Measure, run_h: float) -> float:
    if measure == "first_end":
        return min(result.first_end_h, run_h)
    return result.lowest_fraction if measure == "lowest_charge" else result.needed_kg


def _words(result: Result, measure: Measure, us: bool) -> str:
    if measure == "first_end":
        return "lasts" if result.first_end_h == inf else duration(result.first_end_h)
    if measure == "lowest_charge":
        return percent(result.lowest_fraction)
    if result.needed_kg == inf:
        return "none is enough"
    return quantity(result.needed_kg, "kg", 2, us=us)


def _cells(result: Result) -> list[object]:
    values = (result.first_end_h, result.lowest_fraction, result.needed_kg)
    return [plain(value, 4) if isfinite(value) else None for value in values]
