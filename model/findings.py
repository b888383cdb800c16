"""Findings: what is wrong, doubtful or worth knowing about a design, each at its field."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from model.scenario import Scenario

Level = Literal["error", "warning", "hint"]


@dataclass(frozen=True)
class Finding:
    """One remark at one field.

    Attributes
    ----------
    level : an error withholds the station's run; a warning and a hint do not.
    path : dotted path of the field, 0-based.
    sentence : what is the matter, in words and numbers.
    remedy : what to do about it.
    """

    level: Level
    path: str
    sentence: str
    remedy: str = ""


def find(scenario: Scenario) -> tuple[Finding, ...]:
    """Return every finding of a scenario, errors first, in the order of the stations."""
    return ()
