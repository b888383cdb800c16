"""How long work tells how far it has come, and is ended."""

from __future__ import annotations

from collections.abc import Callable

# Called now and then with the share done, 0..1; what it raises ends the work.
Between = Callable[[float], None]


def on_and_on(_share: float) -> None:
    """Go on without telling anybody."""


def part_of(between: Between, part: int, parts: int) -> Between:
    """Return what takes the share done of one of equal parts, and tells that of the whole."""
    return lambda share: between((part + share) / parts)
