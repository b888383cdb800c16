"""What the sheet asks the document for: a value in one station or in all, and whole parts."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from app.editors.fields.editor import fault_words
from app.editors.sheet.rows import part_of, slot_of
from app.state.edit_context import Desk
from model.editing.faults import ScenarioError
from model.editing.field_facts import place_words
from model.editing.paths import value_at, with_values
from model.scenario.scenario import Scenario
from model.station.chemistry import nominal_v

# Each takes the place of the other.
GAUGES = {"awg": "size_mm2", "size_mm2": "awg"}


def path_of(key: str, index: int) -> str:
    """Return the path of a field of a station, counted from 0."""
    return f"stations.{index}.{key}"


def stations_with(scenario: Scenario, key: str) -> list[int]:
    """Return the stations that have a field."""
    has_part = bool(slot_of(key))
    return [
        index
        for index, station in enumerate(scenario.stations)
        if not has_part or part_of(station, key) is not None
    ]


def values_of(scenario: Scenario, key: str, stations: Iterable[int]) -> dict[str, Any]:
    """Return what fields hold, by path, and what they put out of use with them."""
    paths = [path_of(each, index) for index in stations for each in _with_other(key)]
    return {path: value_at(scenario, path) for path in paths}


def write(desk: Desk, key: str, value: Any, stations: Iterable[int], merge_key: str = "") -> str:
    """Put a value into a field of stations; return why it is refused, or nothing."""
    changes: dict[str, Any] = {}
    for index in stations:
        for each in _with_other(key):
            if each == key:
                changes[path_of(key, index)] = value
            elif value is not None:
                changes[path_of(each, index)] = None
    return write_all(desk, key, changes, merge_key)


def write_all(desk: Desk, key: str, changes: Mapping[str, Any], merge_key: str = "") -> str:
    """Put several values in at once, one undo step with others of the same key in this burst."""
    paths = [path for path in changes if path.endswith(f".{key}")]
    try:
        changed = with_values(desk.document.scenario, changes)
    except ScenarioError as error:
        return fault_words(error.faults)
    words = place_words(paths[0])
    if len(paths) > 1:
        words = f"{words.partition(', ')[2]} in {len(paths)} stations"
    desk.document.replace(f"change of {words}", changed, merge_key or paths[0])
    return ""


def supply_v_of(desk: Desk, key: str, index: int, unit: str) -> float | None:
    """Return the volts that turn watts into amperes here, and watt-hours into Ah [V]."""
    if unit not in ("A", "Ah") or not slot_of(key):
        return None
    return nominal_v(desk.document.scenario.stations[index].battery)


def _with_other(key: str) -> tuple[str, ...]:
    parent, _, name = key.rpartition(".")
    other = GAUGES.get(name) if slot_of(key) == "leads" else None
    return (key, f"{parent}.{other}") if other else (key,)
