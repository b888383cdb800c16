"""What a log may find to be otherwise than entered, and what is held of it beforehand.

Every unknown is a factor on what is entered. Beforehand each is a mixture: an ordinary error, or a
real fault, which is rarer and far larger. All are independent.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import log, pi, sqrt
from typing import Literal

import numpy as np
from numpy.random import Generator

from model.engine.outcome import USES
from model.engine.run import StationRun
from model.results.provenance import bases
from model.scenario.declare import Provenance, Source
from model.scenario.kinds import KINDS
from model.scenario.station import Part, Station
from model.sky.timeline import date_name
from model.station.chemistry import Floats

Group = Literal["battery", "start", "load", "sun", "day"]

# Ordinary errors, as a standard deviation of the logarithm: a twenty-fifth or so either way.
ORDINARY_SD = 0.035
DAY_SUN_SD = 0.2
# How far a plan is kept moves what transmitting takes. Common practice, no source.
PLAN_SD = 0.05
LEAST_SD = 0.01
# Real faults: an aged pack; a radio with its light and volume up, or its saver on; a panel in
# dust, shade or badly aimed; a pack that was not full. Ranges of the trade, evenly spread.
FAULTS: dict[Group, tuple[float, float]] = {
    "battery": (0.5, 0.95), "load": (0.75, 1.4), "sun": (0.3, 1.2), "start": (0.6, 1.0),
}  # fmt: skip
# How often each is at fault, by where its number comes from. Common practice, no source.
OFTEN: dict[Group, dict[Provenance, float]] = {
    "battery": {"guess": 0.2, "datasheet": 0.2, "measured": 0.1},
    "load": {"guess": 0.2, "datasheet": 0.1, "measured": 0.05},
    "sun": {"guess": 0.15, "datasheet": 0.15, "measured": 0.08},
    "start": {"guess": 0.1, "datasheet": 0.1, "measured": 0.05},
}
# From here on an unknown counts as off: beyond what ordinary errors do, or days of their own sun.
OFF: dict[Group, float] = {"battery": 0.07, "start": 0.07, "load": 0.08, "sun": 0.2}
# A use that takes a smaller share of the charge is taken as entered: no log could tell.
LEAST_SHARE = 0.02
BAND_DEVIATIONS = 1.96


@dataclass(frozen=True)
class Unknown:
    """One factor on what is entered.

    Attributes
    ----------
    key : ``battery``, ``start``, ``sun``, the use of a load, or ``day`` with its number.
    group : what kind of thing it is.
    words : in a sentence.
    sd : of an ordinary error's logarithm [1].
    fault_share : how often it is at fault [1].
    least_factor, most_factor : what a fault makes of it [1].
    """

    key: str
    group: Group
    words: str
    sd: float
    fault_share: float = 0.0
    least_factor: float = 1.0
    most_factor: float = 1.0

    def drawn(self, members: int, chance: Generator, fault_share: float) -> Floats:
        """Return logarithms of the factor, with faults as often as asked; shape (members,). [1]"""
        usual = self.sd * chance.standard_normal(members)
        if not self.fault_share:
            return usual
        at_fault = chance.random(members) < fault_share
        faults = np.log(chance.uniform(self.least_factor, self.most_factor, members))
        return np.where(at_fault, faults, usual)

    def density(self, logs: Floats, fault_share: float) -> Floats:
        """Return how dense the logarithms are held to be, with faults as often as asked. [1]"""
        usual: Floats = np.exp(-0.5 * (logs / self.sd) ** 2) / (self.sd * sqrt(2 * pi))
        if not self.fault_share:
            return usual
        low, high = log(self.least_factor), log(self.most_factor)
        # Evenly spread factors are denser in logarithms where these are large.
        fault = np.exp(logs) / (self.most_factor - self.least_factor)
        inside = (logs >= low) & (logs <= high)
        mixed: Floats = (1 - fault_share) * usual + fault_share * np.where(inside, fault, 0.0)
        return mixed

    def is_off(self, factors: Floats) -> np.ndarray:
        """Return where a factor is beyond ordinary errors; nowhere for a day's own sun."""
        if self.group == "day":
            return np.zeros(factors.shape, dtype=bool)
        bound = OFF[self.group]
        low = factors < 1 - bound
        return low if self.group in ("battery", "start") else low | (factors > 1 + bound)


def unknowns(run: StationRun) -> tuple[Unknown, ...]:
    """Return what a log of this run may find to be otherwise than entered."""
    station = run.station
    found = [
        _unknown("battery", "battery", "the battery", station.battery.source_of("tested_fraction")),
        _unknown("start", "start", "the charge at the start", None),
        *_loads(run),
    ]
    if station.panel is not None and float(run.flow.panel_able_a.max()) > 0:
        sources = [station.panel.source_of(name) for name in ("rated_w", "other_losses")]
        known = next((each for each in sources if each.origin == "measured"), sources[0])
        found.append(_unknown("sun", "sun", "the sun on the panel", known))
        of_date, able_a = run.clock.date_of_step(), run.flow.panel_able_a
        found += [
            _day(date, date_name(run.clock.dates[date]))
            for date in range(int(of_date[-1]) + 1)
            if able_a[of_date == date].any()
        ]
    return tuple(found)


def _day(date: int, name: str) -> Unknown:
    return Unknown(f"day.{date}", "day", f"the sun of {name}", DAY_SUN_SD)


def _unknown(key: str, group: Group, words: str, source: Source | None) -> Unknown:
    origin: Provenance = source.origin if source else "guess"
    sd = ORDINARY_SD
    if source is not None and origin == "measured" and source.spread is not None:
        sd = min(max(source.spread / BAND_DEVIATIONS, LEAST_SD), ORDINARY_SD)
    return Unknown(key, group, words, sd, OFTEN[group][origin], *FAULTS[group])


def _loads(run: StationRun) -> Iterator[Unknown]:
    """Yield each use that takes a share of the charge worth telling."""
    rows = bases(run)
    total_ah = sum(row.ah for row in rows)
    words = {use.key: use.words for kind in KINDS for use in kind.uses}
    for use in USES:
        mine = sorted((row for row in rows if row.use == use), key=lambda row: -row.ah)
        if not mine or sum(row.ah for row in mine) < LEAST_SHARE * total_ah:
            continue
        made = _unknown(use, "load", words[use], _source(run.station, mine[0].paths[0]))
        if use == "transmit":
            made = Unknown(use, "load", words[use], float(np.hypot(made.sd, PLAN_SD)),
                           made.fault_share, made.least_factor, made.most_factor)  # fmt: skip
        yield made


def _source(station: Station, path: str) -> Source | None:
    slot, *place, name = path.split(".")
    if slot == "shared":
        return None
    held = getattr(station, slot)
    part: Part = held[int(place[0])] if place else held
    return part.source_of(name)


def paths_of_use(use: str, station: Station) -> tuple[str, ...]:
    """Return the numbers that the factor of a use multiplies, from the station on."""
    return tuple(
        f"{path}.{name}"
        for kind in KINDS
        for path, part in kind.held_by(station)
        for each in kind.uses
        if each.key == use
        for name in each.numbers
        if getattr(part, name)
    )
