"""What one window has not saved yet, as entries of its journal.

A snapshot of the scenario as its file holds it, and each undo step since as what it changes, by
path. Beside it readings that were typed and are in no station yet, and changes of the library that
are not in its folder yet.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from datetime import datetime
from pathlib import Path
from typing import Any

from pydantic import ValidationError

from model.editing.faults import ScenarioError
from model.files.scenario_file import parse_scenario
from model.files.table_changes import changes_between, with_changes
from model.files.toml_text import laid_out
from model.scenario.scenario import FORMAT, Scenario

# What was typed, by the key of its line.
Typed = Mapping[str, str]
# A part before and after a change, as a table with its kind; None where there was or is none.
PartChange = tuple[str, Mapping[str, Any] | None, Mapping[str, Any] | None]


@dataclass(frozen=True)
class UndoStep:
    """One undo step: what it is called, and the scenario after it."""

    text: str
    scenario: Scenario


@dataclass(frozen=True)
class Work:
    """Unsaved work.

    Attributes
    ----------
    base : the scenario as the file held it, or as it was begun with.
    at : how many of the steps are done; the others can be done again.
    file, digest : the whole path of the file it belongs to, if any, and what tells its content.
    """

    base: Scenario
    steps: tuple[UndoStep, ...]
    at: int
    file: Path | None = None
    digest: str = ""

    @property
    def scenario(self) -> Scenario:
        """The scenario as it was last seen."""
        return self.steps[self.at - 1].scenario if self.at else self.base


@dataclass
class Left:
    """What a journal holds of a window."""

    work: Work | None = None
    kept: datetime | None = None
    typed: dict[str, Typed] = field(default_factory=dict)
    parts: list[PartChange] = field(default_factory=list)

    @property
    def is_empty(self) -> bool:
        """Whether nothing is left."""
        return self.work is None and not self.typed and not self.parts


class WorkWriter:
    """Turns what a window holds into the entries that tell it from what was written before."""

    def __init__(self) -> None:
        self._work: Work | None = None
        self._last: tuple[Scenario, dict[str, Any]] | None = None

    def entries(self, work: Work | None, kept: datetime) -> list[dict[str, Any]]:
        """Return the entries for work as it is now; none where nothing has changed."""
        before, self._work = self._work, work
        if work is None:
            self._last = None
            return [{"kind": "saved"}] if before is not None else []
        when = kept.isoformat()
        found: list[dict[str, Any]] = []
        same = 0
        if before is None or not _is_of_one_base(before, work):
            found.append(
                {"kind": "work", "kept": when, "file": str(work.file) if work.file else None,
                 "digest": work.digest, "table": self._table(work.base)}
            )  # fmt: skip
        else:
            same = _same(before.steps, work.steps)
            if same == len(work.steps) == len(before.steps) and work.at == before.at:
                return []
        add, scenario = [], work.steps[same - 1].scenario if same else work.base
        for step in work.steps[same:]:
            held = self._table(scenario)
            add.append([step.text, changes_between(held, self._table(step.scenario))])
            scenario = step.scenario
        found.append({"kind": "steps", "kept": when, "same": same, "add": add, "at": work.at})
        return found

    def forget(self) -> None:
        """Begin anew: the journal no longer holds what was written."""
        self._work = self._last = None

    def _table(self, scenario: Scenario) -> dict[str, Any]:
        if self._last is None or self._last[0] is not scenario:
            table = scenario.model_dump(exclude_defaults=True, by_alias=True)
            self._last = (scenario, {"format": FORMAT, **table})
        return self._last[1]


def _is_of_one_base(one: Work, other: Work) -> bool:
    return (one.base is other.base) and (one.file, one.digest) == (other.file, other.digest)


def _same(one: Iterable[UndoStep], other: Iterable[UndoStep]) -> int:
    count = 0
    for before, now in zip(one, other, strict=False):
        if before.scenario is not now.scenario or before.text != now.text:
            break
        count += 1
    return count


def typed_entry(key: str, typed: Typed) -> dict[str, Any]:
    """Return the entry of readings typed for a station; empty ones are gone."""
    return {"kind": "typed", "key": key, "typed": dict(typed)}


def parts_entry(changes: Iterable[PartChange]) -> dict[str, Any]:
    """Return the entry of the changes of the library that are in no folder yet."""
    return {"kind": "parts", "changes": [list(change) for change in changes]}


def read_left(entries: Iterable[Any]) -> tuple[Left, bool]:
    """Return what the entries of a journal say, and whether any of it could not be read.

    What comes after an entry that cannot be read may rest on it and is left out.
    """
    tables = _Tables()
    left = Left()
    is_whole = True
    for entry in entries:
        try:
            _take(entry, left, tables)
        except (LookupError, TypeError, ValueError, AttributeError, RecursionError):
            is_whole = False
            break
    try:
        left.work = tables.work()
    except (ScenarioError, LookupError, TypeError, ValueError, RecursionError):
        is_whole = False
    return left, is_whole


def read_old_work(data: bytes) -> Left:
    """Return unsaved work as earlier programs kept it: two lines of remarks, then a scenario.

    It tells nothing of what its file held, so it opens without it.

    Raises
    ------
    ScenarioError, ValueError, LookupError, TypeError
        When it holds no such work.
    """
    _, about, body = data.split(b"\n", 2)
    facts = json.loads(about.removeprefix(b"# "))
    kept = _moment(facts["kept"])
    file = Path(str(facts["file"])) if facts["file"] else None
    return Left(Work(parse_scenario(body), (), 0, file), kept)


class _Tables:
    """The scenario of a journal while it is read: nothing but tables, checked at the end."""

    def __init__(self) -> None:
        self.begin(None, "", None)

    def begin(self, file: str | None, digest: str, base: Any) -> None:
        self.file, self.digest, self.base = file, digest, base
        self.steps: list[tuple[str, Any]] = []
        self.at = 0

    def work(self) -> Work | None:
        if self.base is None:
            return None
        base = _scenario(self.base)
        steps = tuple(self._steps())
        at = min(max(self.at, 0), len(steps))
        file = Path(self.file) if self.file else None
        return Work(base, steps, at, file, self.digest)

    def _steps(self) -> Iterator[UndoStep]:
        for text, table in self.steps:
            yield UndoStep(text, _scenario(table))


def _scenario(table: dict[str, Any]) -> Scenario:
    """Return the scenario of a table; one of an earlier format takes the way of its file."""
    if table["format"] != FORMAT:
        return parse_scenario(laid_out(table).encode())
    given = {key: value for key, value in table.items() if key != "format"}
    try:
        return Scenario.model_validate({"format": FORMAT, **given}, by_alias=True, by_name=False)
    except ValidationError:
        # Every fault in the words of a file.
        return parse_scenario(laid_out(table).encode())


def _moment(text: str) -> datetime | None:
    """Return when something was kept; None for what no clock of this place can show."""
    try:
        return datetime.fromisoformat(text).astimezone()
    except (ValueError, OverflowError, TypeError):
        return None


def _take(entry: dict[str, Any], left: Left, tables: _Tables) -> None:
    kind = entry["kind"]
    if "kept" in entry:
        left.kept = _moment(entry["kept"])
    if kind == "work":
        file = entry["file"]
        tables.begin(None if file is None else str(file), str(entry["digest"]), entry["table"])
    elif kind == "steps":
        del tables.steps[entry["same"] :]
        for text, changes in entry["add"]:
            held = tables.steps[-1][1] if tables.steps else tables.base
            tables.steps.append((str(text), with_changes(held, changes)))
        tables.at = int(entry["at"])
    elif kind == "saved":
        tables.begin(None, "", None)
    elif kind == "typed":
        typed = {str(key): str(text) for key, text in entry["typed"].items()}
        left.typed.pop(entry["key"], None)
        if typed:
            left.typed[str(entry["key"])] = typed
    elif kind == "parts":
        left.parts = [(str(kind_), was, now) for kind_, was, now in entry["changes"]]
    else:
        raise ValueError(f"{kind} is no kind of entry")
