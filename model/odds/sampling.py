"""Draws of a station's numbers within their spreads; ``results.shared_errors`` says whose is whose.

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
from model.results.shared_errors import ErrorKey, error_key
from model.scenario.declare import Provenance, Source
from model.scenario.kinds import KINDS
from model.scenario.station import Extra, Part, Station
from model.station.chemistry import Floats

# The numbers of each part that move charge or clocks.
VARIED: dict[str, tuple[str, ...]] = {kind.slot: kind.varied for kind in KINDS if kind.varied}
# A 95 % band reaches this many standard deviations to each side.
BAND_DEVIATIONS = 1.96
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
    station: Station,
    shared: tuple[Extra, ...],
    members: int,
    chance: Generator,
    scores: dict[ErrorKey, Floats] | None = None,
) -> dict[str, Draw]:
    """Draw every number of a station that has a spread, by its path.

    Each is lognormal around the number; what falls outside the bounds of its field is drawn again.

    Parameters
    ----------
    station : whose numbers.
    shared : extras of other stations that all carry.
    members : how many draws of each.
    chance : where the draws come from; the same state gives the same draws.
    scores : normal scores drawn before, by what shares them, shape (members,) [1]; added to.
        Stations of one trip are drawn with one of these, one after the other.

    Returns
    -------
    By path, the numbers drawn, shape (members,) each, in the unit of their field.
    """
    known = {} if scores is None else scores
    found = {}
    for number in uncertain(station, shared):
        key = error_key(number.path, number.source.origin, number.spread)
        if key not in known:
            known[key] = chance.standard_normal(members)
        found[number.path] = Draw(number, _factors(number, known[key], chance))
    return found


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


def _factors(number: Uncertain, scores: Floats, chance: Generator) -> Floats:
    deviation = np.log1p(number.spread) / BAND_DEVIATIONS
    factor: Floats = np.exp(deviation * scores)
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
