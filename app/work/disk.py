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

from model.editing.faults import Fault, ScenarioError
from model.files.atomic_write import SaveError, reason_of, shown_name
from model.files.atomic_write import write_data as write_data_now

T = TypeVar("T")
PATIENCE_S = 8.0
LOOK_PATIENCE_S = 1.0
# Most calls are done sooner than the window could draw anything.
_SHORT_S = 0.05
_TURN_S = 0.01
THREAD_NAME = "disk"
NO_ANSWER = "the disk does not answer"


_now = threading.local()


def is_wanted() -> bool:
    """Whether what this thread does is still waited for; what nobody waits for always is."""
    asked = getattr(_now, "asked", None)
    return asked is None or not asked.is_given_up


class Asked(Generic[T]):
    """A call that the disk's thread was asked for."""

    def __init__(self, call: Callable[[], T]) -> None:
        self._call: Callable[[], T] | None = call
        self._done = threading.Event()
        self.is_given_up = False
        self._value: T
        self._error: BaseException | None = None

    @property
    def is_done(self) -> bool:
        """Whether the disk has answered."""
        return self._done.is_set()

    def give_up(self) -> None:
        """Want it no more: it is not begun, and what it saves is not put in place."""
        self.is_given_up = True

    def run(self) -> None:
        """Do it, on the thread."""
        call, self._call = self._call, None
        assert call is not None
        _now.asked = self
        try:
            self._refuse_if_given_up()
            self._value = call()
        except BaseException as error:  # noqa: BLE001  told to whoever asks for the value
            self._error = error
        # Whoever waits is the last to hold what the call held.
        del call
        self._done.set()

    def _refuse_if_given_up(self) -> None:
        if self.is_given_up:
            raise OSError(errno.ETIMEDOUT, NO_ANSWER)

    def wait(self, seconds: float) -> bool:
        """Wait without drawing; return whether it is done."""
        return self._done.wait(seconds)

    def value(self) -> T:
        """Return what the call returned, or raise what it raised; that, once."""
        error, self._error = self._error, None
        if error is None:
            return self._value
        try:
            raise error
        finally:
            # It leads to all that was going on where it is caught.
            del error


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
    """Where the window asks for files.

    A call holds no widget and no other object of Qt that belongs to the window: the thread might
    be the last to let go of it, and would destroy it there. ``Answered`` brings the answer back.
    """

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
            Besides, where there is no answer for ``patience_s``: nothing is saved later then.
        """
        asked = self.ask(call)
        try:
            return self.wait(asked, patience_s)
        finally:
            if not asked.is_done:
                asked.give_up()

    def wait(self, asked: Asked[T], patience_s: float = PATIENCE_S) -> T:
        """Wait for what was asked, as ``get`` does; what is not answered may still be done."""
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


def reading(read: Callable[[Path], T], path: Path) -> T:
    """Return what reading a file returns; raises ScenarioError, also where no disk answers."""
    try:
        return disk.get(lambda: read(path))
    except OSError as error:
        raise ScenarioError((Fault("", f"{shown_name(path)}: {reason_of(error)}"),)) from None


def saving(save: Callable[[], object], path: str | os.PathLike[str]) -> None:
    """Save a file; raises SaveError, also where no disk answers."""
    try:
        disk.get(save)
    except OSError as error:
        raise SaveError(f"{shown_name(path)}: {reason_of(error)}") from error


def write_data(data: bytes, path: str | os.PathLike[str]) -> None:
    """Save bytes as the model does; raises SaveError, also where no disk answers."""
    saving(lambda: write_data_now(data, path, is_wanted), path)


def looked_into(place: str) -> str:
    """Return where a file dialog begins: what it is told, or home where no folder answers soon.

    A dialog looks into its folder by itself, and nothing would be drawn until that answers.
    """
    path = Path(place)
    try:
        is_sound = disk.get(lambda: path.is_dir() or path.parent.is_dir(), LOOK_PATIENCE_S)
    except (OSError, ValueError):
        is_sound = False
    return place if is_sound else str(Path.home() / path.name)


def absolute(path: str | os.PathLike[str]) -> Path:
    """Return a path that means the same wherever the program stands; asks no disk."""
    return Path(path).absolute()
