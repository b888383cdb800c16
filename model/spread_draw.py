"""Draws of a station's numbers within their spreads.

The plan, the place and the sky are taken as given: what is drawn are the numbers of the parts.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.random import Generator

from model.cells import Floats
from model.fields import FieldFacts, field_at
from model.parts import Extra, Part, Station
from model.pedigree import part_spread
from model.quantity import Provenance

# The numbers of each part that move charge or clocks.
VARIED: dict[str, tuple[str, ...]] = {
    "radio": (
        "receive_a", "off_a", "key_down", "supply_min_v", "supply_max_v", "receive_min_v",
    ),
    "amplifier": ("key_down", "standby_a", "operate_a", "supply_min_v"),
    "tuner": ("idle_a",),
    "laptop": ("power_w", "sleep_w", "converter_efficiency", "converter_idle_a"),
    "battery": (
        "capacity_ah", "tested_fraction", "resistance_ohm", "charge_efficiency", "cutoff_v",
    ),
    "controller": ("efficiency", "own_a"),
    "panel": ("rated_w", "other_losses", "power_per_c"),
    "leads": ("size_mm2", "one_way_m", "joints_mohm"),
    "extras": ("power_w", "current_a"),
}  # fmt: skip
# A 95 % band reaches this many standard deviations to each side.
BAND_DEVIATIONS = 1.96


@dataclass(frozen=True, eq=False)
class Draw:
    """The drawn values of one number, each over the number itself.

    Attributes
    ----------
    path : from the station on, such as ``radio.receive_a``; extras that another station brings
        for all are ``shared.0.power_w`` and so on.
    origin : where the number comes from.
    spread : half-width of the 95 % band over the number [1].
    factor : shape (members,). [1]
    """

    path: str
    origin: Provenance
    spread: float
    factor: Floats


def draw(
    station: Station, shared: tuple[Extra, ...], members: int, chance: Generator
) -> dict[str, Draw]:
    """Draw every number of a station that has a spread.

    Each is lognormal around the number; what falls outside the bounds of its field is drawn again.
    """
    drawn = {}
    for path, part, field, value in _numbers(station, shared):
        facts = field_at("stations.0." + path.replace("shared.", "extras."))
        origin: Provenance = "guess"
        spread = facts.spread or 0.0
        if part is not None:
            origin = part.source_of(field).origin
            spread = part_spread(part, field, path.replace("shared.", "extras."))
        if spread > 0:
            factor = _factors(value, facts, spread, members, chance)
            drawn[path] = Draw(path, origin, spread, factor)
    return drawn


def _numbers(
    station: Station, shared: tuple[Extra, ...]
) -> Iterator[tuple[str, Part | None, str, float]]:
    """Yield path, part, field and value of every number that may be drawn; lists of points as 1."""
    yield "start_fraction", None, "start_fraction", station.start_fraction
    for where, part in _parts(station, shared):
        slot = where.split(".")[0].replace("shared", "extras")
        for field in VARIED[slot]:
            value: Any = getattr(part, field)
            if value:
                points = isinstance(value, tuple)
                yield f"{where}.{field}", part, field, 1.0 if points else float(value)


def _parts(station: Station, shared: tuple[Extra, ...]) -> Iterator[tuple[str, Part]]:
    for slot in VARIED:
        held = getattr(station, slot)
        if isinstance(held, tuple):
            for index, part in enumerate(held):
                yield f"{slot}.{index}", part
        elif held is not None:
            yield slot, held
    for index, extra in enumerate(shared):
        yield f"shared.{index}", extra


def _factors(
    value: float, facts: FieldFacts, spread: float, members: int, chance: Generator
) -> Floats:
    deviation = np.log1p(spread) / BAND_DEVIATIONS
    low, high = _bounds(facts)
    factor: Floats = np.exp(deviation * chance.standard_normal(members))
    while True:
        outside = (factor * value < low) | (factor * value > high)
        if not outside.any():
            return factor
        factor[outside] = np.exp(deviation * chance.standard_normal(int(outside.sum())))


def _bounds(facts: FieldFacts) -> tuple[float, float]:
    if facts.kind != "number":
        return -np.inf, np.inf
    low, high = (
        bound if isinstance(bound, int | float) else None for bound in (facts.low, facts.high)
    )
    return -np.inf if low is None else float(low), np.inf if high is None else float(high)
