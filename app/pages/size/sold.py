"""The parts whose sizes can be bought: those that ship with the program, wherever it is asked."""

from __future__ import annotations

from functools import cache

from app.resources import resource
from model.editing.faults import ScenarioError
from model.library.store import load
from model.scenario.station import Part


@cache
def parts_sold() -> tuple[Part, ...]:
    """Return the parts that ship with the program; none where they are damaged."""
    try:
        return load(resource("assets/parts")).parts
    except (FileNotFoundError, ScenarioError):
        return ()
