"""Draws of a station's numbers within their spreads.

The plan, the place and the sky are taken as given: what is drawn are the numbers of the parts.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.random import Generator

from model.editing.field_facts import FieldFacts, field_at
from model.results.provenance import part_spread
from model.scenario.declare import Provenance
from model.scenario.kinds import KINDS
from model.scenario.station import Extra, Part, Station
from model.station.chemistry import Floats

# The numbers of each part that move charge or clocks.
VARIED: dict[str, tuple[str, ...]] = {kind.slot: kind.varied for kind in KINDS if kind.varied}
# A 95 % band reaches this many standard deviations to each side.
BAND_DEVIATIONS = 1.96


@dataclass(frozen=True)
class Uncertain:
    """One number that may be off.

    Attributes
    ----------
    path : from the station on, such as ``radio.receive_a``; extras that another station brings
        for all are ``shared.0.power_w`` and so on.
    origin : where the number comes from.
    spread : half-width of the 95 % band over the number [1].
    least_factor, most_factor : bounds of the field over the number [1].
    """

    path: str
    origin: Provenance
    spread: float
    least_factor: float
    most_factor: float


@dataclass(frozen=True, eq=False)
class Draw:
    """The drawn values of one number, each over the number itself, shape (members,). [1]"""

    number: Uncertain
    factor: Floats


def draw(
    station: Station, shared: tuple[Extra, ...], members: int, chance: Generator
) -> dict[str, Draw]:
    """Draw every number of a station that has a spread, by its path.

    Each is lognormal around the number; what falls outside the bounds of its field is drawn again.
    """
    return {
        number.path: Draw(number, _factors(number, members, chance))
        for number in uncertain(station, shared)
    }


def uncertain(station: Station, shared: tuple[Extra, ...] = ()) -> Iterator[Uncertain]:
    """Yield every number of a station that has a spread and is not nothing."""
    facts = field_at("stations.0.start_fraction")
    if station.start_fraction and facts.spread:
        bounds = _bounds(facts, station.start_fraction)
        yield Uncertain("start_fraction", "guess", facts.spread, *bounds)
    for where, part in _parts(station, shared):
        slot = where.split(".")[0].replace("shared", "extras")
        for field in VARIED[slot]:
            value: Any = getattr(part, field)
            in_station = f"{where}.{field}".replace("shared.", "extras.")
            spread = part_spread(part, field, in_station)
            if value and spread > 0:
                bounds = _bounds(field_at("stations.0." + in_station), value)
                origin = part.source_of(field).origin
                yield Uncertain(f"{where}.{field}", origin, spread, *bounds)


def _parts(station: Station, shared: tuple[Extra, ...]) -> Iterator[tuple[str, Part]]:
    for kind in KINDS:
        if kind.varied:
            yield from kind.held_by(station)
    for index, extra in enumerate(shared):
        yield f"shared.{index}", extra


def _factors(number: Uncertain, members: int, chance: Generator) -> Floats:
    deviation = np.log1p(number.spread) / BAND_DEVIATIONS
    factor: Floats = np.exp(deviation * chance.standard_normal(members))
    while True:
        outside = (factor < number.least_factor) | (factor > number.most_factor)
        if not outside.any():
            return factor
        factor[outside] = np.exp(deviation * chance.standard_normal(int(outside.sum())))


def _bounds(facts: FieldFacts, value: Any) -> tuple[float, float]:
    """Return the bounds of a field over the number; rows of points have none."""
    if facts.kind != "number":
        return 0.0, np.inf
    ends = sorted(
        float(bound) / value if isinstance(bound, int | float) else without
        for bound, without in ((facts.low, -np.inf), (facts.high, np.inf))
    )
    return ends[0], ends[1]
