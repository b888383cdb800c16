"""The file of a group: reading it with the scenarios it names, every fault at once; saving it."""

from __future__ import annotations

import os
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

from pydantic import ValidationError

from model.editing.faults import FAULTS_LIMIT, Fault, ScenarioError, at_lines, shown
from model.editing.record_faults import keys_below, record_faults
from model.files.scenario_file import read_bytes, read_scenario, table_of, write_text
from model.files.toml_text import laid_out, lines_of
from model.group.group import GROUP_FORMAT, Group
from model.group.kits import LoadedGroup, standing
from model.scenario.scenario import Scenario
from model.sky.timeline import timeline


def read_group(source: str | os.PathLike[str]) -> LoadedGroup:
    """Return the group in a file with the scenarios it names; ``-`` reads standard input.

    Raises
    ------
    ScenarioError
        When the file, or one it names, cannot be read or holds nothing of its kind; carries every
        fault with its line.
    """
    folder = Path() if str(source) == "-" else Path(source).resolve().parent
    return open_group(read_bytes(source), folder)


def open_group(data: bytes, folder: Path) -> LoadedGroup:
    """Return the group in the bytes of a file that stands in a folder.

    Raises
    ------
    ScenarioError
        As of ``read_group``.
    """
    table, text = table_of(data)
    lines = lines_of(text)
    faults = list(_format_faults(table))
    group: Group | None = None
    try:
        group = Group.model_validate(table, by_alias=True, by_name=False)
    except ValidationError as error:
        faults += record_faults(error, table, keys_below(Group))
    except RecursionError:
        faults.append(Fault("", "holds lists or tables nested too deeply"))
    if group is None or faults:
        raise ScenarioError(at_lines(_at_most(faults), lines))
    try:
        return loaded(group, folder)
    except ScenarioError as error:
        raise ScenarioError(at_lines(_at_most(list(error.faults)), lines)) from None


def is_group(data: bytes) -> bool:
    """Return whether the bytes of a file are those of a group, be it a sound one or not."""
    if b"posts" not in data:
        return False
    try:
        table, _ = table_of(data)
    except ScenarioError:
        return False
    return "posts" in table and "stations" not in table


def title_of(data: bytes) -> str:
    """Return the title in the bytes of a file that ``is_group``; empty where it has none."""
    title = table_of(data)[0].get("title")
    return title if isinstance(title, str) else ""


def loaded(group: Group, folder: Path) -> LoadedGroup:
    """Return a group with the scenarios that its posts name, read from below a folder.

    Raises
    ------
    ScenarioError
        When a scenario cannot be read, has no such station, or stands on another clock.
    """
    scenarios: dict[str, Scenario] = {}
    faults: list[Fault] = []
    refused: set[str] = set()
    for index, post in enumerate(group.posts):
        if post.scenario in scenarios or post.scenario in refused:
            continue
        try:
            scenarios[post.scenario] = read_scenario(folder / post.scenario)
        except ScenarioError as error:
            refused.add(post.scenario)
            name = shown(post.scenario).removeprefix("text ").strip('"')
            for fault in error.faults:
                said = str(fault)
                # A file that cannot be read is named by its last name already.
                said = (
                    said if said.startswith(f"{Path(post.scenario).name}: ") else f"{name}: {said}"
                )
                faults.append(Fault(f"posts.{index}.scenario", said))
    if faults:
        raise ScenarioError((*faults, *_misfits(_joined(group, scenarios))))
    return joined(group, scenarios)


def joined(group: Group, scenarios: Mapping[str, Scenario]) -> LoadedGroup:
    """Return a group with the scenarios that its posts name, all of them read already.

    Raises
    ------
    ScenarioError
        When a file has no such station, or a post stands on another clock.
    """
    whole = _joined(group, scenarios)
    if faults := tuple(_misfits(whole)):
        raise ScenarioError(faults)
    return whole


def _joined(group: Group, scenarios: Mapping[str, Scenario]) -> LoadedGroup:
    named = dict.fromkeys(post.scenario for post in group.posts)
    return LoadedGroup(group, tuple((name, scenarios[name]) for name in named if name in scenarios))


def _misfits(whole: LoadedGroup) -> Iterator[Fault]:
    """Tell of stations that a file has not, and of posts whose wall clock is another."""
    first: tuple[str, Any] | None = None
    for index, post in enumerate(whole.group.posts):
        scenario = dict(whole.scenarios).get(post.scenario)
        if scenario is None:
            continue
        held = len(scenario.stations)
        if post.station > held:
            words = f"must be at most {held}, the stations of that file, got {post.station}"
            yield Fault(f"posts.{index}.station", words)
            continue
        clock = timeline(standing(whole.group, post, scenario), whole.group.day)
        segments = (clock.start.utcoffset(), clock.wall_segments())
        if first is None:
            first = (post.kit, segments)
        elif segments != first[1]:
            yield Fault(
                f"posts.{index}.place",
                f"its wall clock is not that of post {first[0]}; a group runs on one clock",
            )


def _format_faults(table: Mapping[str, Any]) -> Iterator[Fault]:
    if "format" not in table:
        yield Fault("format", f"is missing: write format = {GROUP_FORMAT}")
        return
    given = table["format"]
    if isinstance(given, int) and not isinstance(given, bool) and given > GROUP_FORMAT:
        words = f"is {shown(given)}, from a newer Counterpoise; this one reads {GROUP_FORMAT}"
        raise ScenarioError((Fault("format", words),))


def _at_most(faults: list[Fault]) -> tuple[Fault, ...]:
    if len(faults) <= FAULTS_LIMIT:
        return tuple(faults)
    return (*faults[:FAULTS_LIMIT], Fault("", f"and {len(faults) - FAULTS_LIMIT} more"))


def dump_group(group: Group) -> str:
    """Return the text of a group's file; what has its default is left out."""
    table = group.model_dump(exclude_defaults=True, exclude_none=True, by_alias=True)
    return laid_out({"format": GROUP_FORMAT, **table})


def write_group(group: Group, path: str | os.PathLike[str]) -> None:
    """Save a group so that at every moment the old or the new file stands there whole.

    Raises
    ------
    SaveError
        When it cannot be saved; says why in one line, and the old file is untouched.
    """
    write_text(dump_group(group), path)
