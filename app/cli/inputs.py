"""What the commands read: a scenario, and on standard error what its old format changes."""

from __future__ import annotations

import sys
from collections.abc import Sequence
from pathlib import Path

from model.files.atomic_write import shown_name
from model.files.scenario_file import read_opened
from model.files.typed_changes import with_typed
from model.scenario.scenario import Scenario


def read(file: str) -> Scenario:
    """Return the scenario in a file; ``-`` is standard input.

    Raises
    ------
    ScenarioError
        When the file cannot be read or holds no scenario; carries every fault.
    """
    opened = read_opened(file)
    if opened.remarks:
        name = "standard input" if file == "-" else shown_name(Path(file))
        print(f"{name}: of format {opened.format}. {' '.join(opened.remarks)}", file=sys.stderr)
    return opened.scenario


def changed(scenario: Scenario, typed: Sequence[str]) -> Scenario:
    """Return the scenario with what was typed after ``--set``.

    Raises
    ------
    ScenarioError
        When a change is refused; carries every fault.
    """
    found, remarks = with_typed(scenario, typed)
    for remark in remarks:
        print(remark, file=sys.stderr)
    return found
