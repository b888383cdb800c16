"""What a test leaves at work is seen before it crashes a later one."""

from __future__ import annotations

import threading

from PySide6.QtCore import QRunnable, QThread, QThreadPool
from PySide6.QtWidgets import QApplication

from tests.conftest import _busy_qt_threads


class Waiting(QThread):
    def __init__(self, until: threading.Event) -> None:
        super().__init__()
        self.until = until

    def run(self) -> None:
        self.until.wait(30)


class Work(QRunnable):
    def __init__(self, until: threading.Event) -> None:
        super().__init__()
        self.until = until

    def run(self) -> None:
        self.until.wait(30)


def test_a_thread_and_a_pool_at_work_are_told_and_idle_ones_are_not(qapp: QApplication) -> None:
    until = threading.Event()
    thread, pool = Waiting(until), QThreadPool()
    assert _busy_qt_threads() == []
    thread.start()
    pool.start(Work(until))
    try:
        assert sorted(_busy_qt_threads()) == ["thread Waiting", "thread pool with 1 at work"]
    finally:
        until.set()
        thread.wait()
        pool.waitForDone()
    assert _busy_qt_threads() == []
