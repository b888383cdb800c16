"""Numbers of a station that a log would have otherwise, and the station with one of them kept."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

from model.editing.field_facts import in_sentence
from model.engine.run import StationRun
from model.field.bench_sheet import facts_of, part_at, with_measured
from model.field.causes import Cause, Told
from model.field.likelihood import counter_start_ah
from model.field.unknowns import paths_of_use
from model.scenario.declare import Source
from model.scenario.kinds import kind_of
from model.scenario.station import Station
from model.support.figures import entered, percent

# A number that seems off by less than this is left alone, and one whose odds are below even.
LEAST_OFFER, LEAST_ODDS = 0.05, 0.5
MOST_LOSSES, MOST_SPREAD = 0.95, 2.0
START = "start_fraction"
NOTE = "worked out from field readings"


@dataclass(frozen=True)
class Offer:
    """A number of a station that the readings would have otherwise, and the sentence of it.

    ``spread`` is the half-width of its 95 % band over the number [1]; ``counter_start_ah`` is what
    the log's counter showed at the start, which stays as it was [Ah].
    """

    path: str
    before: Any
    after: Any
    spread: float
    counter_start_ah: float
    sentence: str


def offers(run: StationRun, causes: Sequence[Cause], can_tell: Told) -> tuple[Offer, ...]:
    """Return what to change in the station, for what is more likely off than not."""
    return tuple(
        offer
        for cause in causes
        if cause.share >= LEAST_ODDS and abs(cause.factor - 1) >= LEAST_OFFER
        for offer in _offers_of(run, cause, can_tell)
    )


def _offers_of(run: StationRun, cause: Cause, can_tell: Told) -> Iterator[Offer]:
    station, group = run.station, cause.unknown.group
    if group == "battery" and can_tell.capacity:
        battery = station.battery
        before, after = battery.tested_fraction, round(battery.tested_fraction * cause.factor, 3)
        words = (
            f"{_name(station, 'battery.tested_fraction')}: it seems to give {percent(cause.factor)}"
            f" of what is entered; tested capacity {percent(after)} of its label instead of"
            f" {percent(before)}."
        )
        yield _offer(run, "battery.tested_fraction", before, after, cause.spread, words)
    elif group == "start" and can_tell.start:
        before, after = station.start_fraction, round(station.start_fraction * cause.factor, 3)
        words = f"Charge at the start: by these readings {percent(after)}, not {percent(before)}."
        yield _offer(run, START, before, after, cause.spread, words)
    elif group == "sun" and station.panel is not None:
        held = station.panel.other_losses
        losses = round(min(max(1 - (1 - held) * cause.factor, 0.0), MOST_LOSSES), 3)
        words = (
            f"{_name(station, 'panel.other_losses')}: if the sky was as entered, it gives"
            f" {_more_or_less(cause.factor)} than entered; other losses would be"
            f" {percent(losses)}, not {percent(held)}."
        )
        spread = cause.spread * (1 - losses) / max(losses, 0.05)
        yield _offer(run, "panel.other_losses", held, losses, spread, words)
    elif group == "load":
        for path in paths_of_use(cause.unknown.key, station):
            yield _load_offer(run, path, cause)


def _load_offer(run: StationRun, path: str, cause: Cause) -> Offer:
    part, name = part_at(run.station, path)
    facts, before = facts_of(path), getattr(part, name)
    if facts.kind == "points":
        after: Any = tuple((rf_w, _rounded(each * cause.factor)) for rf_w, each in before)
        change = "each point by as much"
    else:
        after = _rounded(before * cause.factor)
        change = f"{entered(after, facts.unit)} instead of {entered(before, facts.unit)}"
    words = (
        f"{_name(run.station, path)}: {in_sentence(facts.label)} seems to be"
        f" {_more_or_less(cause.factor)} than entered; {change}."
    )
    return _offer(run, path, before, after, cause.spread, words)


def _offer(run: StationRun, path: str, before: Any, after: Any, spread: float, words: str) -> Offer:
    held = min(round(spread, 3), MOST_SPREAD)
    return Offer(path, before, after, held, round(counter_start_ah(run), 3), words)


def _name(station: Station, path: str) -> str:
    part, _ = part_at(station, path)
    return " ".join(part.name.split()) or kind_of(part).label


def _rounded(number: float) -> float:
    """Return a number to three digits: readings do not know more."""
    return float(f"{number:.3g}")


def _more_or_less(factor: float) -> str:
    return f"{percent(abs(factor - 1))} {'more' if factor > 1 else 'less'}"


def accepted(station: Station, offer: Offer, on: date) -> Station:
    """Return the station with an offered number, marked as measured in the field that day.

    What the counter showed at the start is kept beside it: the same readings then offer nothing
    more.

    Raises
    ------
    ScenarioError
        When the number is beyond what its field may hold.
    """
    meters = station.meters.model_copy(update={"counter_start_ah": offer.counter_start_ah})
    station = station.model_copy(update={"meters": meters})
    if offer.path == START:
        return station.model_copy(update={START: offer.after})
    where, _, name = offer.path.rpartition(".")
    source = Source.model_validate(
        {"from": "measured", "on": on, "spread": offer.spread, "note": NOTE}
    )
    return with_measured(station, where, {name: offer.after}, source)
