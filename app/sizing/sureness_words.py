"""How uncertain a comparison is, in words: bands of ends, odds, and what to measure next."""

from __future__ import annotations

from math import isinf

from model.editing.field_facts import describe
from model.odds.monte_carlo import Effect, Spread
from model.results.wording import called, name_at

ORIGINS = {"measured": "measured", "datasheet": "from a datasheet", "guess": "a guess"}
LONGER_OR_LESS = {
    "first_end": ("lengthens the run", "shortens the run"),
    "lowest_charge": ("leaves more charge", "leaves less charge"),
}


def station_words(found: Spread, index: int) -> list[str]:
    """Return the bands of one station's clocks; those that seldom end are left out."""
    station = found.stations[index]
    if station is None:
        return ["not run: see its findings"]
    ends = {name: band for name, band in station.clocks.items() if not isinf(band.low_h)}
    if not ends:
        return ["no limit is reached in nearly every trial trip"]
    return [found.until_words(index, name) for name in ends]


def odds_words(found: Spread, first: int, second: int) -> str:
    """Return how often one station outlasts another; empty where one is not run."""
    odds = found.odds(first, second)
    if odds is None:
        return ""
    return odds.words(called(found.scenario, first), called(found.scenario, second))


def measure_next(found: Spread, count: int) -> tuple[Effect, ...]:
    """Return the numbers not yet measured that move a first end most, then a lowest charge."""
    effects = [
        effect
        for station in found.stations
        if station is not None
        for effect in station.effects
        if effect.origin != "measured"
    ]
    ordered = sorted(effects, key=_weight, reverse=True)
    return tuple(ordered[:count])


def effect_words(found: Spread, effect: Effect) -> str:
    """Return what a number is, whose, where it comes from, and which way it moves the kit."""
    index = int(effect.path.split(".")[1])
    what = describe(effect.path).split(", ", 1)[1]
    longer, less = LONGER_OR_LESS[effect.on]
    return (
        f"{what} of {name_at(found.scenario, index)} ({ORIGINS[effect.origin]}): a higher value"
        f" {longer if effect.rank_share > 0 else less}"
    )


def _weight(effect: Effect) -> tuple[bool, float]:
    # What moves an end comes before what moves a charge that lasts anyway.
    return effect.on == "first_end", abs(effect.rank_share)
