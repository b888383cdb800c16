"""Every file call of the window: one thread of its own, which no end of the program waits for.

A disk may take for ever to answer: a share whose server is gone, a stick that was pulled. The
window goes on being drawn meanwhile, and after some seconds the call counts as refused. The
thread that hangs is left behind, and what is asked next has a new one.
"""

from __future__ import annotations

import errno
import os
import queue
import threading
from collections.abc import Callable
from pathlib import Path
from time import monotonic
from typing import Any, Generic, TypeVar

from PySide6.QtCore import QCoreApplication, QEventLoop, QThread

from model.files.atomic_write import SaveError, shown_name
from model.files.atomic_write import write_data as write_data_now

T = TypeVar("T")
PATIENCE_S = 8.0
# Most calls are done sooner than the window could draw anything.
_SHORT_S = 0.05
_TURN_S = 0.01
THREAD_NAME = "disk"
NO_ANSWER = "the disk does not answer"


class Asked(Generic[T]):
    """A call that the disk's thread was asked for."""

    def __init__(self, call: Callable[[], T]) -> None:
        self._call = call
        self._done = threading.Event()
        self._value: T
        self._error: BaseException | None = None

    @property
    def is_done(self) -> bool:
        """Whether the disk has answered."""
        return self._done.is_set()

    def run(self) -> None:
        """Do it, on the thread."""
        try:
            self._value = self._call()
        except BaseException as error:  # noqa: BLE001  told to whoever asks for the value
            self._error = error
        self._done.set()

    def wait(self, seconds: float) -> bool:
        """Wait without drawing; return whether it is done."""
        return self._done.wait(seconds)

    def value(self) -> T:
        """Return what the call returned, or raise what it raised."""
        if self._error is not None:
            raise self._error
        return self._value


class _Thread:
    """A queue of calls, and the thread that does them; a daemon, so nobody waits for its end."""

    def __init__(self) -> None:
        self._calls: queue.SimpleQueue[Asked[Any]] = queue.SimpleQueue()
        self._is_over = False
        threading.Thread(target=self._work, name=THREAD_NAME, daemon=True).start()

    def ask(self, asked: Asked[Any]) -> None:
        self._calls.put(asked)

    def left(self) -> list[Asked[Any]]:
        """Take away what is not begun, and let the thread end with what it does now."""
        taken: list[Asked[Any]] = []
        while not self._calls.empty():
            taken.append(self._calls.get())
        self._calls.put(Asked(self._end))
        return taken

    def _end(self) -> None:
        self._is_over = True

    def _work(self) -> None:
        while not self._is_over:
            self._calls.get().run()


class Disk:
    """Where the window asks for files."""

    def __init__(self) -> None:
        self._thread: _Thread | None = None

    def ask(self, call: Callable[[], T]) -> Asked[T]:
        """Have something done after all that was asked before; do not wait for it.

        What the disk's own thread asks for is done at once.
        """
        asked = Asked(call)
        if threading.current_thread().name == THREAD_NAME:
            asked.run()
            return asked
        if self._thread is None:
            self._thread = _Thread()
        self._thread.ask(asked)
        return asked

    def get(self, call: Callable[[], T], patience_s: float = PATIENCE_S) -> T:
        """Return what a call returns, or raise what it raises; the window is drawn meanwhile.

        Raises
        ------
        OSError
            Besides, where there is no answer for ``patience_s``.
        """
        return self.wait(self.ask(call), patience_s)

    def wait(self, asked: Asked[T], patience_s: float = PATIENCE_S) -> T:
        """Wait for what was asked, as ``get`` does."""
        until, is_begun = monotonic() + patience_s, False
        asked.wait(min(_SHORT_S, patience_s))
        while not asked.is_done:
            if monotonic() > until:
                if is_begun or not self._begin_anew(asked):
                    raise OSError(errno.ETIMEDOUT, NO_ANSWER)
                until, is_begun = monotonic() + patience_s, True
            _draw()
            asked.wait(_TURN_S)
        return asked.value()

    def _begin_anew(self, asked: Asked[Any]) -> bool:
        """Leave a thread that hangs behind; return whether this call was still waiting for it."""
        left = self._thread.left() if self._thread is not None else []
        self._thread = _Thread()
        for each in left:
            self._thread.ask(each)
        return asked in left


def _draw() -> None:
    """Let the window be drawn, but nothing be typed or clicked."""
    application = QCoreApplication.instance()
    if application is not None and application.thread() is QThread.currentThread():
        QCoreApplication.processEvents(QEventLoop.ProcessEventsFlag.ExcludeUserInputEvents, 10)


disk = Disk()


def write_data(data: bytes, path: str | os.PathLike[str]) -> None:
    """Save bytes as the model does; raises SaveError, also where the disk does not answer."""
    try:
        disk.get(lambda: write_data_now(data, path))
    except OSError as error:
        raise SaveError(f"{shown_name(path)}: {error.strerror}") from error


def absolute(path: str | os.PathLike[str]) -> Path:
    """Return a path that means the same wherever the program stands; asks no disk."""
    return Path(path).absolute()
