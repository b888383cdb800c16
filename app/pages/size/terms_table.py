"""Equal terms as a table: how each station stands now, and how it would on each of the terms."""

from __future__ import annotations

from dataclasses import dataclass
from math import inf

from app.pages.size.export import Table
from app.pages.size.variant_words import end_text
from app.widgets.number_text import plain, sentence_text, shown_unit
from model.results.wording import name_at
from model.scenario.scenario import Scenario
from model.sizing.equal_terms import Standing, Terms
from model.support.figures import percent

Standings = tuple[Standing, ...]
SAME = "the same"


@dataclass(frozen=True)
class Outcome:
    """One of the terms: what it is called, what it changes, and how every station then stands."""

    title: str
    terms: Terms
    standings: Standings


@dataclass(frozen=True)
class Found:
    """All terms of one pair of stations of a scenario."""

    scenario: Scenario
    now: Standings
    outcomes: tuple[Outcome, ...]

    def changes(self, outcome: Outcome) -> bool:
        """Return whether there is anything to take over."""
        return outcome.terms.scenario != self.scenario


def terms_rows(found: Found, *, us: bool) -> tuple[tuple[str, ...], list[tuple[str, ...]]]:
    """Return heads and rows for the screen: a row for each number of each station."""
    rows: list[tuple[str, ...]] = []
    for index, now in enumerate(found.now):
        told = [_numbers(now, us=us)]
        told += [_numbers(outcome.standings[index], us=us) for outcome in found.outcomes]
        for place, cells in enumerate(zip(*told, strict=True)):
            (label, held), *others = cells
            name = "" if place else name_at(found.scenario, index)
            changed = [text if text != held else SAME for _, text in others]
            rows.append((name, label, held, *changed))
    return ("Station", "What", "Now", *(outcome.title for outcome in found.outcomes)), rows


def _numbers(one: Standing, *, us: bool) -> tuple[tuple[str, str], ...]:
    mass = shown_unit("kg", 2, us=us)
    return (
        ("RF power, W", plain(one.rf_w, 1)),
        ("Battery, Ah", plain(one.capacity_ah, 1)),
        (f"Mass, {mass.unit}", plain(mass.of(one.fate.mass_kg), 2)),
        ("Lowest charge", _percent(one.fate.lowest_fraction)),
        ("First end", sentence_text(end_text(one.fate), us=us)),
    )


def terms_table(found: Found) -> Table:
    """Return the same for a file, a row for each station now and on each of the terms."""
    heads = (
        "station", "when", "rf_w", "battery_ah", "mass_kg", "lowest_fraction", "first_end_h",
        "first_end", "why",
    )  # fmt: skip
    cases = [("now", found.now)]
    cases += [(outcome.title.lower(), outcome.standings) for outcome in found.outcomes]
    rows: list[list[object]] = []
    for index in range(len(found.now)):
        for when, standings in cases:
            one = standings[index]
            end_h = one.fate.first_end_h
            rows.append([
                name_at(found.scenario, index), when, one.rf_w, one.capacity_ah, one.fate.mass_kg,
                one.fate.lowest_fraction, None if end_h in (None, inf) else end_h,
                one.fate.ends, one.fate.why,
            ])  # fmt: skip
    return heads, rows


def _percent(fraction: float | None) -> str:
    return "not run" if fraction is None else percent(fraction)
