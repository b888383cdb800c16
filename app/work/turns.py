"""Work of the window's own thread, cut into turns between which the window answers."""

from __future__ import annotations

from math import inf
from time import perf_counter
from typing import Any

from PySide6.QtCore import QObject, QTimer, Signal

from model.support.progress import Search

# A turn goes on until it took so long; a search that is quicker is done in one.
TURN_MS = 6


class Turns(QObject):
    """Carries one search at a time from turn to turn, and says what it found or how it failed."""

    found = Signal(object)
    failed = Signal(object)

    def __init__(self, parent: QObject) -> None:
        super().__init__(parent)
        self._search: Search[Any] | None = None
        self._found: list[Any] = []
        self._next = QTimer(self, singleShot=True, interval=0)
        self._next.timeout.connect(self._take_turn)

    @property
    def is_at_work(self) -> bool:
        """Whether a search is not at its end, or what it found is not told yet."""
        return self._search is not None or bool(self._found)

    def begin(self, search: Search[Any]) -> None:
        """Begin a search, in place of one at work, with its first turn now."""
        self.drop()
        self._search = search
        self._take_turn()

    def drop(self) -> None:
        """Forget the search at work, and what is not told yet."""
        self._next.stop()
        self._search = None
        self._found.clear()

    def finish(self, search: Search[Any]) -> None:
        """Run a search to its end now, in place of one at work."""
        self.drop()
        self._search = search
        self._go_on(ends_at=inf)

    def _take_turn(self) -> None:
        self._go_on(perf_counter() + TURN_MS / 1000)

    def _go_on(self, ends_at: float) -> None:
        try:
            while self._search is not None:
                next(self._search)
                if perf_counter() >= ends_at:
                    self._next.start()
                    return
        except StopIteration as end:
            self._search = None
            self._found.append(end.value)
        except Exception as error:  # noqa: BLE001
            self.drop()
            self.failed.emit(error)
        if self._found and perf_counter() >= ends_at:
            # Those who are told have work to do as well: they have the next turn.
            self._next.start()
        elif self._found:
            self.found.emit(self._found.pop())
