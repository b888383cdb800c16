"""Changes typed as PATH=VALUE after ``--set`` or ``--sweep``; paths of format 1 are understood."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any

from model.editing.faults import Fault, ScenarioError, shown
from model.editing.paths import with_values
from model.files.migrate import migrated_changes, migrated_path
from model.scenario.scenario import Scenario

SET, SWEEP = "--set", "--sweep"
HOW = "must read PATH=VALUE, such as stations.0.battery.capacity_ah=24"


def with_typed(
    scenario: Scenario, typed: Sequence[str], swept: Sequence[str] = ()
) -> tuple[Scenario, tuple[str, ...]]:
    """Return a scenario with typed changes made at once, and a remark on each old path.

    Parameters
    ----------
    typed : each ``PATH=VALUE``. A value is written as in a file; a word needs no quotes, and an
        empty one clears what may be left out.
    swept : the same, of values that a sweep gave.

    Raises
    ------
    ScenarioError
        When a change cannot be read, or leads nowhere, or is refused; a line for each.
    """
    faults: list[Fault] = []
    new: dict[str, Any] = {}
    remarks: list[str] = []
    pairs = _pairs([(SET, each) for each in typed] + [(SWEEP, each) for each in swept], faults)
    by = {path: f"{option} {path}" for path, (option, _) in pairs.items()}
    for path, (_, value) in pairs.items():
        try:
            found = migrated_changes({path: value}, scenario.site)
        except ValueError as error:
            faults.append(Fault(by[path], str(error)))
            continue
        for told, wanted in found.items():
            if told in new:
                faults.append(Fault(by[path], f"is given twice, as {told} as well"))
            new[told] = wanted
            if told != path:
                remarks.append(f"{by[path]}: of format 1, read as {told}={_said(wanted)}")
    if faults:
        raise ScenarioError(tuple(faults))
    old = {migrated_path(path): path for path in pairs}
    try:
        return with_values(scenario, new), tuple(remarks)
    except KeyError as error:
        raise ScenarioError((Fault("", _by_option(str(error.args[0]), old, by)),)) from None
    except ScenarioError as error:
        raise ScenarioError(
            tuple(replace(one, path=_by_option(one.path, old, by)) for one in error.faults)
        ) from None


def _by_option(words: str, old: Mapping[str, str], by: Mapping[str, str]) -> str:
    """Return words that begin with a place behind the option that led there."""
    place = words.partition(":")[0]
    for new, path in old.items():
        if place == new:
            return by[path] + words.removeprefix(place)
        if new.startswith(f"{place}.") or place.startswith(f"{new}."):
            return f"{by[path].partition(' ')[0]} {words}"
    return f"{SET} {words}"


def _pairs(typed: Sequence[tuple[str, str]], faults: list[Fault]) -> dict[str, tuple[str, Any]]:
    found: dict[str, tuple[str, Any]] = {}
    for option, each in typed:
        path, sign, text = each.partition("=")
        path = path.strip()
        if not sign or not path:
            faults.append(Fault("", f"{option} {shown(each)}: {HOW}"))
        elif path in found:
            faults.append(Fault(f"{option} {path}", "is given twice"))
        else:
            found[path] = option, typed_value(text.strip())
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
