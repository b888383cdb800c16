"""A post that goes on with a part that was brought: the run before, and the run from then on."""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import ceil

from model.engine.run import StationRun, restarted, run_station
from model.group.group import Spare
from model.group.group_run import first_end, run_kit
from model.group.kits import PostKit
from model.group.power_matrix import lender_of_spare, refusals
from model.scenario.station import Part, Station


@dataclass(frozen=True, eq=False)
class Served:
    """A post with what was brought to it so far.

    Attributes
    ----------
    kit : as it stands now.
    run : judged from the last change on; None while nothing is on the air.
    needed_h : when each part was put to use, from the start of the run [h].
    brought : entry of each part in the group's spares.
    off_air_h : hours before the first part came to a post that lacked it [h].
    """

    kit: PostKit
    run: StationRun | None
    needed_h: tuple[float, ...] = ()
    brought: tuple[int, ...] = ()
    off_air_h: float = 0.0

    @property
    def end_h(self) -> float | None:
        """When its first clock ends [h]; None where none does, or nothing is run."""
        found = first_end(self.run) if self.run is not None else None
        return found.hours_h if found is not None else None

    @property
    def lasts(self) -> bool:
        """Whether it is on the air from the start and no clock ends."""
        return self.run is not None and self.end_h is None and self.off_air_h == 0.0

    @property
    def served_h(self) -> float:
        """Hours until its first clock ends, less those before it was on the air [h]."""
        if self.run is None:
            return 0.0
        whole_h = self.run.clock.steps * self.run.clock.step_h
        return (self.end_h if self.end_h is not None else whole_h) - self.off_air_h


def served_as_it_is(kit: PostKit, run: StationRun | None) -> Served:
    """Return a post to which nothing was brought yet."""
    return Served(kit, run)


def with_spare(served: Served, spare: Spare, entry: int, arrives_h: float) -> Served | None:
    """Return a post that goes on with a spare; None where the spare is of no use to it.

    A battery is swapped in when the one before ends. A panel, or a controller for one that is not
    connected, is added when it comes, and a part that a post lacks is used from its coming on. A
    computer's own battery is then taken to be as if the part had been there from the start.

    Parameters
    ----------
    spare, entry : what is brought, and its entry in the group's spares.
    arrives_h : the earliest it can be there, from the start of the run [h].
    """
    kit = served.kit
    if spare.slot in kit.lacks:
        return _restored(served, spare, entry, arrives_h)
    if kit.lacks or served.run is None:
        return None
    end_h = served.end_h
    if end_h is None or arrives_h > end_h:
        return None
    if spare.battery is not None:
        return _swapped(served, spare, entry, end_h)
    # A panel is not connected without a controller.
    if spare.panel is not None and kit.station.controller is not None:
        return _with_parts(served, {"panel": spare.panel}, entry, arrives_h)
    if spare.controller is not None and kit.unplugged is not None:
        parts = {"controller": spare.controller, "panel": kit.unplugged}
        return _with_parts(served, parts, entry, arrives_h)
    return None


def _is_refused(spare: Spare, kit: PostKit) -> bool:
    lender = lender_of_spare(spare, 0)
    return lender is not None and any(refusals(lender, kit))


def _swapped(served: Served, spare: Spare, entry: int, end_h: float) -> Served | None:
    kit, run = served.kit, served.run
    assert run is not None
    changed = kit.with_station(_with_battery(kit, spare))
    if _is_refused(spare, kit) or not changed.runs:
        return None
    step = min(round(end_h / run.clock.step_h), run.clock.steps - 1)
    after = _from(changed, step, spare.start_fraction)
    return _brought(served, changed, after, entry, end_h)


def _with_battery(kit: PostKit, spare: Spare) -> Station:
    return kit.station.model_copy(
        update={"battery": spare.battery, "start_fraction": spare.start_fraction}
    )


def _with_parts(
    served: Served, parts: dict[str, Part], entry: int, arrives_h: float
) -> Served | None:
    kit, run = served.kit, served.run
    assert run is not None
    step = ceil(arrives_h / run.clock.step_h)
    # A swap is not undone.
    if not run.judged_from <= step < run.clock.steps:
        return None
    changed = replace(kit.with_station(kit.station.model_copy(update=parts)), unplugged=None)
    if not changed.runs:
        return None
    fraction = float(run.fraction[step])
    return _brought(served, changed, _from(changed, step, fraction), entry, step * run.clock.step_h)


def _restored(served: Served, spare: Spare, entry: int, arrives_h: float) -> Served | None:
    kit = served.kit
    lacks = tuple(part for part in kit.lacks if part != spare.slot)
    station = (
        _with_battery(kit, spare)
        if spare.battery is not None
        else kit.station.model_copy(update={spare.slot: spare.part})
    )
    changed = replace(kit.with_station(station), lacks=lacks)
    if _is_refused(spare, changed):
        return None
    arrived = replace(served, kit=changed, off_air_h=max(served.off_air_h, arrives_h))
    if not changed.runs:
        return _brought(arrived, changed, None, entry, arrives_h)
    whole = run_kit(changed, changed.trip)
    step = ceil(arrived.off_air_h / whole.clock.step_h)
    if step >= whole.clock.steps:
        return None
    after = _from(changed, step, changed.station.start_fraction)
    return _brought(arrived, changed, after, entry, arrives_h)


def _from(kit: PostKit, step: int, fraction: float) -> StationRun:
    """Return the run of a kit from a step on, with its battery charged so far there."""
    run = run_station(kit.site, kit.trip, kit.plan, kit.station, kit.shared)
    if step == 0:
        return run
    after = restarted(run, step, fraction * run.inputs.bounds.full_ah)
    return replace(after, judged_from=step)


def _brought(
    served: Served, kit: PostKit, run: StationRun | None, entry: int, at_h: float
) -> Served:
    return replace(
        served,
        kit=kit,
        run=run,
        needed_h=(*served.needed_h, at_h),
        brought=(*served.brought, entry),
    )
