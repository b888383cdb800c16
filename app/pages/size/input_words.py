"""What an input of a scenario is now, with its unit, as it stands in a line of text."""

from __future__ import annotations

from collections.abc import Iterable

from app.state.display import Display
from app.widgets.number_text import entered_texts, quantity, shown_as
from model.editing.field_facts import field_at
from model.editing.paths import value_at
from model.scenario.scenario import Scenario
from model.sky.cloud_words import sky_text
from model.support.figures import with_unit


def value_words(scenario: Scenario, path: str, display: Display) -> str:
    """Return an input's value with its unit, as it stands in a line of text."""
    value, facts = value_at(scenario, path), field_at(path)
    if path == "day.sky":
        return ", ".join(dict.fromkeys(sky_text(sky, scenario.climate) for sky in value))
    if path.startswith("day."):
        return ", ".join(_one(one, path, display) for one in _different(value))
    if isinstance(value, tuple):
        return ", ".join(f"{quantity(a, 'A', 2)} at {quantity(w, 'W', 1)}" for w, a in value)
    if path.startswith("plan."):
        name = path.rpartition(".")[2]
        values = [getattr(block, name) for block in scenario.plan if block.sends]
        return ", ".join(_one(one, path, display) for one in _different(values or [value]))
    return with_unit(display.text(value, facts), display.unit(facts))


def _one(value: float, path: str, display: Display) -> str:
    facts = field_at(path)
    shown = shown_as(facts, us=display.is_us)
    (text,) = entered_texts((value,), shown)
    return with_unit(text, shown.unit)


def _different(values: Iterable[float]) -> list[float]:
    return list(dict.fromkeys(values))
