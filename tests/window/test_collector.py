"""Cycles of widgets are freed in the window's thread, whatever other threads allocate."""

from __future__ import annotations

import gc
import threading
from collections.abc import Iterator

import pytest
from PySide6.QtCore import QTimer
from PySide6.QtWidgets import QWidget
from pytestqt.qtbot import QtBot

from app.work.collector import Collector
from app.work.disk import disk


class Knot(QWidget):
    """A widget that only the collector can free, with a timer that only its own thread may stop."""

    def __init__(self, freed_in: list[str]) -> None:
        super().__init__()
        self.myself = self
        self.timer = QTimer(self, interval=1000)
        self.timer.start()
        self.destroyed.connect(lambda: freed_in.append(threading.current_thread().name))


@pytest.fixture
def ran_in() -> Iterator[list[str]]:
    """Name the threads in which Python's collector begins to work."""
    names: list[str] = []

    def note(phase: str, _info: dict[str, int]) -> None:
        if phase == "start":
            names.append(threading.current_thread().name)

    gc.callbacks.append(note)
    yield names
    gc.callbacks.remove(note)


def allocate() -> list[list[int]]:
    return [[number] for number in range(200_000)]


def test_only_the_windows_thread_frees_cycles(qtbot: QtBot, ran_in: list[str]) -> None:
    gc.enable()
    collector = Collector()
    collector.install()
    freed_in: list[str] = []
    try:
        Knot(freed_in)
        del ran_in[:]
        held = disk.get(allocate)
        qtbot.waitUntil(lambda: bool(ran_in), timeout=5000)
        gc.collect()
        assert {*ran_in, *freed_in} == {threading.main_thread().name}
        assert freed_in
        assert held
    finally:
        collector.remove()
        was_given_back = gc.isenabled()
        gc.disable()
    assert was_given_back


def test_what_is_left_is_freed_before_python_collects_of_its_own(qtbot: QtBot) -> None:
    collector = Collector()
    collector.install()
    freed_in: list[str] = []
    Knot(freed_in)
    assert not freed_in
    collector.remove()
    was_freed = bool(freed_in)
    gc.disable()
    assert was_freed


def test_left_to_itself_the_collector_runs_where_the_disk_works(ran_in: list[str]) -> None:
    gc.collect()
    gc.enable()
    try:
        disk.get(allocate)
    finally:
        gc.disable()
    assert "disk" in ran_in
