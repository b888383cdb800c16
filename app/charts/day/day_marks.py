"""What a comparison puts on the day besides its curves: lanes, marked moments, ends of lines."""

from __future__ import annotations

from dataclasses import dataclass

from PySide6.QtCore import Qt
from PySide6.QtGui import QColor

from app.charts.bands import Drop, Level
from app.charts.day.lanes import Lane, LanePiece
from app.charts.day.words import clock_words, failures
from app.charts.ink import Ink
from app.charts.labels import PaneLabel
from app.charts.margins import EndLabel
from app.widgets.number_text import fixed
from app.widgets.tokens import station_style
from model.engine.comparison import Comparison
from model.engine.run import StationRun
from model.results.minute import Stretch, stretches
from model.support.figures import percent
from model.verdict.stretches import is_lasting

CHARGE_LOW, CHARGE_HIGH = -2.0, 104.0
NOT_RUN = "not run, because of an error in its numbers"
FLOOR_WORDS = "unavailable in the cold"


@dataclass(frozen=True)
class Marks:
    """What is marked on the pane of the charge, and in the lanes over it.

    ``spots`` are elapsed minutes with a charge in per cent, a marker and its colour.
    """

    lanes: tuple[Lane, ...]
    spots: list[tuple[float, float, str, QColor]]
    drops: tuple[Drop, ...]
    labels: tuple[PaneLabel, ...]


def share_of(charge_percent: float) -> float:
    """Return how high a charge stands in its pane, 0 to 1. [%]"""
    return (charge_percent - CHARGE_LOW) / (CHARGE_HIGH - CHARGE_LOW)


def marks(comparison: Comparison, ink: Ink) -> Marks:
    """Return what is to be marked of a comparison."""
    lanes, spots, drops, labels = [], [], [], []
    for index, run in enumerate(comparison.runs):
        style, colour = station_style(index), ink.station(index)
        if run is None:
            lanes.append(Lane(style, (), NOT_RUN))
            continue
        lanes.append(Lane(style, _pieces(run)))
        found = failures(run)
        for failure in found:
            minute = run.clock.minutes_to(failure.at)
            charge = _charge(run, minute)
            spots.append((minute, charge, style.marker, colour))
            drops.append(Drop(minute, share_of(charge), colour))
            words = f"{style.letter} {failure.mark}"
            labels.append(PaneLabel(minute, share_of(charge), words, colour, is_bold=True))
        if not found:
            minute = run.clock.minutes_to(run.lowest.at)
            lowest = run.lowest.value
            words = f"lowest {percent(lowest)}"
            labels.append(PaneLabel(minute, share_of(lowest * 100.0), words, colour))
    return Marks(tuple(lanes), spots, tuple(drops), tuple(labels))


def _charge(run: StationRun, minute: float) -> float:
    return float(run.fraction[round(minute / run.clock.step_min)]) * 100.0


def _pieces(run: StationRun) -> tuple[LanePiece, ...]:
    """Return the stretches of a lane; what stands in a gap is when the station comes back."""
    step_min, found = run.clock.step_min, stretches(run)
    silent = [each for each in found if each.phase == "silent"]
    next_off = [*(each.begin_step for each in silent[1:]), run.clock.steps]
    # A return of minutes is seen in the lane and is none to rely on.
    returns = [
        gap.end_step
        for gap, off in zip(silent, next_off, strict=False)
        if is_lasting(run, gap.end_step, off)
    ]
    return tuple(
        LanePiece(
            each.phase,
            each.begin_step * step_min,
            each.end_step * step_min,
            _gap_words(run, each, returns),
        )
        for each in found
    )


def _gap_words(run: StationRun, stretch: Stretch, returns: list[int]) -> tuple[str, ...]:
    if stretch.phase != "silent":
        return ()
    back_at = next((step for step in returns if step >= stretch.end_step), None)
    if back_at is None:
        return ("off the air", "off")
    back = f"back {clock_words(run, run.clock.at(back_at))}"
    return (f"off the air, {back}", back, "off")


@dataclass(frozen=True)
class Reserve:
    """One level of reserve with its words; ``stations`` hold it."""

    percent: float
    stations: tuple[int, ...]

    @property
    def words(self) -> str:
        """What stands at its end."""
        return f"reserve {fixed(self.percent, 0, '%')}"


def reserves(comparison: Comparison) -> tuple[Reserve, ...]:
    """Return each reserve once, the highest first."""
    holders: dict[float, list[int]] = {}
    for index, station in enumerate(comparison.scenario.stations):
        holders.setdefault(station.reserve_fraction * 100.0, []).append(index)
    return tuple(Reserve(value, tuple(held)) for value, held in sorted(holders.items())[::-1])


def reserve_colour(reserve: Reserve, comparison: Comparison, ink: Ink) -> QColor:
    """Return the colour of a reserve: its station's where it is one station's alone."""
    is_own = len(reserve.stations) == 1 < len(comparison.runs)
    return ink.station(reserve.stations[0]) if is_own else ink.faint_text


def reserve_levels(comparison: Comparison, ink: Ink) -> tuple[Level, ...]:
    """Return the lines of the reserves."""
    return tuple(
        Level(share_of(each.percent), reserve_colour(each, comparison, ink), Qt.PenStyle.DashLine)
        for each in reserves(comparison)
        if each.percent > 0
    )


def end_labels(
    comparison: Comparison, ink: Ink, at_end: list[float | None], selected: int
) -> tuple[EndLabel, ...]:
    """Return the words at the right end: each station's charge there, and each reserve.

    Parameters
    ----------
    at_end : charge of each station at the end of what is shown [%]; None where it is not run.
    selected : the station whose reserve can be dragged.
    """
    labels = [
        EndLabel(
            charge,
            f"{station_style(index).letter}  {fixed(charge, 0, '%')}",
            ink.station(index),
        )
        for index, charge in enumerate(at_end)
        if charge is not None
    ]
    labels += [
        EndLabel(
            each.percent,
            each.words,
            reserve_colour(each, comparison, ink),
            is_bold=False,
            is_handle=selected in each.stations,
        )
        for each in reserves(comparison)
        if each.percent > 0 or selected in each.stations
    ]
    return tuple(labels)
