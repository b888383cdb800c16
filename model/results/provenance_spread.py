"""How far a run's load may be off, from the spreads of the numbers behind it."""

from __future__ import annotations

from math import hypot

from model.engine.run import StationRun
from model.results.provenance import bases, number_spread
from model.support.cache import kept_while_it_lives


@kept_while_it_lives
def load_spread_fraction(run: StationRun) -> float:
    """Return the half-width of the 95 % band of the hours a charge lasts, as a fraction [1].

    Notes
    -----
    To first order, with independent errors: the root of the sum of squares of each share of the
    load times its spread, and of the spread of the tested capacity.
    """
    rows = bases(run)
    total_ah = sum(row.ah for row in rows)
    if total_ah <= 0:
        return 0.0
    parts = [
        row.ah / total_ah * hypot(*(number_spread(run, path) for path in row.paths)) for row in rows
    ]
    return hypot(*parts, number_spread(run, "battery.tested_fraction"))
