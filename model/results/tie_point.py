"""The value of one number at which two stations come out even, proved by a rerun."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from math import inf, isfinite, isnan, nan
from typing import Literal

from model.editing.faults import ScenarioError
from model.editing.field_facts import field_at
from model.editing.paths import with_value
from model.engine.comparison import simulate
from model.engine.run import StationRun
from model.scenario.scenario import Scenario
from model.support.progress import Search, finish

ClockName = Literal["full_power", "reduced_power", "receive"]
CLOCK_NAMES: tuple[ClockName, ...] = ("full_power", "reduced_power", "receive")
RERUNS_LIMIT = 40
# Bounds this near each other, as a share of the value, are taken as one.
NARROW_SHARE = 1e-6


def first_end_h(run: StationRun, clock: ClockName | None = None) -> float:
    """Return when a clock of a run first ends, inf where it never does [h].

    Parameters
    ----------
    clock : which of the three; None takes whichever ends first.
    """
    names = CLOCK_NAMES if clock is None else (clock,)
    ends = (getattr(run.clock_ends, name).hours for name in names)
    return min((hours for hours in ends if hours is not None), default=inf)


@dataclass(frozen=True)
class Side:
    """One tried value and by how much the first station outlasts the second there [h]."""

    value: float
    lead_h: float


def tie_value(
    scenario: Scenario,
    path: str,
    low: float,
    high: float,
    *,
    stations: tuple[int, int] = (0, 1),
    clock: ClockName | None = None,
    within_min: float | None = 1.0,
) -> float | None:
    """Return the value of one number at which two stations' first ends tie.

    Where one of the two lasts out the run throughout, the tie is where the other begins to.

    Parameters
    ----------
    path : the number to change, of one station or of the plan, place or day.
    low, high : where to search; the order of the stations must differ between them, and their
        lead must rise or fall throughout.
    stations : which two are compared.
    clock : which clock's end; None takes whichever ends first.
    within_min : how near a tie is [min]; None accepts the value at which the order turns over,
        even where the ends jump past each other there.

    Returns
    -------
    float or None
        The value, rounded as far as it still ties; None where there is none between the bounds.
        A rerun of the whole scenario at the value returned has shown the tie.
    """

    def lead_h(value: float) -> float | None:
        return _lead_h(scenario, path, value, stations, clock)

    found = crossing(lead_h, low, high, within_min or 0.0)
    if found is None or within_min is None:
        return found.value if found else None
    if not ties(found.lead_h, within_min):
        return None
    return _rounded(found.value, path, lambda value: ties(lead_h(value), within_min))


def _lead_h(
    scenario: Scenario,
    path: str,
    value: float,
    stations: tuple[int, int],
    clock: ClockName | None,
) -> float | None:
    """Return by how much the first station outlasts the second; None where one cannot run [h].

    nan where both last out the run. The run of a station that the change does not touch is
    remembered and costs nothing.
    """
    try:
        runs = simulate(with_value(scenario, path, value)).runs
    except ScenarioError:
        return None
    first, second = (runs[index] for index in stations)
    if first is None or second is None:
        return None
    first_h, second_h = first_end_h(first, clock), first_end_h(second, clock)
    return nan if first_h == second_h == inf else first_h - second_h


def ties(lead_h: float | None, within_min: float) -> bool:
    """Return whether two ends are as near, or both last out the run."""
    # Ends fall on whole steps: their difference is exact to rounding.
    return lead_h is not None and (isnan(lead_h) or abs(lead_h) * 60 <= within_min + 1e-9)


def crossing(
    lead_h: Callable[[float], float | None], low: float, high: float, within_min: float
) -> Side | None:
    """Narrow the bounds on the change of order; see ``search_crossing``."""
    return finish(search_crossing(lead_h, low, high, within_min))


def search_crossing(
    lead_h: Callable[[float], float | None], low: float, high: float, within_min: float
) -> Search[Side | None]:
    """Narrow the bounds on the change of order by halving and by straight lines in turn.

    Parameters
    ----------
    lead_h : by how much one station outlasts the other at a value; nan where both last out the
        run, None where one cannot run [h].
    """
    sides = [Side(value, lead) for value in (low, high) if (lead := lead_h(value)) is not None]
    if len(sides) < 2:
        return None
    near, far = sides
    for side in sides:
        if not isnan(side.lead_h) and ties(side.lead_h, within_min):
            return side
    if _order(near.lead_h) == _order(far.lead_h):
        return None
    for turn in range(RERUNS_LIMIT):
        yield turn / RERUNS_LIMIT
        value = _next_value(near, far, straight=turn % 2 == 0)
        lead = lead_h(value)
        if lead is None:
            return None
        tried = Side(value, lead)
        if not isnan(lead) and ties(lead, within_min):
            return tried
        if _order(lead) == _order(near.lead_h):
            near = tried
        else:
            far = tried
        if abs(far.value - near.value) <= NARROW_SHARE * max(abs(near.value), abs(far.value)):
            break
    return near if isnan(near.lead_h) else far


def _order(lead_h: float) -> int:
    """Return who lasts longer: 1 the first, -1 the second, 0 where both last out the run."""
    return 0 if isnan(lead_h) else 1 if lead_h > 0 else -1


def _next_value(near: Side, far: Side, *, straight: bool) -> float:
    middle = (near.value + far.value) / 2
    if not straight or not (isfinite(near.lead_h) and isfinite(far.lead_h)):
        return middle
    share = near.lead_h / (near.lead_h - far.lead_h)
    return near.value + min(max(share, 0.02), 0.98) * (far.value - near.value)


def _rounded(value: float, path: str, still_ties: Callable[[float], bool]) -> float:
    """Return the value with as few decimals, from those the field shows on, as still tie."""
    shown = field_at(path).decimals
    for decimals in range(shown, shown + 4):
        rounded = round(value, decimals)
        if still_ties(rounded):
            return rounded
    return value
