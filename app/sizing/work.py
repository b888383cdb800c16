"""What the worker is given: searches that report how far they have come and can be ended."""

from __future__ import annotations

from typing import TypeVar, cast

from app.jobs import Progress
from model.search import Search

Result = TypeVar("Result")


def driven(search: Search[Result], progress: Progress, part: int = 0, parts: int = 1) -> Result:
    """Run a search to its end, one of several; what ``progress`` raises ends it."""
    progress(part / parts)
    while True:
        try:
            share = next(search)
        except StopIteration as end:
            return cast(Result, end.value)
        progress((part + share) / parts)
