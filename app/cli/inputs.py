"""What the commands read: a scenario, and on standard error what its old format changes."""

from __future__ import annotations

import sys
from pathlib import Path

from model.files.atomic_write import shown_name
from model.files.scenario_file import read_opened
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
