"""A disk that fails one call, the n-th, or every one: for what the disk's thread asks of it."""

from __future__ import annotations

import io
import os
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest

from app.work.disk import THREAD_NAME

CALLS = (
    "open", "stat", "mkdir", "fsync", "replace", "unlink", "scandir", "chmod", "rmdir", "write",
    "ftruncate",
)  # fmt: skip


class FailingDisk:
    """Counts the file calls below a folder; from ``first`` to ``last`` they fail."""

    def __init__(self, below: Path) -> None:
        self._below = str(below)
        self.count = 0
        self.first = self.last = 0
        self.errno = 0
        self.on_the_window_s_thread: list[str] = []

    def wrapped(self, name: str, call: Callable[..., Any]) -> Callable[..., Any]:
        """Return a file call that may fail."""

        def done(*given: Any, **named: Any) -> Any:
            if given and self._is_ours(given[0]):
                self._count(name, given[0])
            return call(*given, **named)

        return done

    def _is_ours(self, what: Any) -> bool:
        if isinstance(what, int):
            # An open file: the disk's thread has no others.
            return threading.current_thread().name == THREAD_NAME
        return isinstance(what, str | os.PathLike) and os.fspath(what).startswith(self._below)

    def _count(self, name: str, what: Any) -> None:
        if threading.current_thread().name != THREAD_NAME:
            if self.first:
                self.on_the_window_s_thread.append(f"{name} {what}")
            return
        self.count += 1
        if self.first <= self.count <= self.last:
            raise OSError(self.errno, os.strerror(self.errno))

    @contextmanager
    def failing(self, errno: int, first: int = 1, last: int = 10**9) -> Iterator[None]:
        """Fail the calls from the first to the last, counted from now."""
        self.count, self.errno, self.first, self.last = 0, errno, first, last
        try:
            yield
        finally:
            self.first = self.last = 0


@pytest.fixture
def failing_disk(monkeypatch: pytest.MonkeyPatch, tmp_path_factory: Any) -> FailingDisk:
    """Put itself before every file call."""
    made = FailingDisk(tmp_path_factory.getbasetemp())
    for name in CALLS:
        monkeypatch.setattr(os, name, made.wrapped(name, getattr(os, name)))
    monkeypatch.setattr(io, "open", made.wrapped("open a file", io.open))
    return made
