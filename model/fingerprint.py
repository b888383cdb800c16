"""A short mark of the input, so that a printed page can be told from one of other numbers."""

from __future__ import annotations

import hashlib

from model.files import dump_scenario
from model.scenario import Scenario

DIGITS = 8


def fingerprint(scenario: Scenario) -> str:
    """Return eight digits that change whenever anything in the scenario's file text does."""
    return hashlib.sha256(dump_scenario(scenario).encode()).hexdigest()[:DIGITS]
