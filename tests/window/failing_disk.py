"""A disk that fails one call, the n-th, or every one: for what the disk's thread asks of it.

And one that takes none from any other thread.
"""

from __future__ import annotations

import builtins
import errno
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
# What is looked for on other threads besides.
OTHER_CALLS = (
    "lstat", "readlink", "access", "rename", "remove", "listdir", "link", "symlink", "truncate",
    "utime",
)  # fmt: skip
ROOT = Path(__file__).parents[2]
# What a person may have put on any disk; the program itself lies where Python does.
WITH_THE_PROGRAM = tuple(str(ROOT / name) for name in ("assets", "scenarios"))


class FailingDisk:
    """Counts the file calls below a folder; from ``first`` to ``last`` they fail."""

    def __init__(self, below: Path) -> None:
        self._below = str(below)
        self.count = 0
        self.first = self.last = 0
        self.errno = 0
        self.is_forbidding = False
        self.on_other_threads: list[str] = []

    def wrapped(self, name: str, call: Callable[..., Any]) -> Callable[..., Any]:
        """Return a file call that may fail."""

        def done(*given: Any, **named: Any) -> Any:
            if given and self._is_ours(given[0]):
                self._count(name, given[0])
            if given and self.is_forbidding:
                self._forbid(name, given[0])
            return call(*given, **named)

        return done

    def watched(self, name: str, call: Callable[..., Any]) -> Callable[..., Any]:
        """Return a file call that no other thread than the disk's may make."""

        def done(*given: Any, **named: Any) -> Any:
            if given and self.is_forbidding:
                self._forbid(name, given[0])
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
                self.on_other_threads.append(f"{name} {what}")
            return
        self.count += 1
        if self.first <= self.count <= self.last:
            raise OSError(self.errno, os.strerror(self.errno))

    def _forbid(self, name: str, what: Any) -> None:
        if threading.current_thread().name == THREAD_NAME or isinstance(what, int):
            return
        path = os.fspath(what) if isinstance(what, str | os.PathLike) else ""
        if isinstance(path, str) and path.startswith((self._below, *WITH_THE_PROGRAM)):
            self.on_other_threads.append(f"{name} {path}")
            raise OSError(errno.EPERM, f"{name} on {threading.current_thread().name}")

    @contextmanager
    def failing(self, errno: int, first: int = 1, last: int = 10**9) -> Iterator[None]:
        """Fail the calls from the first to the last, counted from now."""
        self.count, self.errno, self.first, self.last = 0, errno, first, last
        try:
            yield
        finally:
            self.first = self.last = 0

    @contextmanager
    def forbidding(self) -> Iterator[None]:
        """Fail every call that is made on another thread than the disk's."""
        self.is_forbidding = True
        try:
            yield
        finally:
            self.is_forbidding = False


@pytest.fixture
def failing_disk(monkeypatch: pytest.MonkeyPatch, tmp_path_factory: Any) -> FailingDisk:
    """Put itself before every file call."""
    made = FailingDisk(tmp_path_factory.getbasetemp())
    for name in CALLS:
        monkeypatch.setattr(os, name, made.wrapped(name, getattr(os, name)))
    for name in OTHER_CALLS:
        monkeypatch.setattr(os, name, made.watched(name, getattr(os, name)))
    monkeypatch.setattr(io, "open", made.wrapped("open a file", io.open))
    monkeypatch.setattr(builtins, "open", made.watched("open a file", builtins.open))
    return made
