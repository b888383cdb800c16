"""What stands at the head of everything that a command writes as JSON."""

from __future__ import annotations

from datetime import date
from typing import Any, Literal

from app.cli.cases import Case
from model.export.fingerprint import fingerprint
from model.files.typed_changes import typed_value
from model.scenario.scenario import Scenario
from model.support.version import DOCUMENT_FORMAT, VERSION


def headed(
    kind: Literal["run", "size", "odds"], case: Case, scenario: Scenario, data: dict[str, Any]
) -> dict[str, Any]:
    """Return data behind what they are, of which file, changes and input.

    ``scenario`` is the one that was run, with all changes made: its mark is that of the input.
    """
    typed = [change.partition("=")[::2] for change in case.typed]
    changes = {path.strip(): typed_value(text.strip()) for path, text in (*typed, *case.swept)}
    return {
        "kind": kind,
        "format": DOCUMENT_FORMAT,
        "program": VERSION,
        "file": case.file,
        "changes": {path: _plain(value) for path, value in changes.items()},
        "input_mark": fingerprint(scenario),
        **data,
    }


def _plain(value: Any) -> Any:
    """Return a typed value as JSON holds it: dates and times as ISO texts."""
    if isinstance(value, dict):
        return {key: _plain(each) for key, each in value.items()}
    if isinstance(value, list):
        return [_plain(each) for each in value]
    if isinstance(value, float) and not abs(value) < float("inf"):
        return str(value)
    return value if isinstance(value, bool | int | float | str | None) else _iso(value)


def _iso(value: Any) -> str:
    return value.isoformat() if isinstance(value, date) else str(value)
