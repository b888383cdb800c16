"""When a station goes off the air, over the trips in which it does: bars for a picture."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from model.odds.odds import HIGH_SHARE, LOW_SHARE, Odds
from model.sky.timeline import Floats, timeline
from model.support.figures import day_and_time, in_10, told

# Widths of a bar, the narrowest with which there are at most so many. [h]
WIDTHS_H = (0.5, 1.0, 2.0, 3.0, 6.0, 12.0, 24.0)
MOST_BARS = 30


@dataclass(frozen=True, eq=False)
class EndSpread:
    """How the ends of one station's trips are spread.

    Attributes
    ----------
    begin_h : where each bar begins, shape (bars,) [h].
    width_h : of every bar [h].
    share : of all trips that end within it, shape (bars,) [1].
    lasts_share : of all trips that receive to the end [1].
    low_h, high_h : between which eight in ten of those that end do so; None where none ends [h].
    """

    begin_h: Floats
    width_h: float
    share: Floats
    lasts_share: float
    low_h: float | None
    high_h: float | None


def end_spread(found: Odds, index: int) -> EndSpread | None:
    """Return how the ends of a station are spread; None where it is not run."""
    station = found.stations[index]
    if station is None:
        return None
    ends_h = station.receive_end_h[np.isfinite(station.receive_end_h)]
    lasts = 1.0 - ends_h.size / found.trips
    if not ends_h.size:
        return EndSpread(np.zeros(0), WIDTHS_H[0], np.zeros(0), lasts, None, None)
    first, last = float(ends_h.min()), float(ends_h.max())
    width_h = next((one for one in WIDTHS_H if (last - first) / one < MOST_BARS - 1), WIDTHS_H[-1])
    lowest = np.floor(first / width_h) * width_h
    edges_h = np.arange(lowest, last + width_h * 1.01, width_h)
    counts, _ = np.histogram(ends_h, edges_h)
    low, high = np.quantile(ends_h, (LOW_SHARE, HIGH_SHARE))
    return EndSpread(edges_h[:-1], width_h, counts / found.trips, lasts, float(low), float(high))


def spread_words(found: Odds, spread: EndSpread) -> str:
    """Return between which times those that end do so, and how many do."""
    if spread.low_h is None or spread.high_h is None:
        return "Receives to the end in every trial trip that was run."
    scenario = found.scenario
    clock = timeline(scenario.site, scenario.day)
    low, high = (
        day_and_time(told(clock.at(hours / clock.step_h), about=True), scenario.day.days)
        for hours in (spread.low_h, spread.high_h)
    )
    ends = in_10(1.0 - spread.lasts_share)
    when = f"at {low}" if low == high else f"from {low} to {high}"
    return f"Off the air before the end in {ends}; of those, 8 in 10 {when}."
