"""However it was used, the window stands like one freshly opened with the same scenario."""

from __future__ import annotations

import random
from collections.abc import Callable
from datetime import date

import pytest
from PySide6.QtCore import QEvent, QObject, QPoint
from PySide6.QtWidgets import QScrollArea, QWidget
from pytestqt.qtbot import QtBot

from app.main_window import MainWindow
from app.state.settings import Settings
from model.library.catalogue import Library
from model.scenario.scenario import STATIONS_LIMIT, Scenario
from tests.window.day_scenes import four_stations, scene

SETTLED_MS = 20_000
SIZES = ((1280, 800), (1920, 1080), (1024, 700))
Facts = list[tuple[str, int, int, int, int, str]]


class Used:
    """Somebody who does one thing after another, and now and then waits."""

    def __init__(self, window: MainWindow, chance: random.Random) -> None:
        self.window, self.chance = window, chance

    def do_something(self) -> None:
        deeds: list[Callable[[], object]] = [
            self.come_and_go, self.come_and_go, self.fold, self.fold, self.undo, self.redo,
            self.edit_place, self.edit_station, self.jump, self.more, self.resize,
        ]  # fmt: skip
        self.chance.choice(deeds)()

    @property
    def station(self) -> int:
        return self.chance.randrange(len(self.window.stations.columns))

    def come_and_go(self) -> None:
        stations, count = self.window.stations, len(self.window.stations.columns)
        if count > 1 and self.chance.random() < 0.6:
            stations.do_with_station("remove", self.station)
        elif count < STATIONS_LIMIT:
            stations.do_with_station("duplicate", self.station)
        else:
            stations.do_with_station("left", count - 1)

    def fold(self) -> None:
        fold = self.chance.choice(self.window.stations.columns[self.station].folds)
        fold.set_open(not fold.is_open)

    def undo(self) -> None:
        self.window.document.undo_stack.undo()

    def redo(self) -> None:
        self.window.document.undo_stack.redo()

    def edit_place(self) -> None:
        path, value = self.chance.choice(
            [
                ("site.latitude_deg", self.chance.choice([80.0, 10.0, -40.0])),
                ("site.timezone", self.chance.choice(["Asia/Kolkata", "America/Denver"])),
                ("day.date", date(2025, self.chance.randrange(1, 13), 15)),
                ("day.days", self.chance.choice([1, 2, 4])),
                ("day.low_c", (self.chance.choice([-20.0, 5.0]),)),
            ]
        )
        self.window.document.edit(path, value)

    def edit_station(self) -> None:
        name = "a long name that goes on and on for ever and a day <b>x</b> 😀"
        path, value = self.chance.choice(
            [
                ("battery.capacity_ah", self.chance.choice([0.1, 5.0, 100.0])),
                ("panel", None),
                ("name", self.chance.choice(["A", name])),
            ]
        )
        self.window.document.edit(f"stations.{self.station}.{path}", value)

    def jump(self) -> None:
        self.window.ways.jump_to(f"stations.{self.station}.battery.capacity_ah")

    def more(self) -> None:
        self.window.place_sheet.open_sheet()

    def resize(self) -> None:
        self.window.resize(*self.chance.choice(SIZES))


class Layouts(QObject):
    """Counts what is still to be laid out."""

    def __init__(self, window: MainWindow) -> None:
        super().__init__(window)
        self.asked: list[str] = []
        for widget in (window, *window.findChildren(QWidget)):
            widget.installEventFilter(self)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if event.type() == QEvent.Type.LayoutRequest:
            self.asked.append(type(watched).__name__)
        return False


def settle(window: MainWindow, qtbot: QtBot) -> None:
    """Wait for words, advice and offers, and until the earlier curve is gone."""
    qtbot.waitUntil(
        lambda: window.session.is_settled and window.offers.is_settled and not window.day.has_ghost,
        timeout=SETTLED_MS,
    )
    focused = window.focusWidget()
    if focused is not None:
        focused.clearFocus()
    for area in window.findChildren(QScrollArea):
        area.verticalScrollBar().setValue(0)
        area.horizontalScrollBar().setValue(0)
    # What changes its size asks level by level, each in a turn of its own, with a picture between.
    layouts = Layouts(window)
    for _ in range(20):
        layouts.asked.clear()
        qtbot.wait(150)
        if not layouts.asked:
            break
    layouts.deleteLater()


def facts(window: MainWindow) -> Facts:
    """Return what is seen: kind, place, size and text of each widget."""
    seen = []
    for widget in window.findChildren(QWidget):
        if widget.isVisible() and widget.window() is window:
            at = widget.mapTo(window, QPoint(0, 0))
            text = getattr(widget, "text", "")
            # Where a widget calls its own label so, that label is found itself.
            text = text() if callable(text) else ""
            seen.append(
                (type(widget).__name__, at.x(), at.y(), widget.width(), widget.height(), text)
            )
    return sorted(seen)


def close(window: MainWindow) -> None:
    window.document.undo_stack.setClean()
    window.close()


def open_like(window: MainWindow, scenario: Scenario, library: Library, qtbot: QtBot) -> MainWindow:
    """Return a fresh window with the same scenario, size and folds, in place of another."""
    opened = [column.open_slots() for column in window.stations.columns]
    more, days_open = window.horizon.isVisible(), window.place.sky_days.isVisible()
    # The divide stands where it stood when the window opened, until it is dragged.
    size, divided, minute = window.size(), window.sides._wanted_px, window.day.cursor_minute
    is_drawer_open = window.sides.is_drawer and window.sides.is_left_seen
    close(window)
    fresh = MainWindow(scenario, library, Settings())
    qtbot.addWidget(fresh, before_close_func=lambda each: each.document.undo_stack.setClean())
    fresh.resize(size)
    fresh.show()
    qtbot.wait(50)
    for column, slots in zip(fresh.stations.columns, opened, strict=True):
        column.set_open_slots(slots)
    if more:
        fresh.place_sheet.open_sheet()
    fresh.place.sky_days.setVisible(days_open)
    settle(fresh, qtbot)
    fresh.sides.want_left(divided)
    fresh.sides.open_drawer(is_drawer_open)
    settle(fresh, qtbot)
    fresh.day.move_cursor(minute)
    qtbot.wait(50)
    return fresh


@pytest.mark.parametrize("seed", range(5))
def test_a_used_window_stands_like_a_fresh_one(
    seed: int, library: Library, fusion: None, qtbot: QtBot
) -> None:
    chance = random.Random(seed)
    begun = scene(*four_stations()[: chance.choice([2, 3, 4])], day={"days": 2})
    window = MainWindow(begun, library, Settings())
    qtbot.addWidget(window, before_close_func=lambda each: each.document.undo_stack.setClean())
    window.resize(*chance.choice(SIZES))
    window.show()
    qtbot.wait(100)
    person = Used(window, chance)
    for _ in range(18):
        person.do_something()
        qtbot.wait(chance.choice([0, 5, 40, 250]))
    settle(window, qtbot)
    layouts = Layouts(window)
    qtbot.wait(150)
    assert layouts.asked == []
    used, strip = facts(window), window.plan.canvas.grab().toImage()
    fresh = open_like(window, window.document.scenario, library, qtbot)
    assert used == facts(fresh)
    assert strip == fresh.plan.canvas.grab().toImage()
