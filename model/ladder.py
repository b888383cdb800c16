"""What to switch off first: every measure rerun, ranked by the hours it gains."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from functools import lru_cache
from typing import Literal

from model.budget import night_steps
from model.measures import Measure, Setup, all_at_once, measures
from model.outcome import Clocks
from model.run import ALONE_LIMIT_DAYS, StationRun, hours_on_battery, run_station
from model.scenario import Day, Site

Basis = Literal["first end", "battery alone"]
# What the leanest way must still last where the sun never sets or no night lies in the run.
SHORTEST_NIGHT_H = 12.0


@dataclass(frozen=True)
class Rung:
    """One measure with what it brings.

    Attributes
    ----------
    words, price : what is done, and what is given up by it.
    end_h : hours to the first end with it; the length of the run where nothing ends.
    gained_h : those less the hours without it.
    lasts : whether nothing ends any more, so that ``gained_h`` is a lower bound.
    """

    words: str
    price: str
    end_h: float
    gained_h: float
    lasts: bool


@dataclass(frozen=True)
class Ladder:
    """The measures of one station, best first, and when to begin.

    Attributes
    ----------
    basis : hours to the first end of any clock; on the battery alone where no clock ends.
    base_h : those hours without any measure.
    base_lasts : whether even those are only a lower bound.
    rungs : the measures.
    lean_night_ah : what the station takes in the longest night with every measure at once.
    keep_ah : charge to keep for that, above the reserve or what cold locks up.
    act_when_used_ah : Ah taken out since full at which only ``keep_ah`` is left; 0 is at once.
    """

    basis: Basis
    base_h: float
    base_lasts: bool
    rungs: tuple[Rung, ...]
    lean_night_ah: float
    keep_ah: float
    act_when_used_ah: float


def ladder(run: StationRun) -> Ladder:
    """Rerun a station with each measure, taken from the start of the run.

    Hours count to the first end of any of the three clocks. Where none ends, they are the hours
    of receive from full on the battery alone, so that the order still says what matters.
    """
    return _ladder(run.site, run.day, run.clock.step_min, Setup(run.station, run.plan, run.shared))


@lru_cache(maxsize=32)
def _ladder(site: Site, day: Day, step_min: float, setup: Setup) -> Ladder:
    base = _run(site, day, step_min, setup)
    end_h = first_end_h(base.clocks)
    basis: Basis = "first end" if end_h is not None else "battery alone"

    def hours(tried: Setup) -> float | None:
        if basis == "first end":
            return first_end_h(_run(site, day, step_min, tried).clocks)
        return hours_on_battery(site, day, tried.plan, tried.station, tried.shared)

    limit_h = 24.0 * (day.days if basis == "first end" else ALONE_LIMIT_DAYS)
    base_h = hours(setup)
    known_h = limit_h if base_h is None else base_h
    rungs = [_rung(measure, hours(measure.setup), known_h, limit_h) for measure in measures(setup)]
    rungs.sort(key=lambda rung: -rung.gained_h)
    lean_ah, keep_ah = _charge_to_keep(base, _run(site, day, step_min, all_at_once(setup)))
    return Ladder(
        basis=basis,
        base_h=known_h,
        base_lasts=base_h is None,
        rungs=tuple(rungs),
        lean_night_ah=lean_ah,
        keep_ah=keep_ah,
        act_when_used_ah=max(setup.station.battery.full_ah - keep_ah, 0.0),
    )


def _run(site: Site, day: Day, step_min: float, setup: Setup) -> StationRun:
    return run_station(
        site, day, setup.plan, setup.station, setup.shared, step_min=step_min
    )


def _rung(measure: Measure, end_h: float | None, base_h: float, limit_h: float) -> Rung:
    reached_h = limit_h if end_h is None else end_h
    return Rung(measure.words, measure.price, reached_h, reached_h - base_h, end_h is None)


def first_end_h(clocks: Clocks) -> float | None:
    """Return the hours to the first end of any clock; None where none ends [h]."""
    ends = [clock.hours for clock in _all(clocks) if clock.hours is not None]
    return min(ends, default=None)


def first_end(clocks: Clocks) -> datetime | None:
    """Return when the first of the clocks ends; None where none does."""
    ends = [clock.until for clock in _all(clocks) if clock.until is not None]
    return min(ends, default=None)


def _all(clocks: Clocks):  # type: ignore[no-untyped-def]
    return (clocks.full_power, clocks.reduced_power, clocks.receive)


def _charge_to_keep(base: StationRun, lean: StationRun) -> tuple[float, float]:
    """Return what the leanest way takes in the longest night, and that above the bottom [Ah]."""
    load_ah = lean.flow.load_a * lean.clock.step_h
    mean_a = float(lean.flow.load_a.mean())
    nights = [float(load_ah[first:last].sum()) for first, last in night_steps(base)]
    lean_ah = max([mean_a * SHORTEST_NIGHT_H, *nights])
    full_ah = base.station.battery.full_ah
    locked = float(base.inputs.climate.cold_floor_fraction.max())
    return lean_ah, lean_ah + max(base.station.reserve_fraction, locked) * full_ah
