"""Variants of one station: kept under a name, switched to, and set beside the station."""

from __future__ import annotations

from itertools import count

from model.editing.edit_stations import free_name
from model.editing.faults import ScenarioError
from model.editing.paths import with_inserted
from model.editing.variants import as_variant, variant_of, without_variant, without_variants
from model.scenario.scenario import Scenario, Variant

BEFORE = "Before "


def is_of_station(variant: Variant, index: int) -> bool:
    """Whether a variant changes something of a station, counted from 0."""
    paths = (*(path for path, _ in variant.changes), *variant.left_out)
    return any(path.startswith(f"stations.{index}.") for path in paths)


def kept_as_variant(scenario: Scenario, index: int, of: int) -> Scenario:
    """Return the scenario with a station kept as a variant of another, under its own name.

    Raises
    ------
    ScenarioError
        When nothing differs, or more than values and things left out.
    """
    stations = list(scenario.stations)
    stations[of] = stations[index]
    changed = scenario.model_copy(update={"stations": tuple(stations)})
    return as_variant(scenario, changed, _free(scenario, stations[index].name or "Variant"))


def switched_to(scenario: Scenario, name: str) -> Scenario:
    """Return what a variant stands for; what was before is a variant of it in the other's place.

    Switching to that one brings everything back. Where what was before has parts that are left out
    now, no variant can stand for it: then the variants stay as they are.

    Raises
    ------
    ScenarioError
        When there is none of that name, or it does not fit this scenario.
    """
    others = without_variant(scenario, name).variants
    made = variant_of(scenario, name).model_copy(update={"variants": others})
    before = name.removeprefix(BEFORE) if name.startswith(BEFORE) else f"{BEFORE}{name}"
    try:
        return as_variant(made, without_variants(scenario), _free(made, before))
    except ScenarioError:
        return made.model_copy(update={"variants": scenario.variants})


def set_beside(scenario: Scenario, index: int, name: str) -> Scenario:
    """Return the scenario with a station as a variant has it in a column beside it.

    Raises
    ------
    ScenarioError
        When the variant does not fit this scenario, or there are too many stations.
    """
    station = variant_of(scenario, name).stations[index]
    named = station.model_copy(update={"name": free_name(scenario, name)})
    return with_inserted(scenario, "stations", index + 1, named)


def _free(scenario: Scenario, wanted: str) -> str:
    taken = {variant.name.casefold() for variant in scenario.variants}
    names = (wanted if number == 1 else f"{wanted} {number}" for number in count(1))
    return next(name for name in names if name.casefold() not in taken)
