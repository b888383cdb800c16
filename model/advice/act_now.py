"""What can still be done from a moment on, with the charge that is read there: each a rerun."""

from __future__ import annotations

from datetime import datetime
from math import inf

from model.advice.actions import habits
from model.advice.offers import Offer, is_safe, offer_of
from model.engine.comparison import Comparison
from model.engine.now import from_now
from model.results.tie_point import first_end_h
from model.support.progress import Search

ACT_NOW_LIMIT = 4


def search_act_now(
    comparison: Comparison, index: int, at: datetime, ah_left: float
) -> Search[tuple[Offer, ...]]:
    """Look for what makes a station last longer from now on, the longest first.

    Only habits are looked at: what is not there now cannot be carried any more.

    Parameters
    ----------
    comparison : as planned.
    index : the station that was read, from 0.
    at, ah_left : the moment, with its offset, and the charge read there [Ah].

    Returns
    -------
    Nothing where the station lasts as it is.
    """
    scenario = comparison.scenario
    base_h = first_end_h(from_now(scenario, index, at, ah_left))
    if base_h == inf:
        return ()
    found: list[tuple[float, Offer]] = []
    for number, action in enumerate(tuple(habits(scenario, index))):
        yield min(0.1 + 0.1 * number, 0.9)
        if not is_safe(scenario, action.changed):
            continue
        run = from_now(action.changed, index, at, ah_left)
        end_h = first_end_h(run)
        if end_h > base_h:
            found.append((end_h, offer_of(scenario, action, "act now", index, run)))
    # Of equals the one that gives less away stands first, as they are yielded.
    found.sort(key=lambda pair: -pair[0])
    return tuple(offer for _, offer in found[:ACT_NOW_LIMIT])
