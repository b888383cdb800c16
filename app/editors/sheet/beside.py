"""What is said beside the fields of the sheet: texts refused, units understood, findings."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from app.editors.sheet.cells import Said
from app.state.display import Display
from model.editing.paths import value_at
from model.findings.rules import Finding
from model.scenario.scenario import Scenario
from model.scenario.station import Station

Spot = tuple[str, int]


@dataclass(frozen=True)
class Refused:
    """A text that could not be used, why, and what the document held then."""

    text: str
    sentence: str
    value: Any


class Beside:
    """Keeps all of it, by the key of the field and the station."""

    def __init__(self, display: Display) -> None:
        self._display = display
        self.refused: dict[Spot, Refused] = {}
        self.understood: dict[Spot, str] = {}
        self.findings: tuple[Finding, ...] = ()

    def said(self, scenario: Scenario) -> dict[Spot, tuple[Said, ...]]:
        """Return everything that is said, the gravest first."""
        said: dict[Spot, list[Said]] = {}
        for spot, refused in self.refused.items():
            said.setdefault(spot, []).append(Said("error", refused.sentence))
        for spot, sentence in self.understood.items():
            said.setdefault(spot, []).append(Said("hint", sentence))
        for finding in self.findings:
            segments = finding.path.split(".")
            if segments[0] != "stations" or len(segments) < 2:
                continue
            index = int(segments[1])
            if index < len(scenario.stations):
                spot = (_field_key(scenario.stations[index], segments[2:]), index)
                if spot not in self.refused:
                    words = self._display.finding(finding)
                    said.setdefault(spot, []).append(Said(finding.level, words))
        return {spot: tuple(each) for spot, each in said.items()}

    def forget(
        self, scenario: Scenario, after: tuple[Station, ...], before: tuple[Station, ...]
    ) -> None:
        """Let go of texts whose station or part is gone, or whose value was changed otherwise."""
        self.refused = {
            (key, index): each
            for (key, index), each in self.refused.items()
            if _stays(index, after, before) and _holds(scenario, key, index, each.value)
        }
        self.understood = {
            spot: each for spot, each in self.understood.items() if _stays(spot[1], after, before)
        }


def _stays(index: int, after: tuple[Station, ...], before: tuple[Station, ...]) -> bool:
    """Whether the station in a column is the one that was there."""
    # A station that changed in place is another value; one that moved is the same elsewhere.
    return len(after) == len(before) and not any(
        after[index] is each for place, each in enumerate(before) if place != index
    )


def _holds(scenario: Scenario, key: str, index: int, value: Any) -> bool:
    try:
        return bool(value_at(scenario, f"stations.{index}.{key}") == value)
    except KeyError:
        return False


def _field_key(station: Station, segments: list[str]) -> str:
    """Return the key of the field or part that a finding is at; the name where it is the whole."""
    if not segments or segments[0] == "readings":
        return "name"
    is_list = isinstance(getattr(station, segments[0], None), tuple)
    return ".".join(segments[: 3 if is_list else 2])
