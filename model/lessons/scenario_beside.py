"""The scenario of a lesson: a table of its own, or a file beside it or one folder above."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any

from pydantic import ValidationError

from model.editing.faults import Fault, ScenarioError, faults_of, shown
from model.files.atomic_write import shown_name
from model.files.migrate import Migration, migrated, old_place
from model.files.scenario_file import read_scenario
from model.scenario.scenario import FORMAT, Scenario


def scenario_given(
    given: Any, folder: Path, *, was_old: bool = False
) -> tuple[Scenario | None, list[Fault]]:
    """Return the scenario that stands in a lesson, or in a file beside it or one folder above."""
    if given is None:
        return None, []
    if isinstance(given, Mapping):
        try:
            return _inner_scenario(given, was_old=was_old), []
        except ScenarioError as error:
            return None, [Fault(f"scenario.{fault.path}", fault.message) for fault in error.faults]
    if not isinstance(given, str) or Path(given).name != given or not given:
        return None, [
            Fault(
                "scenario",
                "must be a table [scenario], or the name of a scenario"
                f" file beside the lesson or one folder above, got {shown(given)}",
            )
        ]
    name = shown(given).removeprefix("text ")
    for place in (folder / given, folder.parent / given):
        if is_file(place):
            try:
                return read_scenario(place), []
            except ScenarioError as error:
                return None, [
                    Fault("scenario", f"{shown_name(given)}: {fault}") for fault in error.faults
                ]
    return None, [Fault("scenario", f"there is no file {name} beside the lesson or above")]


def _inner_scenario(given: Mapping[str, Any], *, was_old: bool) -> Scenario:
    """Return the scenario that stands in a lesson, in the lesson's own format."""
    done = migrated(given) if was_old else Migration({"format": FORMAT, **given})
    faults = tuple(done.faults)
    try:
        scenario = Scenario.model_validate(done.table, by_alias=True, by_name=False)
    except ValidationError as error:
        refused = faults_of(error, done.table)
        if was_old:
            refused = tuple(replace(fault, path=old_place(fault.path)) for fault in refused)
        faults += refused
    if faults:
        raise ScenarioError(faults)
    return scenario


def is_file(place: Path) -> bool:
    """Whether there is such a file; what the system refuses to look for is none."""
    try:
        return place.is_file()
    except OSError:
        # Such as a name that is longer than the system has files for.
        return False
