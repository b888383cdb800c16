"""``counterpoise size``: the smallest battery and the smallest panel of each station."""

from __future__ import annotations

import json
from textwrap import wrap
from typing import Any

from app.cli.inputs import read
from app.cli.outputs import write_text
from app.cli.run import LINE_WIDTH
from app.sizing.size_words import (
    MEETS_MEANS,
    against_words,
    battery_words,
    panel_words,
    proof_words,
    sentence,
)
from model.results.wording import name_at
from model.scenario.cautions import PREDICTION
from model.scenario.scenario import Scenario
from model.sizing.smallest import Size, StationSizes
from model.sizing.smallest import size as search


def size(file: str, json_out: str | None) -> None:
    """Find the smallest sizes; print them unless standard output is taken."""
    scenario = read(file)
    found = search(scenario)
    if json_out is not None:
        data = {"stations": [_members(scenario, index, one) for index, one in enumerate(found)]}
        write_text(json.dumps(data, indent=2, ensure_ascii=False, allow_nan=False) + "\n", json_out)
    if json_out != "-":
        write_text(sizes_text(scenario, found), "-")


def sizes_text(scenario: Scenario, found: tuple[StationSizes, ...]) -> str:
    """Return title, sizes with their proofs, what holding means and the caution."""
    lines = [scenario.title or "Untitled", *wrap(MEETS_MEANS, LINE_WIDTH)]
    for index, sizes in enumerate(found):
        lines += ["", name_at(scenario, index)]
        lines += _part_lines(
            battery_words(scenario, index, sizes.battery),
            against_words(scenario, found, index, panels=False),
            sizes.battery,
        )
        lines += _part_lines(
            panel_words(scenario, index, sizes.panel),
            against_words(scenario, found, index, panels=True),
            sizes.panel,
        )
    lines += ["", *wrap(PREDICTION, LINE_WIDTH)]
    return "\n".join(line.rstrip() for line in lines) + "\n"


def _part_lines(words: str, against: str, size: Size) -> list[str]:
    lines = wrap(words, LINE_WIDTH, initial_indent="  ", subsequent_indent="  ")
    for more in (against, proof_words(size)):
        lines += wrap(more, LINE_WIDTH, initial_indent="    ", subsequent_indent="    ")
    return lines


def _members(scenario: Scenario, index: int, sizes: StationSizes) -> dict[str, Any]:
    """Return what is written of a station; null where no size holds, with the reason."""
    battery, panel = sizes.battery, sizes.panel
    return {
        "name": name_at(scenario, index),
        **sizes.members(),
        "smallest_battery_wh": battery.energy_wh,
        "smallest_battery_kg": battery.part_kg,
        "station_kg_with_smallest_battery": battery.station_kg,
        "battery_proof": _proof(battery),
        "why_no_battery": sentence(battery.reason) if battery.reason else None,
        "smallest_panel_kg": panel.part_kg,
        "station_kg_with_smallest_panel": panel.station_kg,
        "panel_proof": _proof(panel),
        "why_no_panel": sentence(panel.reason) if panel.reason else None,
    }


def _proof(size: Size) -> dict[str, str] | None:
    """Return what fails one step smaller, and when."""
    failure = size.smaller_fails
    if failure is None or size.reason:
        return None
    return {"at": failure.at.isoformat(), "why": failure.why, "words": failure.words}
