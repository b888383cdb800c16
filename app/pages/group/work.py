"""What is worked out of a group beside the window: one answer after another, each shown at once."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from PySide6.QtCore import QObject, QTimer, Signal

from app.work.jobs import Jobs
from model.group.group_run import GroupResult, search_group
from model.group.kits import LoadedGroup
from model.support.progress import Search

QUIET_MS = 250


@dataclass(frozen=True)
class Task:
    """One answer: how it is worked out from the group and from the rows of its posts.

    What ``is_asked`` is worked out only where somebody asks for it. ``of`` returns what an answer
    depends on: where that is as it was, so is the answer.
    """

    key: str
    search: Callable[[LoadedGroup, GroupResult], Search[Any]]
    words: str
    is_asked: bool = False
    of: Callable[[GroupResult], object] | None = None


class GroupWork(QObject):
    """Works out the rows of the posts, then the other answers in their order.

    ``found`` carries the key of an answer and the answer; ``rows`` is that of the posts. A change
    of the group begins anew; an answer that is stopped stays out until it is asked for again.
    """

    began = Signal(str, str)
    progressed = Signal(float)
    found = Signal(str, object)
    stopped = Signal(str, str)
    ended = Signal()

    def __init__(self, tasks: tuple[Task, ...], parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._tasks = tasks
        self._whole: LoadedGroup | None = None
        self._rows: GroupResult | None = None
        self._left: list[str] = []
        self._now = ""
        self._known: dict[str, tuple[object, Any]] = {}
        self._of: object = None
        self._is_over = False
        self._jobs = Jobs(self)
        self._jobs.progressed.connect(self._on_progressed)
        self._jobs.finished.connect(self._on_finished)
        self._jobs.failed.connect(self._on_failed)
        self._quiet = QTimer(self, singleShot=True, interval=QUIET_MS)
        self._quiet.timeout.connect(self._go_on)

    @property
    def is_settled(self) -> bool:
        """Whether nothing is due and nobody is at work."""
        return not self._left and not self._now

    @property
    def at_work(self) -> str:
        """The key of the answer that is at work; empty where none is."""
        return self._now

    def show_group(self, whole: LoadedGroup) -> None:
        """Work everything out for another group, once the hand rests."""
        self._jobs.cancel()
        self._whole, self._now = whole, ""
        self._left = ["rows", *(task.key for task in self._tasks if not task.is_asked)]
        self._quiet.start()

    def ask(self, key: str) -> None:
        """Work one answer out anew, after what is at work."""
        if self._rows is None or key in self._left:
            return
        if key == self._now:
            # What is asked has changed meanwhile.
            self._jobs.cancel()
            self._now = ""
        self._left.append(key)
        if not self._now:
            self._go_on()

    def stop(self) -> None:
        """Stop the answer that is at work; the next one begins."""
        key, self._now = self._now, ""
        self._jobs.cancel()
        if key:
            self.stopped.emit(key, "Stopped.")
            self._go_on()

    def close(self) -> None:
        """Stop and wait: to be called before the window goes."""
        self._is_over = True
        self._quiet.stop()
        self._left.clear()
        self._jobs.close()

    def _go_on(self) -> None:
        whole = self._whole
        if self._is_over or whole is None:
            return
        if not self._left:
            self.ended.emit()
            return
        key = self._now = self._left.pop(0)
        if key == "rows":
            self.began.emit(key, "Running the posts")
            self._jobs.start(search_group(whole))
            return
        task = next(each for each in self._tasks if each.key == key)
        assert self._rows is not None
        self._of = task.of(self._rows) if task.of is not None else None
        if self._of is not None and key in self._known and self._known[key][0] == self._of:
            self._now = ""
            self.found.emit(key, self._known[key][1])
            self._go_on()
            return
        self.began.emit(key, task.words)
        self._jobs.start(task.search(whole, self._rows))

    def _on_progressed(self, _number: int, share: float) -> None:
        self.progressed.emit(share)

    def _on_finished(self, _number: int, value: object) -> None:
        key, self._now = self._now, ""
        if key == "rows":
            assert isinstance(value, GroupResult)
            self._rows = value
        elif self._of is not None:
            self._known[key] = (self._of, value)
        self.found.emit(key, value)
        self._go_on()

    def _on_failed(self, _number: int, fault: str) -> None:
        key, self._now = self._now, ""
        if key == "rows":
            # Without the rows there is nothing to go on from.
            self._left.clear()
        self.stopped.emit(key, f"It could not be worked out: {fault}")
        self._go_on()
