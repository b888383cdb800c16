"""``counterpoise size``: the smallest battery and panels of each station, and what to take."""

from __future__ import annotations

from textwrap import wrap
from typing import Any

from app.cli.answers import Answer
from app.cli.cases import Case
from app.cli.document import headed
from app.cli.inputs import question
from app.cli.run import LINE_WIDTH
from app.pages.size.size_words import ASKED, MEETS_MEANS, Asked, all_words, sentence, size_of
from app.pages.size.sold import parts_sold
from model.editing.faults import ScenarioError
from model.results.wording import name_at
from model.scenario.cautions import PREDICTION
from model.scenario.scenario import Scenario
from model.sizing.criterion import Shortfall
from model.sizing.smallest import Size, StationSizes
from model.sizing.smallest import size as search


def size(case: Case) -> Answer:
    """Find the smallest sizes of a case."""
    try:
        scenario, remarks = question(case)
    except ScenarioError as error:
        return Answer(case, faults=tuple(str(fault) for fault in error.faults))
    found = search(scenario, parts_sold())
    data = {"stations": [_members(scenario, found, index) for index in range(len(found))]}
    return Answer(
        case,
        text=sizes_text(scenario, found),
        data=headed("size", case, scenario, {"title": scenario.title, **data}),
        remarks=remarks,
    )


def sizes_text(scenario: Scenario, found: tuple[StationSizes, ...]) -> str:
    """Return title, sizes with their proofs, what holding means and the caution."""
    lines = [scenario.title or "Untitled", *wrap(MEETS_MEANS, LINE_WIDTH)]
    for index in range(len(found)):
        lines += ["", name_at(scenario, index)]
        for asked in ASKED:
            lines += _part_lines(all_words(scenario, found, index, asked))
    lines += ["", *wrap(PREDICTION, LINE_WIDTH)]
    return "\n".join(line.rstrip() for line in lines) + "\n"


def _part_lines(words: tuple[str, ...]) -> list[str]:
    lines: list[str] = []
    for place, sentences in enumerate(words):
        indent = "    " if place else "  "
        lines += wrap(sentences, LINE_WIDTH, initial_indent=indent, subsequent_indent=indent)
    return lines


# How the answer to each question is called in the file, and the unit of its size.
_KEYS: dict[Asked, tuple[str, str]] = {
    "battery": ("battery", "ah"),
    "trip_panel": ("panel_for_the_trip", "w"),
    "panel": ("panel", "w"),
}


def _members(scenario: Scenario, found: tuple[StationSizes, ...], index: int) -> dict[str, Any]:
    """Return what is written of a station; null where no size holds, with the reason."""
    sizes = found[index]
    members: dict[str, Any] = {"name": name_at(scenario, index), **sizes.members()}
    members["smallest_battery_wh"] = sizes.battery.energy_wh
    for asked, (key, unit) in _KEYS.items():
        size, words = size_of(sizes, asked), all_words(scenario, found, index, asked)
        members |= {
            f"smallest_{key}_kg": size.part_kg,
            f"station_kg_with_smallest_{key}": size.station_kg,
            f"{key}_proof": _proof(size),
            f"why_no_{key}": sentence(size.reason) if size.reason else None,
            **_to_take(size, key, unit),
            f"{key}_words": list(words),
        }
    return members


def _to_take(size: Size, key: str, unit: str) -> dict[str, Any]:
    """Return the size that can be bought, its masses, and what other skies do to it."""
    choice = size.choice
    skies = None
    if choice is not None:
        skies = {word: _failure(fails) for word, fails in choice.skies}
    return {
        f"{key}_to_take_{unit}": choice.size_ah_or_w if choice else None,
        f"{key}_to_take_kg": choice.part_kg if choice else None,
        f"station_kg_with_{key}_to_take": choice.station_kg if choice else None,
        f"{key}_to_take_under": skies,
    }


def _proof(size: Size) -> dict[str, str] | None:
    """Return what fails one step smaller, and when."""
    return None if size.reason else _failure(size.smaller_fails)


def _failure(failure: Shortfall | None) -> dict[str, str] | None:
    if failure is None:
        return None
    return {"at": failure.at.isoformat(), "why": failure.why, "words": failure.words}
