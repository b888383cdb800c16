"""How long the day takes to draw: four stations, three days, every minute.

Read the medians; nothing here fails on time. Run with ``sh tests/run tests/bench``.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from pytestqt.qtbot import QtBot

from app.pages.day_view import DayView
from model.engine.comparison import simulate
from tests.window.day_scenes import four_stations, scene

Benchmark = Callable[..., Any]


def shown_day(qtbot: QtBot) -> DayView:
    view = DayView()
    qtbot.addWidget(view)
    view.resize(1000, 700)
    view.show()
    view.show_comparison(simulate(scene(*four_stations(), day={"days": 3})))
    return view


def test_repaint_of_the_chart(benchmark: Benchmark, qtbot: QtBot) -> None:
    view = shown_day(qtbot)
    benchmark(view.chart.grab)


def test_another_comparison(benchmark: Benchmark, qtbot: QtBot) -> None:
    view = shown_day(qtbot)
    shown = view.chart.comparison
    assert shown is not None
    benchmark(view.show_comparison, shown, ghost=True)


def test_a_step_of_the_cursor(benchmark: Benchmark, qtbot: QtBot) -> None:
    view = shown_day(qtbot)
    minutes = iter(range(10**9))
    benchmark(lambda: view.move_cursor(next(minutes) % 4320))
