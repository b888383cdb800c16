"""A heart that beats with the event loop, and remembers when it could not."""

from __future__ import annotations

import gc
from collections.abc import Iterator
from contextlib import contextmanager
from time import perf_counter, thread_time

from PySide6.QtCore import QTimer

BEAT_MS = 2


class Heart:
    """Beats as often as the event loop lets it, and keeps the pauses, of each deed apart.

    A pause counts what the window's thread worked and what it waited for: the second part is also
    other programs' doing.
    """

    def __init__(self) -> None:
        self.pauses_ms: list[float] = []
        self.worked_ms: list[float] = []
        self.deeds: list[str] = []
        self.deed = ""
        self._last, self._last_worked = perf_counter(), thread_time()
        self._timer = QTimer(interval=BEAT_MS)
        self._timer.timeout.connect(self._on_beat)

    def start(self) -> None:
        self._last, self._last_worked = perf_counter(), thread_time()
        self._timer.start()

    def stop(self) -> None:
        self._timer.stop()

    def longest(self, count: int) -> list[tuple[float, float, str]]:
        """Return the longest pauses: how long, how much of it was work, and what was done."""
        found = zip(self.pauses_ms, self.worked_ms, self.deeds, strict=True)
        return sorted(found, reverse=True)[:count]

    def hardest(self) -> dict[str, float]:
        """Return the most work between two beats for each deed, the hardest first. [ms]"""
        found: dict[str, float] = {}
        for deed, worked in zip(self.deeds, self.worked_ms, strict=True):
            found[deed] = max(found.get(deed, 0.0), worked)
        return dict(sorted(found.items(), key=lambda item: -item[1]))

    def share(self, of_100: int) -> float:
        """Return what so many of 100 pauses stay below. [ms]"""
        ordered = sorted(self.pauses_ms)
        return ordered[min(len(ordered) * of_100 // 100, len(ordered) - 1)]

    def _on_beat(self) -> None:
        now, worked = perf_counter(), thread_time()
        self.pauses_ms.append((now - self._last) * 1000 - BEAT_MS)
        self.worked_ms.append((worked - self._last_worked) * 1000)
        self.deeds.append(self.deed)
        self._last, self._last_worked = now, worked


@contextmanager
def frozen() -> Iterator[None]:
    """Keep what the libraries hold out of full collections, as the program does when it starts."""
    gc.freeze()
    try:
        yield
    finally:
        gc.unfreeze()
