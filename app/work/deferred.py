"""A request that many others may follow: it is due once, when they have come to rest."""

from __future__ import annotations

from math import inf
from time import perf_counter

from PySide6.QtCore import QObject, QTimer, Signal

# How long what follows the curves waits for them to be painted, and through a row of changes; in
# such a row it takes a share of the time that the curves need, so that it comes a few times a
# second and not with each of them.
AFTER_PAINT_MS, AFTER_PAINT_CAP_MS, AFTER_PAINT_APART_MS = 40, 200, 160


class Deferred(QObject):
    """Says ``due`` once after several requests: after a quiet time, at the latest after a cap.

    Twice it is due no sooner than ``apart_ms`` after another.
    """

    due = Signal()

    def __init__(
        self, wait_ms: int, longest_wait_ms: int, parent: QObject, apart_ms: int = 0
    ) -> None:
        super().__init__(parent)
        self._wait_ms, self._longest_wait_ms = wait_ms, longest_wait_ms
        self._apart_ms = apart_ms
        self._since = 0.0
        # When it was due last.
        self._was_due = -inf
        self._timer = QTimer(self, singleShot=True)
        self._timer.timeout.connect(self._on_due)

    @classmethod
    def after_paint(cls, parent: QObject) -> Deferred:
        """Return one for what follows the curves once they are painted."""
        return cls(AFTER_PAINT_MS, AFTER_PAINT_CAP_MS, parent, AFTER_PAINT_APART_MS)

    @property
    def is_waiting(self) -> bool:
        """Whether something is due."""
        return self._timer.isActive()

    def ask(self) -> None:
        """Ask for it once more."""
        now = perf_counter()
        if not self._timer.isActive():
            self._since = now
        left_ms = self._longest_wait_ms - (now - self._since) * 1000
        self._start(min(self._wait_ms, left_ms))

    def soon(self) -> None:
        """Ask for it in the next turn of the window, unless it was due a moment ago."""
        self._start(0.0)

    def hurry(self) -> None:
        """Let what waits be due in the next turn of the window, unless it was a moment ago."""
        if self._timer.isActive():
            self.soon()

    def forget(self) -> None:
        """Drop the request."""
        self._timer.stop()

    def _start(self, wait_ms: float) -> None:
        apart_ms = self._apart_ms - (perf_counter() - self._was_due) * 1000
        self._timer.start(round(max(0.0, wait_ms, apart_ms)))

    def _on_due(self) -> None:
        self._was_due = perf_counter()
        self.due.emit()
