"""Variants in words and as a table: what they change, and how each station ends with them."""

from __future__ import annotations

from math import inf
from typing import Any

from app.editors.fields.words import word_of
from app.pages.size.export import Table
from app.state.display import Display
from app.widgets.number_text import plain, quantity, sentence_text, shown_unit
from model.editing.field_facts import field_at, place_words
from model.editing.paths import value_at
from model.results.wording import name_at
from model.scenario.scenario import Scenario, Variant
from model.sizing.variants_compared import Difference, Fate, Version, differences
from model.sky.cloud_words import sky_text
from model.support.figures import percent, with_unit

AS_IT_IS = "the scenario itself"
TEXT_LIMIT = 40


def version_name(version: Version) -> str:
    """Return what a version is called."""
    return version.variant.name if version.variant is not None else AS_IT_IS


def shown_rows(
    scenario: Scenario, versions: tuple[Version, ...], *, us: bool
) -> tuple[tuple[str, ...], list[tuple[str, ...]]]:
    """Return heads and rows for the screen, a row for each station of each version."""
    mass = shown_unit("kg", 2, us=us)
    heads = (
        "Version",
        "Station",
        "First end",
        "Lowest",
        mass.unit,
        "Later",
        "Charge",
        "Heavier",
    )
    rows = []
    for version in versions:
        name = version_name(version)
        if version.misfit:
            rows.append((name, "", f"cannot be made: {version.misfit}", *[""] * 5))
            continue
        told = _told_differences(versions[0], version, us=us)
        for index, (fate, less) in enumerate(zip(version.fates, told, strict=True)):
            lowest = "" if fate.lowest_fraction is None else percent(fate.lowest_fraction)
            weighs = plain(mass.of(fate.mass_kg), 2)
            own = "" if index else name
            ends = sentence_text(end_text(fate), us=us)
            rows.append((own, name_at(scenario, index), ends, lowest, weighs, *less))
    return heads, rows


def end_text(fate: Fate) -> str:
    """Return when and why a station first ends."""
    return f"{fate.ends}: {fate.why}" if fate.why else fate.ends


def _told_differences(base: Version, version: Version, *, us: bool) -> list[tuple[str, str, str]]:
    if version.variant is None or not base.fates:
        return [("", "", "")] * len(version.fates)
    return [_told(each, us=us) for each in differences(base, version)]


def _told(less: Difference, *, us: bool) -> tuple[str, str, str]:
    end_h, points = less.end_h, less.lowest_fraction
    later = "" if end_h is None else _later(end_h)
    charge = "" if points is None else with_unit(_signed(round(points * 100)), "%")
    mass = quantity(abs(less.mass_kg), "kg", 2, us=us)
    sign = "−" if less.mass_kg < 0 else "+"
    heavier = "0" if abs(less.mass_kg) < 0.005 else f"{sign}{mass}"
    return later, charge, heavier


def _later(end_h: float) -> str:
    if end_h == inf:
        return "lasts now"
    if end_h == -inf:
        return "ends now"
    sign = "−" if end_h < 0 else "+"
    return "0" if abs(end_h) < 0.05 else f"{sign}{quantity(abs(end_h), 'h', 1)}"


def _signed(number: int) -> str:
    return f"{'−' if number < 0 else '+' if number else ''}{abs(number)}"


def versions_table(scenario: Scenario, versions: tuple[Version, ...]) -> Table:
    """Return every version as a table for a file, a row for each station."""
    heads = (
        "version",
        "station",
        "first_end",
        "why",
        "first_end_h",
        "lowest_fraction",
        "mass_kg",
        "later_h",
        "more_fraction",
        "heavier_kg",
    )
    rows: list[list[object]] = []
    for version in versions:
        name = version_name(version)
        if version.misfit:
            rows.append([name, None, f"cannot be made: {version.misfit}", *[None] * 7])
            continue
        told = differences(versions[0], version)
        for index, (fate, less) in enumerate(zip(version.fates, told, strict=True)):
            rows.append([
                name, name_at(scenario, index), fate.ends, fate.why,
                _finite(fate.first_end_h), fate.lowest_fraction, fate.mass_kg,
                _finite(less.end_h), less.lowest_fraction, less.mass_kg,
            ])  # fmt: skip
    return heads, rows


def _finite(hours: float | None) -> float | None:
    return None if hours is None or abs(hours) == inf else hours


def change_lines(scenario: Scenario, variant: Variant, display: Display) -> list[str]:
    """Return what a variant changes, a line a value: what it is now, and what it becomes."""
    lines = []
    for path, value in variant.changes:
        words = shown_value(path, value, display)
        now = _value_now(scenario, path, display)
        lines.append(f"{place_words(path)}: {now}{words}")
    lines += [f"{place_words(path)}: left out" for path in variant.left_out]
    return lines or ["It changes nothing."]


def _value_now(scenario: Scenario, path: str, display: Display) -> str:
    try:
        return f"{shown_value(path, value_at(scenario, path), display)} → "
    except KeyError:
        return ""


def shown_value(path: str, value: Any, display: Display) -> str:
    """Return a value of any field as it stands in a line of text."""
    facts = field_at(path)
    if value is None:
        return "none"
    if facts.kind == "number":
        return with_unit(display.text(value, facts), display.unit(facts))
    if facts.kind == "flag":
        return "yes" if value else "no"
    if facts.kind == "sky":
        return sky_text(value)
    if facts.kind in ("numbers", "skies") and isinstance(value, tuple):
        shown = [shown_value(f"{path}.0", one, display) for one in value]
        return ", ".join(dict.fromkeys(shown))
    if isinstance(value, tuple):
        return f"{len(value)} {'entry' if len(value) == 1 else 'entries'}"
    text = " ".join(word_of(value).split()) or "empty"
    return text if len(text) <= TEXT_LIMIT else f"{text[: TEXT_LIMIT - 1]}…"
