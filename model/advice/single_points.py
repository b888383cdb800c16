"""Single points of failure: what ends when one part fails, and what is left then."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from model.engine.run import StationRun, run_station
from model.results.wording import listed
from model.station.decibels import decibels
from model.station.loads import DATA_ACTIVITIES
from model.station.transmit_path import alone, highest_planned_w
from model.support.figures import amount, entered
from model.verdict.sentences import end_words


@dataclass(frozen=True)
class WeakPoint:
    """One part whose failure is felt: what ends with it, and what to do then.

    ``hours_left_h`` is how long the station then still receives from full, where that is finite
    and known; ``loss_db`` is the signal lost.
    """

    part: str
    ends: str
    then: str
    hours_left_h: float | None = None
    loss_db: float | None = None


def weak_points(run: StationRun) -> tuple[WeakPoint, ...]:
    """Return the weak points of a station, the worst first."""
    return tuple(_found(run))


def _found(run: StationRun) -> Iterator[WeakPoint]:
    yield from _battery(run)
    yield WeakPoint(
        "Radio or antenna", "everything",
        "a second receiver, spare wire, a time and place to meet",
    )  # fmt: skip
    yield from _panel(run)
    yield from _amplifier(run)
    yield from _laptop(run)
    fuses = sorted({lead.fuse_a for lead in run.station.leads if lead.fuse_a})
    if fuses:
        sizes = listed([entered(fuse, "A") for fuse in fuses[:4]])
        yield WeakPoint("A fuse", "what it feeds", f"find the cause first; carry spares of {sizes}")


def _battery(run: StationRun) -> Iterator[WeakPoint]:
    battery = run.station.battery
    if battery.count == 1:
        then = (
            f"the {run.station.chargers[0].name or 'charger'} alone, if it runs the radio unaided"
            if run.station.chargers
            else "a second, smaller one, or a vehicle's through a fuse"
        )
        yield WeakPoint("Battery", "everything", then)
        return
    fewer = battery.model_copy(update={"count": battery.count - 1})
    station = run.station.model_copy(update={"battery": fewer})
    rerun = run_station(run.site, run.trip, run.plan, station, run.shared)
    yield WeakPoint(f"One of {battery.count} batteries", "its share", end_words(rerun))


def _panel(run: StationRun) -> Iterator[WeakPoint]:
    # A panel without a controller is not connected.
    if run.station.panel is None or run.station.controller is None:
        return
    hours = run.hours_on_battery
    part = "Panel or its controller"
    yield WeakPoint(part, "all charging", "as with a low battery, at once", hours_left_h=hours)


def _amplifier(run: StationRun) -> Iterator[WeakPoint]:
    planned_w = highest_planned_w(run.station, run.plan)
    bare_w = alone(run.station).highest_w
    if run.station.amplifier is None or not 0 < bare_w < planned_w:
        return
    loss_db = decibels(planned_w, bare_w)
    yield WeakPoint(
        "Amplifier", f"power above {amount(bare_w, 'W')}",
        f"bypass it, radio alone at {amount(bare_w, 'W')}",
        loss_db=loss_db,
    )  # fmt: skip


def _laptop(run: StationRun) -> Iterator[WeakPoint]:
    laptop = run.station.laptop
    has_data = any(block.activity in DATA_ACTIVITIES for block in run.plan)
    if laptop is None or laptop.runs == "never" or not has_data:
        return
    yield WeakPoint(
        "Computer", "all data traffic", "voice or Morse at the same times; log on paper"
    )
