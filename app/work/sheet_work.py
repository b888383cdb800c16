"""What the worker is given: searches that report how far they have come and can be ended."""

from __future__ import annotations

from time import perf_counter
from typing import TypeVar, cast

from app.work.jobs import Progress
from model.support.search import Search

Result = TypeVar("Result")
# An eye cannot follow more, and each report wants the window's attention.
BETWEEN_REPORTS_S = 0.04


def driven(search: Search[Result], progress: Progress) -> Result:
    """Run a search to its end; what ``progress`` raises ends it."""
    progress(0.0)
    told_s = perf_counter()
    while True:
        try:
            share = next(search)
        except StopIteration as end:
            return cast(Result, end.value)
        now_s = perf_counter()
        if now_s - told_s >= BETWEEN_REPORTS_S:
            progress(share)
            told_s = now_s
