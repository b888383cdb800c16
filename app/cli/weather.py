"""``counterpoise weather``: weather files into the climate of a scenario."""

from __future__ import annotations

from pathlib import Path
from textwrap import wrap

from app.cli.inputs import read, tell_faults
from app.cli.outputs import OutputError, RefusedOutputError, write_text
from app.cli.run import LINE_WIDTH
from model.editing.faults import ScenarioError
from model.files.atomic_write import SaveError, write_data
from model.files.scenario_file import read_bytes, write_scenario
from model.files.weather_import import import_weather
from model.files.weather_words import import_lines, month_rows, month_table

BACKUP_SUFFIX = ".backup"


def weather(files: list[str], into: str, *, replace_years: bool) -> int:
    """Read weather files, write the scenario with them, say what was read; return the exit code."""
    if into == "-":
        raise RefusedOutputError("--into: names a file, not standard input")
    try:
        scenario = read(into)
        found = import_weather(scenario.site, scenario.climate, files, replace_years=replace_years)
        old = read_bytes(into)
    except ScenarioError as error:
        return tell_faults(error)
    backup = f"{into}{BACKUP_SUFFIX}"
    try:
        write_data(old, backup)
        write_scenario(scenario.model_copy(update={"climate": found.climate}), into)
    except SaveError as error:
        raise OutputError(str(error)) from None
    lines = [part for line in import_lines(found) for part in wrap(line, LINE_WIDTH)]
    lines += ["", *month_table(month_rows(found)), ""]
    lines.append(f"Written to {Path(into).name}; as it was: {Path(backup).name}")
    write_text("\n".join(lines) + "\n", "-")
    return 0
