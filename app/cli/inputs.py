"""What the commands read: a scenario, and what its old format changes."""

from __future__ import annotations

from pathlib import Path

from app.cli.cases import Case
from app.cli.outputs import tell
from model.editing.faults import ScenarioError
from model.editing.variants import variant_of
from model.files.atomic_write import shown_name
from model.files.scenario_file import Opened, open_scenario, read_opened
from model.files.typed_changes import with_typed
from model.scenario.scenario import Scenario


def read(file: str) -> Scenario:
    """Return the scenario in a file; ``-`` is standard input. Remarks go to standard error.

    Raises
    ------
    ScenarioError
        When the file cannot be read or holds no scenario; carries every fault.
    """
    opened = read_opened(file)
    for remark in _remarks(file, opened):
        tell(remark)
    return opened.scenario


def tell_faults(error: ScenarioError) -> int:
    """Say every fault in a line of its own; return the exit code."""
    for fault in error.faults:
        tell(str(fault))
    return 2


def question(case: Case, variant: str | None = None) -> tuple[Scenario, tuple[str, ...]]:
    """Return the scenario that a case asks about, and a remark on all that its format changes.

    Raises
    ------
    ScenarioError
        When the file holds no scenario, or a change is refused; carries every fault.
    """
    opened = read_opened(case.file) if case.data is None else open_scenario(case.data)
    scenario = opened.scenario if variant is None else variant_of(opened.scenario, variant)
    swept = [f"{path}={value}" for path, value in case.swept]
    scenario, remarks = with_typed(scenario, case.typed, swept)
    return scenario, (*_remarks(case.file, opened), *remarks)


def _remarks(file: str, opened: Opened) -> tuple[str, ...]:
    if not opened.remarks:
        return ()
    name = "standard input" if file == "-" else shown_name(Path(file))
    return (f"{name}: of format {opened.format}. {' '.join(opened.remarks)}",)
