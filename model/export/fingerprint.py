"""A short mark of the input, so that a printed page can be told from one of other numbers."""

from __future__ import annotations

import hashlib

from model.files.scenario_file import dump_scenario
from model.scenario.scenario import Scenario

DIGITS = 8


def fingerprint(scenario: Scenario) -> str:
    """Return eight digits that change with anything in the file's text but the variants.

    A variant changes nothing of what is run and printed.
    """
    bare = scenario.model_copy(update={"variants": ()})
    return hashlib.sha256(dump_scenario(bare).encode()).hexdigest()[:DIGITS]
