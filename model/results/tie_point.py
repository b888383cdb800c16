"""The value of one number at which two stations come out even, proved by a rerun."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from functools import partial
from math import inf, isfinite, isnan, nan, sqrt

from model.editing.faults import ScenarioError
from model.editing.field_facts import field_at
from model.editing.paths import with_value
from model.engine.comparison import COARSE_STEP_MIN, first_ends_h
from model.engine.first_end import CLOCK_NAMES, ClockName
from model.engine.run import StationRun
from model.scenario.scenario import Scenario
from model.support.progress import Search

RERUNS_LIMIT = 40
# Bounds this near each other, as a share of the value, are taken as one.
NARROW_SHARE = 1e-6
# Runs of ten-minute steps cost a quarter: they narrow the bounds to this, and are off by as much.
COARSE_SHARE = 0.012
# Bounds that differ by more than this factor are halved by their ratio.
WIDE = 2.0


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
    """One tried value, and by how much the first station outlasts the second there.

    Attributes
    ----------
    value : what was tried.
    lead_h : by how much [h]; nan where both last out the run.
    pull_h : the lead that straight lines are drawn to: less of it for a bound that stays [h].
    """

    value: float
    lead_h: float
    pull_h: float


def search_tie(
    scenario: Scenario,
    path: str,
    low: float,
    high: float,
    *,
    stations: tuple[int, int] = (0, 1),
    clock: ClockName | None = None,
    within_min: float | None = 1.0,
    now: float | None = None,
) -> Search[float | None]:
    """Look for the value of one number at which two stations' first ends tie.

    Where one of the two lasts out the run throughout, the tie is where the other begins to.

    Parameters
    ----------
    path : the number to change, of one station or of the plan, place or day.
    low, high : where to search; the order of the stations must differ between them, and their
        lead must rise or fall throughout. A tie just beside a bound may be missed.
    stations : which two are compared.
    clock : which clock's end; None takes whichever ends first.
    within_min : how near a tie is [min]; None accepts the value at which the order turns over,
        even where the ends jump past each other there.
    now : a value between the bounds at which one of the two lasts longer, where that is known: the
        search then begins there.

    Returns
    -------
    Gives the share done of the present bounds, 0..1, and at its end the value, rounded as far as it
    still ties; None where there is none between the bounds. A rerun of the whole scenario at the
    value returned has shown the tie.
    """

    def lead_h(value: float, step_min: float = 1.0) -> float | None:
        return _lead_h(scenario, path, value, stations, clock, step_min)

    decimals = field_at(path).decimals
    coarse_h = partial(lead_h, step_min=COARSE_STEP_MIN)
    bounds = yield from _search_narrowed(coarse_h, low, high, now)
    if bounds is None:
        return None
    # Half a step of what the field shows is near enough where the order changes for good.
    last_within = 0.0 if within_min is None else 0.5 * 10.0**-decimals
    found = None
    for one, other in _beside(low, high, bounds):
        sides = yield from search_sides(
            lead_h, one, other, within_min or 0.0, last_within=last_within
        )
        found = sides and _side_of(sides)
        if found is not None:
            break
    if found is None or within_min is None:
        return found.value if found else None
    if not ties(found.lead_h, within_min):
        return None
    return _rounded(found.value, decimals, lambda value: ties(lead_h(value), within_min))


def _search_narrowed(
    lead_h: Callable[[float], float | None], low: float, high: float, now: float | None
) -> Search[tuple[float, float] | None]:
    """Look for the bounds that coarse runs find, None where they find none."""
    sides = [(low, high)]
    if now is not None and low < now < high:
        sides = [(low, now), (now, high)]
    for one, other in sides:
        found = yield from search_sides(
            lead_h, one, other, COARSE_STEP_MIN, narrow_share=COARSE_SHARE
        )
        if found is not None:
            return min(side.value for side in found), max(side.value for side in found)
    return None


def _beside(low: float, high: float, bounds: tuple[float, float]) -> Iterator[tuple[float, float]]:
    """Yield where steps of a minute may find what coarse ones found, then what lies beside it.

    A bound that has been tried costs nothing: its run is remembered.
    """
    least, most = bounds
    for share in (COARSE_SHARE, 10 * COARSE_SHARE, inf):
        one = max(low, bounds[0] - share * abs(bounds[0]))
        other = min(high, bounds[1] + share * abs(bounds[1]))
        if (least, most) == bounds:
            yield one, other
        else:
            yield from ((one, least), (most, other))
        least, most = one, other


def _lead_h(
    scenario: Scenario,
    path: str,
    value: float,
    stations: tuple[int, int],
    clock: ClockName | None,
    step_min: float,
) -> float | None:
    """Return by how much the first station outlasts the second; None where one cannot run [h].

    nan where both last out the run. The end of a station that the change does not touch is
    remembered and costs nothing.
    """
    try:
        changed = with_value(scenario, path, value)
    except ScenarioError:
        return None
    first_h, second_h = first_ends_h(changed, stations, step_min=step_min, clock=clock)
    if first_h is None or second_h is None:
        return None
    return nan if first_h == second_h == inf else first_h - second_h


def ties(lead_h: float | None, within_min: float) -> bool:
    """Return whether two ends are as near, or both last out the run."""
    # Ends fall on whole steps: their difference is exact to rounding.
    return lead_h is not None and (isnan(lead_h) or abs(lead_h) * 60 <= within_min + 1e-9)


def search_crossing(
    lead_h: Callable[[float], float | None], low: float, high: float, within_min: float
) -> Search[Side | None]:
    """Narrow the bounds on the change of order by halving and by straight lines in turn.

    Parameters
    ----------
    lead_h : by how much one station outlasts the other at a value; nan where both last out the
        run, None where one cannot run [h].
    """
    found = yield from search_sides(lead_h, low, high, within_min)
    return found and _side_of(found)


def search_sides(
    lead_h: Callable[[float], float | None],
    low: float,
    high: float,
    within_min: float,
    *,
    narrow_share: float = NARROW_SHARE,
    last_within: float = 0.0,
) -> Search[tuple[Side, Side] | None]:
    """Narrow the bounds on the change of order, and return both; one twice where it is a tie.

    Parameters
    ----------
    lead_h : as of ``search_crossing``.
    narrow_share : bounds this near each other, as a share of the value, are narrow enough.
    last_within : the same by their difference, where both stations last out the run at one.
    """
    sides = [_tried(lead_h, value) for value in (low, high)]
    near, far = sides
    if near is None or far is None:
        return None
    for side in (near, far):
        if not isnan(side.lead_h) and ties(side.lead_h, within_min):
            return side, side
    if _order(near.lead_h) == _order(far.lead_h):
        return None
    for turn in range(RERUNS_LIMIT):
        yield turn / RERUNS_LIMIT
        tried = _tried(lead_h, _next_value(near, far, straight=turn % 3 < 2))
        if tried is None:
            return None
        if not isnan(tried.lead_h) and ties(tried.lead_h, within_min):
            return tried, tried
        near, far = _narrower(near, far, tried)
        enough = narrow_share * max(abs(near.value), abs(far.value))
        if isnan(near.lead_h + far.lead_h):
            enough = max(enough, last_within)
        if abs(far.value - near.value) <= enough:
            break
    return near, far


def _tried(lead_h: Callable[[float], float | None], value: float) -> Side | None:
    lead = lead_h(value)
    return None if lead is None else Side(value, lead, lead)


def _narrower(near: Side, far: Side, tried: Side) -> tuple[Side, Side]:
    """Return the bounds with what was tried in place of the one of the same order.

    The pull of the one that stays is halved, so that a straight line soon falls beyond the change
    (the Illinois rule of false position: Dowell and Jarratt, BIT 11, 1971).
    """
    if _order(tried.lead_h) == _order(near.lead_h):
        return tried, replace(far, pull_h=far.pull_h / 2)
    return replace(near, pull_h=near.pull_h / 2), tried


def _side_of(sides: tuple[Side, Side]) -> Side:
    """Return where the order has just changed: at which both last out the run, if at one."""
    near, far = sides
    return near if isnan(near.lead_h) else far


def _order(lead_h: float) -> int:
    """Return who lasts longer: 1 the first, -1 the second, 0 where both last out the run."""
    return 0 if isnan(lead_h) else 1 if lead_h > 0 else -1


def _next_value(near: Side, far: Side, *, straight: bool) -> float:
    least, most = sorted((near.value, far.value))
    middle = sqrt(least * most) if least > 0 and most > WIDE * least else (least + most) / 2
    if not straight or not (isfinite(near.pull_h) and isfinite(far.pull_h)):
        return middle
    share = near.pull_h / (near.pull_h - far.pull_h)
    return near.value + min(max(share, 0.02), 0.98) * (far.value - near.value)


def _rounded(value: float, shown: int, still_ties: Callable[[float], bool]) -> float:
    """Return the value with as few decimals, from those the field shows on, as still tie."""
    for decimals in range(shown, shown + 4):
        rounded = round(value, decimals)
        if still_ties(rounded):
            return rounded
    return value
