"""How far a run's load may be off, from the spreads of the numbers behind it."""

from __future__ import annotations

from functools import lru_cache
from math import hypot

from model.fields import field_at
from model.pedigree import bases
from model.run import StationRun


@lru_cache(maxsize=64)
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
    parts = [row.ah / total_ah * hypot(*(_spread(run, path) for path in row.paths)) for row in rows]
    return hypot(*parts, _spread(run, "battery.tested_fraction"))


def _spread(run: StationRun, path: str) -> float:
    """Return the spread of one number: as stated, else what is usual for its field."""
    slot, *place, field = path.split(".")
    if slot == "shared":
        source, usual = None, field_at("stations.0.extras.0." + field).spread
        part: object = None
    else:
        part = getattr(run.station, slot)
        for index in place:
            part = part[int(index)]  # type: ignore[index]
        source = part.source_of(field)  # type: ignore[attr-defined]
        usual = field_at(f"stations.0.{path}").spread
    if source is not None and source.spread is not None:
        return float(source.spread)
    # Measured once with a cheap meter, or read from a sheet, a number is known better.
    worth = {"measured": 0.25, "datasheet": 0.6, "guess": 1.0}[source.origin if source else "guess"]
    return float(usual or 0.0) * worth
