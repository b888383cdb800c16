"""What can be done with variants from the menu of a station."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import partial

from model.editing.faults import ScenarioError
from model.editing.station_variants import is_of_station, kept_as_variant, set_beside, switched_to
from model.results.wording import heading_at, name_at
from model.scenario.scenario import Scenario

Made = Callable[[], Scenario]


def variant_commands(scenario: Scenario, index: int) -> list[tuple[str, str, str]]:
    """Return what can be done: a key, words for the menu, and why not now; empty where it can."""
    return [(key, words, _why_not(made)) for key, words, made in _all(scenario, index)]


def after_variant_command(scenario: Scenario, index: int, key: str) -> tuple[str, Scenario]:
    """Return the words for undo, and the scenario after a command."""
    _, words, made = next(each for each in _all(scenario, index) if each[0] == key)
    return words[:1].lower() + words[1:], made()


def _all(scenario: Scenario, index: int) -> Iterator[tuple[str, str, Made]]:
    for other in range(len(scenario.stations)):
        if other != index:
            words = f"Save {name_at(scenario, index)} as a variant of {heading_at(scenario, other)}"
            yield f"save:{other}", words, partial(kept_as_variant, scenario, index, other)
    for variant in scenario.variants:
        if is_of_station(variant, index):
            name = variant.name
            yield f"switch:{name}", f"Switch to {name}", partial(switched_to, scenario, name)
            beside = partial(set_beside, scenario, index, name)
            yield f"beside:{name}", f"Compare {name} beside", beside


def _why_not(made: Made) -> str:
    try:
        made()
    except ScenarioError as error:
        return error.faults[0].message
    return ""
