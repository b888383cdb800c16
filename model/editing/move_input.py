"""One input of a scenario moved by a share, as a hand at a slider moves it."""

from __future__ import annotations

from typing import Any

from model.editing.field_facts import describe, field_at, in_sentence
from model.editing.paths import value_at, with_value
from model.scenario.scenario import Scenario
from model.sky.cloud_words import sky_moved

# The slider runs from half to twice a number, and this far for numbers that have no true zero.
MOST_BY = 2.0
INDEX_REACH, AIR_REACH_C = 0.4, 8.0


def label_of(path: str) -> str:
    """Return what an input is called; of the plan and the sky it stands for all blocks and days."""
    facts = field_at(path)
    if path.startswith("plan."):
        return f"{in_sentence(facts.label)}, whole plan"
    if path.startswith("day."):
        return "night and day air" if path == "day.low_c" else "sky"
    return describe(path).split(", ", 1)[1]


def can_move(scenario: Scenario, path: str) -> bool:
    """Return whether there is a number to move."""
    value = value_at(scenario, path)
    return value is not None and value != 0.0 and value != ()


def moved(scenario: Scenario, path: str, share: float) -> Scenario:
    """Return the scenario with one input moved.

    ``share`` runs from -1, half of the number, over 0, the number as it is, to 1, twice of it.

    Raises
    ------
    ScenarioError
        When the moved value is refused.
    """
    head, _, name = path.rpartition(".")
    if head == "day":
        if name == "sky":
            return with_value(scenario, path, sky_moved(scenario, share * INDEX_REACH))
        for each in ("day.low_c", "day.high_c"):
            values = tuple(
                _within(each, value + share * AIR_REACH_C) for value in value_at(scenario, each)
            )
            scenario = with_value(scenario, each, values)
        return scenario
    by = MOST_BY**share
    if head.startswith("plan"):
        plan = tuple(
            block.model_copy(update={name: _within(path, getattr(block, name) * by)})
            for block in scenario.plan
        )
        return with_value(scenario, "plan", plan)
    return with_value(scenario, path, _multiplied(path, value_at(scenario, path), by))


def _multiplied(path: str, value: Any, by: float) -> Any:
    if isinstance(value, tuple):
        return tuple((rf_w, current_a * by) for rf_w, current_a in value)
    return _within(path, value * by)


def _within(path: str, value: float) -> float:
    """Keep a moved number within its field's bounds, as a slider has ends."""
    facts = field_at(path)
    low, high = (
        float(bound) if isinstance(bound, int | float) else None
        for bound in (facts.low, facts.high)
    )
    value = value if low is None else max(value, low)
    return value if high is None else min(value, high)
