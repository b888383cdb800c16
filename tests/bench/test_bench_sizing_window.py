"""How long the window is held up while sizes are worked out beside it. Measured, never asserted.

The longest pause between two beats of the event loop stands in each benchmark's extra information.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from PySide6.QtCore import QObject
from pytestqt.qtbot import QtBot

from app.pages.odds.work import OddsWork
from app.pages.size.view import SizingView
from app.state.display import Display
from app.state.settings import Settings
from model.engine.comparison import simulate
from model.files.scenario_file import read_scenario
from tests.bench.heart import Heart, frozen

RIDGE = Path(__file__).resolve().parents[2] / "scenarios" / "ridge-weekend.toml"
LONGEST_MS = 180_000


@pytest.fixture(autouse=True)
def as_the_program_starts() -> Iterator[None]:
    with frozen():
        yield


@pytest.fixture
def view(qtbot: QtBot) -> Iterator[SizingView]:
    shown = SizingView(Display(Settings()))
    qtbot.addWidget(shown)
    shown.resize(1280, 800)
    shown.show()
    yield shown
    shown.stop()


def measured(
    benchmark: Callable[..., object],
    qtbot: QtBot,
    work: Callable[[], None],
    is_done: Callable[[], bool],
) -> None:
    heart = Heart()

    def worked() -> None:
        heart.start()
        work()
        qtbot.waitUntil(is_done, timeout=LONGEST_MS)
        heart.stop()

    benchmark.pedantic(worked, rounds=1)  # type: ignore[attr-defined]
    longest = max(heart.pauses_ms)
    benchmark.extra_info["longest_pause_ms"] = round(longest, 1)  # type: ignore[attr-defined]
    usual = heart.share(99)
    benchmark.extra_info["pause_of_99_in_100_ms"] = round(usual, 1)  # type: ignore[attr-defined]


@pytest.mark.parametrize("sheet", [0, 1, 2, 3, 4, 6])
def test_a_sheet_is_worked_out(benchmark, qtbot, view, sheet):
    comparison = simulate(read_scenario(RIDGE))
    view.sheets.setCurrentIndex(sheet)
    benchmark.extra_info["sheet"] = view.sheets.tabText(sheet)
    measured(benchmark, qtbot, lambda: view.show_comparison(comparison), lambda: view.is_settled)


def test_a_first_answer_of_the_odds_is_there(benchmark, qtbot):
    holder = QObject()
    work, rows = OddsWork(holder), []
    work.rows_found.connect(rows.append)
    scenario = read_scenario(RIDGE)

    def begin():
        rows.clear()
        work.stop()
        work.show_scenario(scenario)

    measured(benchmark, qtbot, begin, lambda: bool(rows))
    work.stop()
