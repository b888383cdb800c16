"""A request that many others may follow: it is due once, when they have come to rest."""

from __future__ import annotations

from time import perf_counter

from PySide6.QtCore import QObject, QTimer, Signal

# How long what follows the curves waits for them to be painted, and through a row of changes.
AFTER_PAINT_MS = 40, 200


class Deferred(QObject):
    """Says ``due`` once after several requests: after a quiet time, at the latest after a cap."""

    due = Signal()

    def __init__(self, wait_ms: int, longest_wait_ms: int, parent: QObject) -> None:
        super().__init__(parent)
        self._wait_ms, self._longest_wait_ms = wait_ms, longest_wait_ms
        self._since = 0.0
        self._timer = QTimer(self, singleShot=True)
        self._timer.timeout.connect(self.due)

    @property
    def is_waiting(self) -> bool:
        """Whether something is due."""
        return self._timer.isActive()

    def ask(self) -> None:
        """Ask for it once more."""
        now = perf_counter()
        if not self._timer.isActive():
            self._since = now
        left_ms = round(self._longest_wait_ms - (now - self._since) * 1000)
        self._timer.start(max(0, min(self._wait_ms, left_ms)))

    def hurry(self) -> None:
        """Let what waits be due in the next turn of the window."""
        if self._timer.isActive():
            self._timer.start(0)

    def forget(self) -> None:
        """Drop the request."""
        self._timer.stop()
