"""How long the window takes from an edit to the next picture: four stations, three days.

Read the medians; nothing here fails on time. Run with ``sh tests/run tests/bench``.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from PySide6.QtCore import QCoreApplication
from pytestqt.qtbot import QtBot

from app.main_window import MainWindow
from app.settings import Settings
from app.starting import starter_library
from model.compare import simulate
from model.paths import with_value
from tests.window.day_scenes import four_stations, scene

Benchmark = Callable[..., Any]


@pytest.fixture
def window(qtbot: QtBot) -> MainWindow:
    scenario = scene(*four_stations(), day={"days": 3})
    made = MainWindow(scenario, starter_library(), Settings())
    # Nobody is asked about these changes when the window closes.
    made.document.undo_stack.setUndoLimit(1)
    qtbot.addWidget(made, before_close_func=_forget_changes)
    made.resize(1280, 800)
    made.show()
    QCoreApplication.processEvents()
    return made


def _forget_changes(window: MainWindow) -> None:
    window.document.undo_stack.setClean()


def test_from_an_edit_to_the_next_picture(benchmark: Benchmark, window: MainWindow) -> None:
    values = iter(range(10**9))

    def edit() -> None:
        capacity_ah = 20.0 + next(values) % 1000 / 100
        window.document.edit("stations.0.battery.capacity_ah", capacity_ah)
        window.session.run_now()
        QCoreApplication.processEvents()

    benchmark(edit)


def test_the_part_of_it_that_is_the_model(benchmark: Benchmark, window: MainWindow) -> None:
    values = iter(range(10**9))
    scenario = window.document.scenario

    def run() -> None:
        capacity_ah = 40.0 + next(values) % 1000 / 100
        simulate(with_value(scenario, "stations.0.battery.capacity_ah", capacity_ah))

    benchmark(run)


def test_the_words_of_a_verdict(benchmark: Benchmark, window: MainWindow) -> None:
    benchmark(window.session.judge_now)


def test_opening_the_window(benchmark: Benchmark, qtbot: QtBot) -> None:
    scenario = scene(*four_stations(), day={"days": 3})
    library, settings = starter_library(), Settings()

    def open_it() -> None:
        window = MainWindow(scenario, library, settings)
        qtbot.addWidget(window)
        window.show()
        QCoreApplication.processEvents()
        window.close()

    benchmark.pedantic(open_it, rounds=3)  # type: ignore[attr-defined]
