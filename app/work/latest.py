"""Work that follows a hand: the latest wish is worked out, and what came between is left out."""

from __future__ import annotations

from typing import Any

from PySide6.QtCore import QObject, Signal

from app.work.jobs import Jobs
from model.support.progress import Search


class LatestWork(QObject):
    """One worker; while it is busy only the last wish waits, so that results keep coming."""

    done = Signal(object)
    failed = Signal(str)

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._jobs = Jobs(self)
        self._next: Search[Any] | None = None
        self._jobs.finished.connect(self._on_finished)
        self._jobs.failed.connect(self._on_failed)

    @property
    def is_settled(self) -> bool:
        """Whether nobody is at work."""
        return not self._jobs.is_running

    def ask(self, work: Search[Any]) -> None:
        """Work this out as soon as the worker is free."""
        if self._jobs.is_running:
            self._next = work
        else:
            self._jobs.start(work)

    def forget(self) -> None:
        """Drop what is at work and what waits."""
        self._next = None
        self._jobs.cancel()

    def close(self) -> None:
        """Forget all, and wait for the worker: to be called before the window goes."""
        self._next = None
        self._jobs.close()

    def _go_on(self) -> None:
        work, self._next = self._next, None
        if work is not None:
            self._jobs.start(work)

    def _on_finished(self, _number: int, value: object) -> None:
        self.done.emit(value)
        self._go_on()

    def _on_failed(self, _number: int, fault: str) -> None:
        self.failed.emit(fault)
        self._go_on()
