"""A source with a store of its own, such as fuel: what it offers, and what that takes.

Once for one kit on plain floats and for many on arrays, as all of ``sub_rules``.
"""

from __future__ import annotations

from typing import Any

from model.engine.step_values import Bounds
from model.engine.sub_rules import Arithmetic

# Less than this share of a store is rounding of sums, not fuel.
ROUNDING = 1e-12


def store_offer_a(
    bounds: Bounds, asked_a: Any, left_fraction: Any, step_h: float, by: Arithmetic
) -> Any:
    """Return the mean current that a source offers in a step in which its store may end.

    Parameters
    ----------
    bounds : what running and giving take of the store.
    asked_a : what it offers while the store lasts, number or any shape [A].
    left_fraction : of the store at the start of the step [1].
    step_h : length of the step [h].
    by : arithmetic of plain floats or of arrays.

    Returns
    -------
    Current, of the shape of what is asked [A].
    """
    needed = (bounds.store_idle_per_h + bounds.store_per_ah * asked_a) * step_h
    return asked_a * by.least(1.0, by.over(left_fraction, needed))


def store_left(
    bounds: Bounds,
    asked_a: Any,
    offered_a: Any,
    left_fraction: Any,
    step_h: float,
    by: Arithmetic,
    *,
    given_a: Any,
    others_a: Any,
) -> Any:
    """Return what is left of the store after a step.

    It runs as long as it offers, and gives what panel and chargers do not.

    Parameters
    ----------
    bounds : what running and giving take of the store.
    asked_a : what it offers while the store lasts, number or any shape [A].
    offered_a : what ``store_offer_a`` returned [A].
    left_fraction : of the store at the start of the step [1].
    step_h : length of the step [h].
    by : arithmetic of plain floats or of arrays.
    given_a : what all sources together gave [A].
    others_a : what panel and chargers could have given of it, at the volts before the battery's
        limit lifts them [A].

    Returns
    -------
    Share left, 0..1, of the shape of what is asked [1].
    """
    ran = by.choose(asked_a > 0.0, by.least(1.0, by.over(offered_a, asked_a)), 0.0)
    used_a = by.least(by.most(given_a - others_a, 0.0), offered_a)
    taken = (bounds.store_idle_per_h * ran + bounds.store_per_ah * used_a) * step_h
    rest = left_fraction - taken
    return by.choose(rest > ROUNDING, rest, 0.0)
