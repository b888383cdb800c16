"""Two minutes at the window, with four stations and three days, and how long it held anyone up.

Keys and mouse as a person would use them, at a pace nobody keeps up, and now and then a rest in
which words, offers and odds arrive; a first look through each lens is among it. The pauses of the
event loop stand in the extra information, the longest with what was done, and how many of them were
more than fifty milliseconds of work of the window's thread: other programs add to a pause, hardly
to the work. The floor beside them is the step rule over one station. Measured, never asserted.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import partial
from itertools import cycle
from pathlib import Path
from statistics import median
from time import perf_counter, thread_time
from typing import Any

import pytest
from PySide6.QtCore import QCoreApplication, QPoint, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QLineEdit
from pytestqt.qtbot import QtBot

from app.main_window import MainWindow
from app.pages.lenses import KINDS
from app.state.settings import Settings
from app.state.starting import starter_library
from model.engine.step import advance
from model.files.scenario_file import write_scenario
from tests.bench.heart import Heart, frozen
from tests.planned import station_inputs
from tests.window.day_scenes import four_stations, scene

SECONDS = 120
WAIT_MS = 60
# In so long a rest results, words, advice and offers arrive, and a lens answers.
REST_MS = 2500
Benchmark = Callable[..., Any]
Deed = tuple[str, Callable[[], object]]


@pytest.fixture
def window(qtbot: QtBot) -> Iterator[MainWindow]:
    made = MainWindow(scene(*four_stations(), day={"days": 3}), starter_library(), Settings())
    qtbot.addWidget(made, before_close_func=lambda each: each.document.undo_stack.setClean())
    made.resize(1280, 800)
    made.show()
    QCoreApplication.processEvents()
    # As the program does once it stands.
    made.lenses.load_ahead()
    qtbot.waitUntil(lambda: not made.lenses.is_loading, timeout=60_000)
    with frozen():
        yield made


def field(window: MainWindow, path: str) -> QLineEdit:
    if path.startswith("stations"):
        editor = window.sheet.begin()
        assert editor is not None, path
        return editor
    found = window.place.editor(path)
    assert found is not None, path
    lines = found.findChildren(QLineEdit)
    assert lines, f"{path}: nothing to type in, in {found}"
    return lines[0]


def typing(window: MainWindow, path: str, numbers: list[str]) -> Iterator[Deed]:
    """Open a field, then type one number after another over what stands there, key by key."""
    yield f"open {path}", lambda: window.ways.jump_to(path)
    for number in numbers:
        yield (
            "select",
            lambda: QTest.keyClick(
                field(window, path), Qt.Key.Key_A, Qt.KeyboardModifier.ControlModifier
            ),
        )
        for key in number:
            yield f"type {path}", lambda key=key: QTest.keyClicks(field(window, path), key)
        yield f"leave {path}", lambda: QTest.keyClick(field(window, path), Qt.Key.Key_Return)


def stepping(window: MainWindow, path: str) -> Iterator[Deed]:
    """Hold the arrow keys down in a field: an edit at each beat."""
    yield f"open {path}", lambda: window.ways.jump_to(path)
    for key in (Qt.Key.Key_Up,) * 12 + (Qt.Key.Key_Down,) * 12:
        yield f"step {path}", lambda key=key: QTest.keyClick(field(window, path), key)


def dragging(window: MainWindow) -> Iterator[Deed]:
    """Drag the end of the first block of the plan to and fro."""
    canvas, left = window.plan.canvas, Qt.MouseButton.LeftButton

    def at(minute: float) -> QPoint:
        # The run begins at six, and so does the strip.
        return QPoint(round(canvas.x_of(minute - 6 * 60)), canvas.height() // 4)

    yield "press on the plan", lambda: QTest.mousePress(canvas, left, pos=at(6 * 60 + 29))
    for minute in [*range(390, 450, 5), *range(450, 390, -5)]:
        yield "drag on the plan", lambda minute=minute: QTest.mouseMove(canvas, at(minute))
    yield "let go", lambda: QTest.mouseRelease(canvas, left, pos=at(390))


def pointing(window: MainWindow) -> Iterator[Deed]:
    """Move over the day, zoom in and out by keys, and go back to the whole run."""
    chart = window.day.chart
    for share in range(10, 90, 4):
        place = QPoint(chart.width() * share // 100, chart.height() // 2)
        yield "point at the day", lambda place=place: QTest.mouseMove(chart.viewport(), place)
    for key in (Qt.Key.Key_Plus,) * 3 + (Qt.Key.Key_Right,) * 5 + (Qt.Key.Key_Minus, Qt.Key.Key_0):
        yield "keys on the day", lambda key=key: QTest.keyClick(chart, key)


def commands(window: MainWindow, *keys: str) -> Iterator[Deed]:
    for key in keys:
        yield key, window.commands[key].trigger


def folding(window: MainWindow) -> Iterator[Deed]:
    """Open and close each part of the first station."""
    sheet = window.sheet.sheet
    for key in [row.key for row in sheet.rows if row.is_open is not None]:
        for is_open in (True, False):
            yield f"fold {key}", partial(sheet.set_open, key, is_open)


def resting(window: MainWindow, while_doing: str) -> Iterator[Deed]:
    yield f"rest after {while_doing}", lambda: QTest.qWait(REST_MS)


def looking(window: MainWindow) -> Iterator[Deed]:
    """Look through each lens and let it answer, then go back to the day."""
    for kind in (*KINDS[1:], KINDS[0]):
        yield f"lens {kind.key}", partial(window.lenses.look_at, kind.key)
        yield from resting(window, f"lens {kind.key}")


def opening(window: MainWindow) -> Iterator[Deed]:
    """Open and close what opens over the window."""
    for what, deed in (
        ("sheet of place and day", window.place_sheet.open_sheet),
        ("sheet of place and day", window.place_sheet.close_sheet),
        ("all figures", window.verdict.open_all_figures),
        ("all figures", window.verdict.open_all_figures),
        ("words", window.verdict.open_words),
        ("words", window.verdict.open_words),
        ("marks", window.day.show_key),
        ("marks", window.day.key.close_popover),
        ("block", lambda: (window.plan.choose(0), window.plan.edit())),
        ("block", window.plan.popover.close_popover),
        ("hold", window.head.held.click),
        ("hold", window.head.held.click),
    ):
        yield f"open or close: {what}", deed


def filing(window: MainWindow, folder: Path) -> Iterator[Deed]:
    """Save, and open another file and this one again."""
    mine, other = folder / "mine.toml", folder / "other.toml"
    write_scenario(scene(day={"days": 2}), other)
    yield "save", partial(window.document.save, mine)
    for what, path in (("another file", other), ("this file again", mine)):
        yield f"open {what}", partial(window.files.open_path, path)
        yield from resting(window, f"opening {what}")


def a_round(window: MainWindow, count: int, folder: Path) -> Iterator[Deed]:
    yield from resting(window, "the last round")
    yield from typing(window, "stations.0.battery.capacity_ah", [f"{20 + count}.5", "31", "24"])
    yield from stepping(window, "stations.1.radio.receive_a")
    yield from pointing(window)
    yield from dragging(window)
    yield from folding(window)
    yield from typing(window, "stations.1.panel.rated_w", ["60", "100"])
    yield from typing(window, "day.wind_m_s", ["4", "1"])
    yield from typing(window, "site.latitude_deg", [f"{47 + count}.2"])
    yield from typing(window, "day.date", [f"2027-{count % 9 + 1:02}-2{count % 9}"])
    yield from typing(window, "day.days", ["2", "3"])
    yield from commands(window, *("edit.undo",) * 4, *("edit.redo",) * 4)
    yield from commands(window, "station.remove", "edit.undo", "view.us", "view.us", "go.table")
    yield from opening(window)
    yield from looking(window)
    yield from filing(window, folder)


def test_two_minutes_of_use(
    benchmark: Benchmark, qtbot: QtBot, window: MainWindow, tmp_path: Path
) -> None:
    heart = Heart()
    done = 0

    def use() -> None:
        nonlocal done
        heart.start()
        ends_at = perf_counter() + SECONDS
        for count in cycle(range(10)):
            for heart.deed, deed in a_round(window, count, tmp_path):
                deed()
                qtbot.wait(WAIT_MS)
                done += 1
                if perf_counter() > ends_at:
                    heart.stop()
                    return

    benchmark.pedantic(use, rounds=1)
    assert done > SECONDS
    benchmark.extra_info["deeds"] = done
    benchmark.extra_info["pause_of_99_in_100_ms"] = round(heart.share(99), 1)
    benchmark.extra_info["longest"] = [
        f"{pause:.0f} ms, {worked:.0f} of them work: {deed}"
        for pause, worked, deed in heart.longest(12)
    ]
    benchmark.extra_info["pauses_of_50_ms"] = sum(each > 50.0 for each in heart.pauses_ms)
    benchmark.extra_info["stalls_of_50_ms_of_work"] = sum(each > 50.0 for each in heart.worked_ms)
    benchmark.extra_info["floor_step_rule_ms"] = round(step_rule_ms(window), 1)
    benchmark.extra_info["most_work_ms"] = {
        deed: round(worked) for deed, worked in heart.hardest().items()
    }


def step_rule_ms(window: MainWindow) -> float:
    """Return what the step rule takes over one station, its inputs ready: the floor. [ms]"""
    asked = window.document.scenario
    ready = station_inputs(asked.site, asked.day, asked.plan, asked.stations[0])
    took = []
    for _ in range(15):
        begun = thread_time()
        advance(ready.course, ready.bounds, ready.start, 1 / 60)
        took.append((thread_time() - begun) * 1000)
    return median(took)


def test_another_size_of_text(benchmark: Benchmark, window: MainWindow) -> None:
    """All of the window is laid out anew: not what anybody does while thinking."""
    sizes = cycle((110, 100))

    def change() -> None:
        window.display.set_text_percent(next(sizes))
        QCoreApplication.processEvents()

    benchmark.pedantic(change, rounds=6)


def test_fifty_windows_opened_and_closed(benchmark: Benchmark, qtbot: QtBot) -> None:
    """The memory after each ten stands in the extra information. [MB]"""
    scenario = scene(*four_stations(), day={"days": 3})
    library, settings = starter_library(), Settings()
    held_mb = []

    def open_and_close() -> None:
        made = MainWindow(scenario, library, settings)
        made.show()
        QCoreApplication.processEvents()
        made.close()
        made.deleteLater()
        QTest.qWait(1)

    def fifty() -> None:
        for number in range(1, 51):
            open_and_close()
            if number % 10 == 0:
                held_mb.append(resident_mb())

    benchmark.pedantic(fifty, rounds=1)
    benchmark.extra_info["memory_mb"] = [round(each, 1) for each in held_mb]


def resident_mb() -> float:
    """Return the memory of this process now, where the system tells it."""
    said = Path("/proc/self/status")
    if not said.exists():
        return float("nan")
    line = next(line for line in said.read_text().splitlines() if line.startswith("VmRSS"))
    return int(line.split()[1]) / 1024
