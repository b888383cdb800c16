"""Equal terms as a table: how each station stood before, and how it stands now."""

from __future__ import annotations

from math import inf

from app.pages.size.export import Table
from app.pages.size.variant_words import end_text
from app.widgets.number_text import percent, plain, shown_unit
from model.results.wording import name_at
from model.scenario.scenario import Scenario
from model.sizing.equal_terms import Standing

Standings = tuple[Standing, ...]


def terms_rows(
    scenario: Scenario, before: Standings, after: Standings, *, us: bool
) -> tuple[tuple[str, ...], list[tuple[str, ...]]]:
    """Return heads and rows for the screen: a row for each number of each station."""
    mass = shown_unit("kg", 2, us=us)
    rows: list[tuple[str, ...]] = []
    for index, pair in enumerate(zip(before, after, strict=True)):
        told = [
            (
                ("RF power, W", plain(one.rf_w, 1)),
                ("Battery, Ah", plain(one.capacity_ah, 1)),
                (f"Mass, {mass.unit}", plain(mass.of(one.fate.mass_kg), 2)),
                ("Lowest charge", _percent(one.fate.lowest_fraction)),
                ("First end", end_text(one.fate)),
            )
            for one in pair
        ]
        for place, ((label, then), (_, now)) in enumerate(zip(*told, strict=True)):
            name = "" if place else name_at(scenario, index)
            rows.append((name, label, then, now if now != then else "the same"))
    return ("Station", "What", "Before", "Now"), rows


def terms_table(scenario: Scenario, before: Standings, after: Standings) -> Table:
    """Return both as a table for a file, a row for each station before and after."""
    heads = (
        "station", "when", "rf_w", "battery_ah", "mass_kg", "lowest_fraction", "first_end_h",
        "first_end", "why",
    )  # fmt: skip
    rows: list[list[object]] = []
    for index, pair in enumerate(zip(before, after, strict=True)):
        for when, one in zip(("before", "after"), pair, strict=True):
            end_h = one.fate.first_end_h
            rows.append([
                name_at(scenario, index), when, one.rf_w, one.capacity_ah, one.fate.mass_kg,
                one.fate.lowest_fraction, None if end_h in (None, inf) else end_h,
                one.fate.ends, one.fate.why,
            ])  # fmt: skip
    return heads, rows


def _percent(fraction: float | None) -> str:
    return "not run" if fraction is None else percent(fraction)
