"""From an edit to its painted curve, and how many pictures a drag gives: a command that prints.

``python -m tests.bench.edit_to_paint --stations 4 --days 3 --edits 60`` edits a number, waits until
the paint event that shows the new curve has ended, and then until all else has followed. The first
line is the time on the clock, with the wait that lets several edits make one run; the second is
what the window's thread worked for it, which other programs on the computer disturb less. What
follows the painted curve (results, findings, plan, words) is the third. The floor is the step rule
alone over the station that was edited, its inputs ready, in the same process. A drag moves the end
of the first block of the plan, or the sky of a day, as often as the window takes it; and once more
by the pointer on the strip, where card and cursor follow as well. Read the numbers; nothing here
fails on time.
"""

from __future__ import annotations

import argparse
import gc
import os
from collections.abc import Callable, Iterator
from functools import partial
from itertools import cycle
from statistics import quantiles
from time import perf_counter, thread_time

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

from PySide6.QtCore import QCoreApplication, QElapsedTimer, QEvent, QEventLoop, QPointF, Qt
from PySide6.QtGui import QMouseEvent
from PySide6.QtWidgets import QApplication

from app.main_window import MainWindow
from app.state.settings import Settings
from app.state.starting import starter_library
from model.engine.step import advance
from tests.planned import station_inputs
from tests.window.day_scenes import four_stations, scene

QUIET_MS = 450
# A mouse tells of sixty moves a second; counted in work, so that other programs do not add moves.
MOVE_MS = 1000 / 60
tell = partial(print, flush=True)
EDITS: tuple[tuple[str, Callable[[int], float]], ...] = (
    ("stations.0.battery.capacity_ah", lambda step: 20.07 + step / 10),
    ("stations.1.radio.receive_a", lambda step: 0.3017 + step / 1000),
    ("stations.1.panel.rated_w", lambda step: 60.3 + step % 60),
)


def told(what: str, took_ms: list[float]) -> str:
    """Return least, median and 95th percentile. [ms]"""
    shares = quantiles(took_ms, n=20)
    return f"{what:34} least {min(took_ms):6.1f}   median {shares[9]:6.1f}   95 % {shares[-1]:6.1f}"


class Watch:
    """Knows when the curves were painted last, and what the thread had worked by then."""

    def __init__(self, window: MainWindow) -> None:
        self.window = window
        self.at, self.worked, self.pictures = 0.0, 0.0, 0
        self.runs = 0
        window.day.chart.painted.connect(self._on_painted)
        window.session.comparison_changed.connect(self._on_run)

    def _on_painted(self) -> None:
        self.at, self.worked = perf_counter(), thread_time()
        self.pictures += 1

    def _on_run(self) -> None:
        self.runs += 1

    def until_painted(self, edit: Callable[[], object]) -> tuple[float, float]:
        """Make an edit; return the time and the work until its curve was painted. [ms]"""
        runs, begun, worked = self.runs, perf_counter(), thread_time()
        edit()
        while self.runs == runs:
            QCoreApplication.processEvents(QEventLoop.ProcessEventsFlag.WaitForMoreEvents)
        pictures = self.pictures
        while self.pictures == pictures:
            QCoreApplication.processEvents()
        return (self.at - begun) * 1000, (self.worked - worked) * 1000

    def rest(self, wait_ms: int) -> float:
        """Let all else follow; return what the thread worked for it. [ms]"""
        clock, worked = QElapsedTimer(), thread_time()
        clock.start()
        while clock.elapsed() < wait_ms:
            QCoreApplication.processEvents(QEventLoop.ProcessEventsFlag.AllEvents, 5)
        return (thread_time() - worked) * 1000


def edits(watch: Watch, count: int) -> None:
    """Print what edits of a battery, a radio and a panel take, each after a rest."""
    document, taken = watch.window.document, cycle(EDITS)
    clock_ms, worked_ms, after_ms = [], [], []
    for step in range(count + len(EDITS)):
        path, value = next(taken)
        clock, worked = watch.until_painted(partial(document.edit, path, value(step)))
        after = watch.rest(QUIET_MS)
        if step >= len(EDITS):
            clock_ms.append(clock)
            worked_ms.append(worked)
            after_ms.append(after)
    tell(told("edit to painted curve, ms", clock_ms))
    tell(told("  of it work of the thread, ms", worked_ms))
    tell(told("work for all that follows, ms", after_ms))


def floor(window: MainWindow, rounds: int = 30) -> None:
    """Print what the step rule alone takes over the first station."""
    asked = window.document.scenario
    ready = station_inputs(asked.site, asked.day, asked.plan, asked.stations[0])
    took = []
    for _ in range(rounds):
        begun = thread_time()
        advance(ready.course, ready.bounds, ready.start, 1 / 60)
        took.append((thread_time() - begun) * 1000)
    tell(told("floor: the step rule alone, ms", took))


def plan_moves(window: MainWindow) -> Iterator[Callable[[], object]]:
    """Yield steps of a drag of the end of the first block to and fro."""
    document = window.document
    for minute in cycle([*range(20, 50), *range(50, 20, -1)]):
        plan = document.scenario.plan
        moved = (
            plan[0].model_copy(update={"end": f"06:{minute}"}),
            plan[1].model_copy(update={"start": f"06:{minute}"}),
            *plan[2:],
        )
        yield lambda moved=moved: document.edit("plan", moved)


def sky_moves(window: MainWindow) -> Iterator[Callable[[], object]]:
    """Yield steps of a drag of the light of the first day to and fro."""
    for share in cycle([*range(30, 90), *range(90, 30, -1)]):
        yield lambda share=share: window.document.edit("day.sky.0", share / 100)


def pointer_moves(window: MainWindow) -> Iterator[Callable[[], object]]:
    """Yield moves of the pointer that holds the end of the first block, to and fro."""
    canvas, kind, left = window.plan.canvas, QEvent.Type, Qt.MouseButton.LeftButton
    edge = QPointF(canvas.pieces(0)[0].right(), canvas.height() / 4)

    def send(what: QEvent.Type, button: Qt.MouseButton, along_px: int) -> None:
        at = edge + QPointF(along_px, 0)
        held = Qt.KeyboardModifier.NoModifier
        event = QMouseEvent(what, at, canvas.mapToGlobal(at), button, left, held)
        QCoreApplication.sendEvent(canvas, event)

    send(kind.MouseButtonPress, left, 0)
    for px in cycle([*range(60), *range(60, 0, -1)]):
        yield lambda px=px: send(kind.MouseMove, Qt.MouseButton.NoButton, px)


def drag(watch: Watch, what: str, moves: Iterator[Callable[[], object]], seconds: float) -> None:
    """Print how many new curves a second of work a drag gives, and the last value's wait."""
    worked, runs, ends_at = thread_time(), watch.runs, thread_time() + seconds
    moved_at, count = 0.0, 0
    while thread_time() < ends_at:
        if (thread_time() - moved_at) * 1000 >= MOVE_MS:
            moved_at, count = thread_time(), count + 1
            next(moves)()
        QCoreApplication.processEvents(QEventLoop.ProcessEventsFlag.AllEvents, 2)
    shown = watch.runs - runs
    asked = watch.window.document.scenario
    while watch.window.session.comparison is None or (
        watch.window.session.comparison.scenario is not asked
    ):
        QCoreApplication.processEvents()
    tell(
        f"drag of {what}: {shown / (ends_at - worked):5.1f} new curves a second of work,"
        f" of {count / (ends_at - worked):5.1f} moves; the last value is shown"
    )


def main() -> None:
    """Measure, and print."""
    asked = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    asked.add_argument("--stations", type=int, default=4, choices=(2, 3, 4))
    asked.add_argument("--days", type=int, default=3)
    asked.add_argument("--edits", type=int, default=60)
    asked.add_argument("--drag-seconds", type=float, default=5.0)
    given = asked.parse_args()
    QApplication([])
    scenario = scene(*four_stations()[: given.stations], day={"days": given.days, "sky": 0.7})
    window = MainWindow(scenario, starter_library(), Settings())
    window.resize(1280, 800)
    window.show()
    watch = Watch(window)
    watch.rest(2 * QUIET_MS)
    gc.collect()
    gc.freeze()
    tell(f"{given.stations} stations, {given.days} days, window of 1280 x 800")
    edits(watch, given.edits)
    floor(window)
    for what, moves in (
        ("plan", plan_moves(window)), ("sky", sky_moves(window)),
        ("plan by the pointer", pointer_moves(window)),
    ):  # fmt: skip
        drag(watch, what, moves, given.drag_seconds)
        watch.rest(QUIET_MS)
    window.document.undo_stack.setClean()
    window.close()


if __name__ == "__main__":
    main()
