"""Draws of a station's numbers within their spreads; ``results.shared_errors`` says whose is whose.

The plan, the place and the sky are taken as given: what is drawn are the numbers of the parts.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from statistics import NormalDist
from typing import Any

import numpy as np
from numpy.random import Generator

from model.editing.field_facts import FieldFacts, field_at
from model.results.provenance import part_spread
from model.results.shared_errors import ErrorKey, error_key
from model.scenario.declare import Provenance, Source
from model.scenario.kinds import KINDS
from model.scenario.station import Extra, Part, Station
from model.station.chemistry import Floats

# The numbers of each part that move charge or clocks.
VARIED: dict[str, tuple[str, ...]] = {kind.slot: kind.varied for kind in KINDS if kind.varied}
# A 95 % band reaches this many standard deviations to each side.
BAND_DEVIATIONS = 1.96
_NORMAL = NormalDist()
# Shares whose normal score is finite.
_WITHIN = (1e-12, 1 - 1e-12)
_START_SOURCE = Source.model_validate({"from": "guess"})


@dataclass(frozen=True)
class Uncertain:
    """One number that may be off.

    Attributes
    ----------
    path : from the station on, such as ``radio.receive_a``; extras that another station brings
        for all are ``shared.0.power_w`` and so on.
    source : where the number comes from.
    spread : half-width of the 95 % band over the number [1].
    least_factor, most_factor : bounds of the field over the number [1].
    """

    path: str
    source: Source
    spread: float
    least_factor: float
    most_factor: float

    @property
    def origin(self) -> Provenance:
        """Whether the number is measured, from a datasheet or a guess."""
        return self.source.origin


@dataclass(frozen=True, eq=False)
class Draw:
    """The drawn values of one number, each over the number itself, shape (members,). [1]"""

    number: Uncertain
    factor: Floats


def draw(
    kits: Sequence[tuple[Station, tuple[Extra, ...]]], members: int, chance: Generator
) -> tuple[dict[str, Draw], ...]:
    """Draw every number of stations of one trip that has a spread, by its path for each station.

    Each is lognormal around the number. Numbers that share an error are off by the same factor:
    it stays where the bounds of all their fields bear it.

    Parameters
    ----------
    kits : each station with the extras that others bring for all.
    members : how many draws of each.
    chance : where the draws come from; the same state gives the same draws.

    Returns
    -------
    For each station, by path, the numbers drawn, shape (members,) each, over the number [1].
    """
    numbers = [list(uncertain(station, shared)) for station, shared in kits]
    sharing: dict[ErrorKey, list[Uncertain]] = {}
    for number in (each for station in numbers for each in station):
        key = error_key(number.path, number.source.origin, number.spread)
        sharing.setdefault(key, []).append(number)
    factors = {key: _factors(shared, members, chance) for key, shared in sharing.items()}
    return tuple(
        {
            each.path: Draw(each, factors[error_key(each.path, each.source.origin, each.spread)])
            for each in station
        }
        for station in numbers
    )


def uncertain(station: Station, shared: tuple[Extra, ...] = ()) -> Iterator[Uncertain]:
    """Yield every number of a station that has a spread and is not nothing."""
    facts = field_at("stations.0.start_fraction")
    if station.start_fraction and facts.spread:
        bounds = _bounds(facts, station.start_fraction)
        yield Uncertain("start_fraction", _START_SOURCE, facts.spread, *bounds)
    for where, part in _parts(station, shared):
        slot = where.split(".")[0].replace("shared", "extras")
        for field in VARIED[slot]:
            value: Any = getattr(part, field)
            in_station = f"{where}.{field}".replace("shared.", "extras.")
            spread = part_spread(part, field, in_station)
            if value and spread > 0:
                bounds = _bounds(field_at("stations.0." + in_station), value)
                source = part.source_of(field)
                yield Uncertain(f"{where}.{field}", source, spread, *bounds)


def _parts(station: Station, shared: tuple[Extra, ...]) -> Iterator[tuple[str, Part]]:
    for kind in KINDS:
        if kind.varied:
            yield from kind.held_by(station)
    for index, extra in enumerate(shared):
        yield f"shared.{index}", extra


def _factors(numbers: Sequence[Uncertain], members: int, chance: Generator) -> Floats:
    """Return the factor that numbers with one error share, shape (members,). [1]

    What falls outside the bounds of any of them is drawn again from between those of all.
    """
    deviation = np.log1p(numbers[0].spread) / BAND_DEVIATIONS
    low, high = (
        np.log(bound) / deviation if bound > 0 else -np.inf
        for bound in (
            max(number.least_factor for number in numbers),
            min(number.most_factor for number in numbers),
        )
    )
    scores = chance.standard_normal(members)
    outside = (scores < low) | (scores > high)
    begin, end = (float(np.clip(_NORMAL.cdf(at), *_WITHIN)) for at in (low, high))
    again = begin + chance.random(int(outside.sum())) * (end - begin)
    scores[outside] = np.clip([_NORMAL.inv_cdf(share) for share in again.tolist()], low, high)
    factor: Floats = np.exp(deviation * scores)
    return factor


def _bounds(facts: FieldFacts, value: Any) -> tuple[float, float]:
    """Return the bounds of a field over the number; rows of points have none."""
    if facts.kind != "number":
        return 0.0, np.inf
    ends = sorted(
        float(bound) / value if isinstance(bound, int | float) else without
        for bound, without in ((facts.low, -np.inf), (facts.high, np.inf))
    )
    return ends[0], ends[1]
