"""Changes typed as PATH=VALUE, such as those after ``--set``; paths of format 1 are understood."""

from __future__ import annotations

import tomllib
from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from model.editing.faults import Fault, ScenarioError, shown
from model.editing.paths import with_values
from model.files.migrate import migrated_changes, migrated_path
from model.scenario.scenario import Scenario

OPTION = "--set"
HOW = "must read PATH=VALUE, such as stations.0.battery.capacity_ah=24"


def with_typed(scenario: Scenario, typed: Sequence[str]) -> tuple[Scenario, tuple[str, ...]]:
    """Return a scenario with typed changes made at once, and a remark on each old path.

    Parameters
    ----------
    typed : each ``PATH=VALUE``. A value is written as in a file; a word needs no quotes, and an
        empty one clears what may be left out.

    Raises
    ------
    ScenarioError
        When a change cannot be read, or leads nowhere, or is refused; a line for each.
    """
    faults: list[Fault] = []
    new: dict[str, Any] = {}
    remarks: list[str] = []
    pairs = _pairs(typed, faults)
    for path, value in pairs.items():
        try:
            found = migrated_changes({path: value}, scenario.site)
        except ValueError as error:
            faults.append(Fault(f"{OPTION} {path}", str(error)))
            continue
        for told, wanted in found.items():
            if told in new:
                faults.append(Fault(f"{OPTION} {path}", f"is given twice, as {told} as well"))
            new[told] = wanted
            if told != path:
                remarks.append(f"{OPTION} {path}: of format 1, read as {told}={_said(wanted)}")
    if faults:
        raise ScenarioError(tuple(faults))
    old = {migrated_path(path): path for path in pairs}
    try:
        return with_values(scenario, new), tuple(remarks)
    except KeyError as error:
        words = str(error.args[0])
        raise ScenarioError((Fault("", f"{OPTION} {words}"),)) from None
    except ScenarioError as error:
        told_faults = (replace(one, path=old.get(one.path, one.path)) for one in error.faults)
        raise ScenarioError(
            tuple(replace(one, path=f"{OPTION} {one.path}") for one in told_faults)
        ) from None


def _pairs(typed: Sequence[str], faults: list[Fault]) -> dict[str, Any]:
    found: dict[str, Any] = {}
    for each in typed:
        path, sign, text = each.partition("=")
        path = path.strip()
        if not sign or not path:
            faults.append(Fault("", f"{OPTION} {shown(each)}: {HOW}"))
        elif path in found:
            faults.append(Fault(f"{OPTION} {path}", "is given twice"))
        else:
            found[path] = typed_value(text.strip())
    return found


def typed_value(text: str) -> Any:
    """Return what a typed value means: as a file would hold it, else a word; None for nothing."""
    if not text:
        return None
    try:
        table = tomllib.loads(f"value = {text}\n")
    except (ValueError, RecursionError):
        return text
    # Several lines would be more than the one value.
    return table["value"] if table.keys() == {"value"} else text


def _said(value: Any) -> str:
    if isinstance(value, list | tuple):
        return f"[{', '.join(_said(one) for one in value)}]"
    return f"{value:g}" if isinstance(value, float) else str(value)
