"""Tonight's board: what each post should have at dusk, midnight and six, what it reports, who ends.

A reported charge restarts that post's outlook from there.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta
from typing import Literal

from model.engine.run import StationRun, restarted
from model.group.group_run import FirstEnd, GroupResult, PostRun, first_end
from model.sky.sun_times import sun_events
from model.support.figures import amount, day_and_time

MomentName = Literal["dusk", "midnight", "06:00"]
MOMENTS: tuple[MomentName, ...] = ("dusk", "midnight", "06:00")


@dataclass(frozen=True)
class Report:
    """The charge that a post reports [Ah] at a moment."""

    kit: str
    at: datetime
    left_ah: float


@dataclass(frozen=True)
class BoardCell:
    """One moment of the night at one post.

    Attributes
    ----------
    name, at : dusk is that of the post's own place (civil).
    expected_ah : charge in the battery, by the last report before it or by the plan [Ah].
    reported_ah : what was reported nearest to this moment; None where nothing was [Ah].
    is_off : whether it does not even receive at that moment, whatever is left in the battery.
    """

    name: MomentName
    at: datetime
    expected_ah: float
    reported_ah: float | None
    is_off: bool = False


@dataclass(frozen=True, eq=False)
class BoardRow:
    """One post.

    Attributes
    ----------
    row : as it was run by the plan.
    run : from the last report on; the planned run without one.
    cells : of dusk, midnight and six, those that lie within the run.
    reports : in the order of time.
    end : what ends first from the last report on; None where nothing does.
    """

    row: PostRun
    run: StationRun | None
    cells: tuple[BoardCell, ...]
    reports: tuple[Report, ...]
    end: FirstEnd | None


@dataclass(frozen=True, eq=False)
class Board:
    """The night of all posts, in the order of the file."""

    rows: tuple[BoardRow, ...]

    @property
    def ends_next(self) -> tuple[BoardRow, ...]:
        """Rows of posts that end, the first to end before the others."""
        ending = [(row.end.hours_h, index) for index, row in enumerate(self.rows) if row.end]
        return tuple(self.rows[index] for _, index in sorted(ending))


def nights(result: GroupResult) -> int:
    """Return how many nights the run has a midnight of."""
    run = next((row.planned for row in result.posts if row.planned is not None), None)
    if run is None:
        return 0
    return sum(_midnight(run, night) is not None for night in range(run.clock.days + 1))


def tonight(result: GroupResult, reports: Sequence[Report] = (), night: int = 0) -> Board:
    """Return the board of a night.

    Parameters
    ----------
    result : the posts by the plan.
    reports : of any posts and moments, in any order.
    night : which one, counted from 0.

    Raises
    ------
    ValueError
        Where ``why_refused`` has something to say of a report.
    """
    for report in reports:
        if words := why_refused(result, report):
            raise ValueError(words)
    return Board(tuple(_row(row, reports, night) for row in result.posts))


def why_refused(result: GroupResult, report: Report) -> str | None:
    """Return why a report cannot be right, None where it can."""
    row = next((each for each in result.posts if each.kit.post.kit == report.kit), None)
    if row is None:
        return f"there is no post {report.kit}"
    if row.planned is None:
        return f"post {report.kit} is not run"
    run = row.planned
    if not 0 <= _step(run, report.at) < run.clock.steps:
        begin, end = run.clock.start, run.clock.at(run.clock.steps)
        days = run.clock.days
        return (
            f"post {report.kit}: the time is outside the run, which goes from"
            f" {day_and_time(begin, days)} to {day_and_time(end, days)}"
        )
    full_ah = run.inputs.bounds.full_ah
    if not 0 <= report.left_ah <= full_ah * 1.05:
        return f"post {report.kit}: its battery holds {amount(full_ah, 'Ah')} at most"
    return None


def _row(row: PostRun, reports: Sequence[Report], night: int) -> BoardRow:
    own = tuple(sorted((r for r in reports if r.kit == row.kit.post.kit), key=lambda r: r.at))
    run = row.planned
    if run is None:
        return BoardRow(row, None, (), (), None)
    moments = _moments(row, run, night)
    expected: dict[MomentName, tuple[float, bool]] = {}
    for report in (*own, None):
        until = report.at if report is not None else None
        for name, at in moments:
            # What is read at a moment is held against what was expected before it.
            if name not in expected and (until is None or at <= until):
                expected[name] = _left(run, at)
        if report is not None:
            step = _step(run, report.at)
            run = replace(restarted(run, step, report.left_ah), judged_from=step)
    cells = tuple(
        BoardCell(name, at, left_ah, _reported(own, moments, name), is_off)
        for name, at in moments
        for left_ah, is_off in (expected[name],)
    )
    return BoardRow(row, run, cells, own, first_end(run))


def _moments(row: PostRun, run: StationRun, night: int) -> list[tuple[MomentName, datetime]]:
    midnight = _midnight(run, night)
    if midnight is None:
        return []
    found: list[tuple[MomentName, datetime]] = []
    evening = midnight - timedelta(hours=12)
    for at, kind in sun_events(row.kit.site, row.kit.trip):
        if kind == "dusk" and evening <= at <= midnight + timedelta(hours=6):
            found.append(("dusk", at))
            break
    six = midnight.replace(hour=6)
    found += [("midnight", midnight), ("06:00", six)]
    end = run.clock.at(run.clock.steps)
    return [(name, at) for name, at in found if run.clock.start <= at <= end]


def _midnight(run: StationRun, night: int) -> datetime | None:
    """Return the midnight of a night of the run, counted from 0; None where there is none."""
    day = run.clock.start.date() + timedelta(days=night + 1)
    at = run.clock.start.replace(year=day.year, month=day.month, day=day.day, hour=0, minute=0)
    at = at.replace(second=0, microsecond=0)
    return at if run.clock.start <= at <= run.clock.at(run.clock.steps) else None


def _step(run: StationRun, at: datetime) -> int:
    # Two times of one zone are subtracted by their wall clocks, which may skip an hour.
    elapsed = at.astimezone(UTC) - run.clock.start.astimezone(UTC)
    return round(elapsed / timedelta(hours=run.clock.step_h))


def _left(run: StationRun, at: datetime) -> tuple[float, bool]:
    """Return the charge left at a moment [Ah], and whether the station is off the air in it."""
    step = _step(run, at)
    receive = run.abilities.receive
    is_off = not bool(receive[min(step, len(receive) - 1)])
    return float(run.fraction[step] * run.inputs.bounds.full_ah), is_off


def _reported(
    reports: tuple[Report, ...], moments: list[tuple[MomentName, datetime]], name: MomentName
) -> float | None:
    """Return the last report that is nearer to this moment than to the others."""

    def nearest(report: Report) -> MomentName:
        return min(moments, key=lambda each: abs((report.at - each[1]).total_seconds()))[0]

    found = [report.left_ah for report in reports if nearest(report) == name]
    return found[-1] if found else None
