"""What the disk has answered, brought back to the window's thread."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any
from weakref import WeakMethod

from PySide6.QtCore import QObject, QTimer

from app.work.disk import Asked

LOOK_MS = 10


class Answered(QObject):
    """Hands each answer over, in the order of the asking; the disk's thread knows nothing of it.

    What a call raised is raised here in its place, and reaches the hook of errors. Nobody is kept
    alive by an answer that is still to come.
    """

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._waiting: list[tuple[Asked[Any], WeakMethod[Callable[..., None]], Any]] = []
        self._timer = QTimer(self, interval=LOOK_MS)
        self._timer.timeout.connect(self.look)

    def then(self, asked: Asked[Any], act: Callable[..., None], *before: Any) -> None:
        """Hand an answer over to a method once it is there, after what else the method takes."""
        self._waiting.append((asked, WeakMethod(act), before))
        self._timer.start()

    def look(self) -> None:
        """Hand over what is answered by now."""
        while self._waiting and self._waiting[0][0].is_done:
            asked, held, before = self._waiting.pop(0)
            act = held()
            if act is not None:
                act(*before, asked.value())
        if not self._waiting:
            self._timer.stop()

    def forget(self) -> None:
        """Wait for nothing any more."""
        self._waiting.clear()
        self._timer.stop()
