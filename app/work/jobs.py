"""Long work beside the window: one worker, with progress, cancel and a number for each job."""

from __future__ import annotations

import logging
import sys
import threading
from math import inf
from time import perf_counter
from typing import Any

from PySide6.QtCore import QObject, QRunnable, QThreadPool, Signal

from model.editing.faults import ScenarioError
from model.support.progress import Search

# While somebody works, the window waits so long for the lock after each of the many calls of a
# painting that give it away: half a millisecond made most of the pauses of more than fifty.
SHORT_SWITCH_S = 0.0001
USUAL_SWITCH_S = sys.getswitchinterval()
_log = logging.getLogger("counterpoise")

# Work shares one lock with the window, and with three workers the window has a quarter of it: for
# so long after a person has asked for something they stand aside, at the end of a piece.
ASIDE_S = 0.2
# An eye cannot follow more, and each report wants the window's attention.
BETWEEN_REPORTS_S = 0.04


class CancelledError(Exception):
    """Raised inside the work when nobody waits for it any more."""


class _AtWork:
    """Counts the workers of all windows: the short interval holds until the last has ended."""

    def __init__(self) -> None:
        self._lock = threading.Lock()
        self._workers = 0
        self._aside_until_s = 0.0

    def __enter__(self) -> None:
        with self._lock:
            self._workers += 1
            sys.setswitchinterval(SHORT_SWITCH_S)

    def __exit__(self, *_: object) -> None:
        with self._lock:
            self._workers -= 1
        self.settle()

    def stand_aside(self) -> None:
        """Let the window go first for a moment."""
        self._aside_until_s = perf_counter() + ASIDE_S

    def wait(self, cancel: threading.Event) -> None:
        """Wait while the window goes first, or until nobody waits for the work any more."""
        while (left_s := self._aside_until_s - perf_counter()) > 0 and not cancel.is_set():
            cancel.wait(left_s)

    def settle(self) -> None:
        """Switch as usual again if nobody is at work."""
        with self._lock:
            if not self._workers:
                sys.setswitchinterval(USUAL_SWITCH_S)


_at_work = _AtWork()


def window_first() -> None:
    """Let all workers stand aside for a moment: somebody waits for what the window does now."""
    _at_work.stand_aside()


class Jobs(QObject):
    """Starts one job at a time; a new one cancels the last, and late results are dropped."""

    progressed = Signal(int, float)
    finished = Signal(int, object)
    failed = Signal(int, str)
    _returned = Signal(int, object, str)
    _advanced = Signal(int, float)

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        # Without a parent it lives as long as what holds it, whichever half of the window goes
        # first.
        self._pool = QThreadPool()
        self._pool.setMaxThreadCount(1)
        self._number = 0
        self._cancel = threading.Event()
        self._is_running = False
        self._returned.connect(self._on_returned)
        self._advanced.connect(self._on_advanced)

    @property
    def is_running(self) -> bool:
        """Whether the latest job is still at work."""
        return self._is_running

    def start(self, work: Search[Any]) -> int:
        """Start work on plain values, and return its number; it must yield often."""
        self.cancel()
        self._number += 1
        self._cancel = threading.Event()
        self._is_running = True
        sys.setswitchinterval(SHORT_SWITCH_S)
        self._pool.start(_Runnable(self, self._number, work, self._cancel))
        return self._number

    def cancel(self) -> None:
        """Forget the job at work; it ends at its next report of progress."""
        self._cancel.set()
        self._pool.clear()
        self._number += 1
        self._settle()

    def close(self) -> None:
        """Cancel and wait: to be called before the window goes."""
        self.cancel()
        self._pool.waitForDone()

    def _settle(self) -> None:
        self._is_running = False
        _at_work.settle()

    def _on_returned(self, number: int, value: object, fault: str) -> None:
        if number != self._number:
            return
        self._settle()
        if fault:
            self.failed.emit(number, fault)
        else:
            self.finished.emit(number, value)

    def _on_advanced(self, number: int, share: float) -> None:
        if number == self._number:
            self.progressed.emit(number, share)


class _Runnable(QRunnable):
    """Carries plain values into the worker and one value out."""

    def __init__(self, jobs: Jobs, number: int, work: Search[Any], cancel: threading.Event) -> None:
        super().__init__()
        self._returned = jobs._returned  # noqa: SLF001
        self._advanced = jobs._advanced  # noqa: SLF001
        self._number = number
        self._work = work
        self._cancel = cancel

    def run(self) -> None:
        try:
            with _at_work:
                value, fault = self._driven(), ""
        except CancelledError:
            return
        except ScenarioError as error:
            value, fault = None, str(error)
        except Exception as error:  # noqa: BLE001
            # The window says that it failed; what it was stands in the log.
            _log.exception("a job failed")
            value, fault = None, f"{type(error).__name__}: {error}"
        self._returned.emit(self._number, value, fault)

    def _driven(self) -> Any:
        """Run the search to its end, telling now and then how far it has come."""
        told_s = -inf
        while True:
            _at_work.wait(self._cancel)
            if self._cancel.is_set():
                self._work.close()
                raise CancelledError
            try:
                share = next(self._work)
            except StopIteration as end:
                return end.value
            now_s = perf_counter()
            if now_s - told_s >= BETWEEN_REPORTS_S:
                self._advanced.emit(self._number, share)
                told_s = now_s
