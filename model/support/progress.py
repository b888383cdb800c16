"""Long work as a generator: it tells how far it has come, and ends where nobody asks on."""

from __future__ import annotations

from collections.abc import Callable, Generator
from typing import ParamSpec, TypeVar, cast

Result = TypeVar("Result")
Given = ParamSpec("Given")
# Yields how far it has come, from 0 to 1; may be closed at any yield.
Search = Generator[float, None, Result]


def finish(search: Search[Result]) -> Result:
    """Run a search to its end and return what it found."""
    while True:
        try:
            next(search)
        except StopIteration as end:
            return cast(Result, end.value)


def within(search: Search[Result], begin: float, end: float) -> Search[Result]:
    """Run a search as the stretch of a longer one that reaches from one share to another."""
    while True:
        try:
            yield begin + (end - begin) * next(search)
        except StopIteration as found:
            return cast(Result, found.value)


def at_once(
    function: Callable[Given, Result], *given: Given.args, **named: Given.kwargs
) -> Search[Result]:
    """Return work that has no pieces, as a search of one."""
    yield 0.0
    return function(*given, **named)
