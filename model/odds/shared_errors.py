"""Which numbers are off together: those of one field that come from one source.

Two radios whose receive current is the same guess are both higher or both lower than guessed, and
two that one meter measured share the meter's error. Numbers of different fields, or from different
sources, err apart from each other.
"""

from __future__ import annotations

from typing import NamedTuple

from model.scenario.declare import Source


class SharedError(NamedTuple):
    """What numbers must have in common to share one error."""

    field: str
    source: Source
    spread: float


def shared_error(path: str, source: Source, spread: float) -> SharedError:
    """Return whose error a number has, by its path from the station on."""
    return SharedError(field_of(path), source, spread)


def field_of(path: str) -> str:
    """Return the field of a number: its path without counts, ``extras.power_w``."""
    names = [name for name in path.split(".") if not name.isdigit()]
    return ".".join("extras" if name == "shared" else name for name in names)
