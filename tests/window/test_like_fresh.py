"""However it was used, the window stands like one freshly opened with the same scenario."""

from __future__ import annotations

import random
from collections.abc import Callable
from datetime import date

import pytest
from PySide6.QtCore import QEvent, QModelIndex, QObject, QPoint, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QAbstractScrollArea, QWidget
from pytestqt.qtbot import QtBot

from app.editors.sheet.cells import Cell
from app.main_window import MainWindow
from app.state.settings import Settings
from app.widgets.popover import Popover
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
            self.type_in_a_cell, self.type_in_a_cell, self.scrub, self.edit_place,
            self.edit_station, self.jump, self.more, self.resize,
        ]  # fmt: skip
        self.chance.choice(deeds)()

    @property
    def station(self) -> int:
        return self.chance.randrange(self.window.sheet.sheet.columnCount())

    def come_and_go(self) -> None:
        doing, count = self.window.sheet.doing, self.window.sheet.sheet.columnCount()
        if count > 1 and self.chance.random() < 0.6:
            doing.with_station("remove", self.station)
        elif count < STATIONS_LIMIT:
            doing.with_station("duplicate", self.station)
        else:
            doing.with_station("left", count - 1)

    def fold(self) -> None:
        sheet = self.window.sheet
        rows = [place for place, row in enumerate(sheet.sheet.rows) if row.is_open is not None]
        sheet.toggle(self.chance.choice(rows))

    def cell(self) -> QModelIndex:
        """Choose a cell anywhere."""
        sheet = self.window.sheet
        rows = [place for place, row in enumerate(sheet.sheet.rows) if not row.is_text]
        index = sheet.sheet.index(self.chance.choice(rows), self.station)
        sheet.setFocus()
        sheet.setCurrentIndex(index)
        return index

    def type_in_a_cell(self) -> None:
        """Type something, wrong or right, and be done with it in one of the ways."""
        sheet = self.window.sheet
        self.cell()
        for key in self.chance.choice(["12", "0,5", "3 W", "much", "-1", ""]):
            QTest.keyClicks(self.window.focusWidget(), key)
        ends = (Qt.Key.Key_Return, Qt.Key.Key_Escape, Qt.Key.Key_Tab, Qt.Key.Key_Up)
        shift = self.chance.choice(
            [Qt.KeyboardModifier.NoModifier, Qt.KeyboardModifier.ShiftModifier]
        )
        if self.window.focusWidget() is not sheet:
            QTest.keyClick(self.window.focusWidget(), self.chance.choice(ends), shift)
        self.close_menu()

    def close_menu(self) -> None:
        """Close a menu that a deed opened; the keyboard is in the window again."""
        self.window.sheet.doing.menu.close()
        # The offscreen platform leaves a closed menu the active window.
        self.window.activateWindow()

    def scrub(self) -> None:
        """Drag over a cell."""
        sheet, left = self.window.sheet, Qt.MouseButton.LeftButton
        port, at = sheet.viewport(), sheet.visualRect(self.cell()).center()
        QTest.mousePress(port, left, pos=at)
        for step in range(0, 60, 12):
            QTest.mouseMove(port, at + QPoint(step, 0))
        QTest.mouseRelease(port, left, pos=at + QPoint(48, 0))
        self.close_menu()

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
    # A sheet of parts or rows that is still open belongs to the deed, not to the window.
    for popover in window.findChildren(Popover):
        popover.close_popover()
    focused = window.focusWidget()
    if focused is not None:
        focused.clearFocus()
    for area in window.findChildren(QAbstractScrollArea):
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


def cells_of(window: MainWindow) -> list[tuple[str, int, Cell]]:
    """Return what stands in each cell of the sheet."""
    sheet = window.sheet.sheet
    return [
        (row.key, column, sheet.cell(place, column))
        for place, row in enumerate(sheet.rows)
        for column in range(sheet.columnCount())
    ]


def close(window: MainWindow) -> None:
    window.document.undo_stack.setClean()
    window.close()


def open_like(window: MainWindow, scenario: Scenario, library: Library, qtbot: QtBot) -> MainWindow:
    """Return a fresh window with the same scenario, size and folds, in place of another."""
    opened, chosen = window.sheet.sheet.opened, window.sheet.currentIndex()
    refused = dict(window.sheet.sheet.refused)
    window.place.begin()
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
    fresh.sheet.sheet.set_opened(opened)
    for (key, index), text in refused.items():
        fresh.sheet.sheet.refuse(key, index, text.text, text.sentence)
    fresh.sheet.setCurrentIndex(fresh.sheet.sheet.index(chosen.row(), chosen.column()))
    if more:
        fresh.place_sheet.open_sheet()
    fresh.place.begin()
    fresh.place.sky_days.setVisible(days_open)
    settle(fresh, qtbot)
    fresh.sides.want_left(divided)
    fresh.sides.open_drawer(is_drawer_open)
    settle(fresh, qtbot)
    fresh.day.move_cursor(minute)
    qtbot.wait(50)
    return fresh


# A menu that opens grabs the keyboard, which the offscreen platform cannot.
@pytest.mark.qt_log_ignore("does not support grabbing the keyboard", extend=True)
@pytest.mark.parametrize("seed", range(2))
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
    cells, pictured = cells_of(window), window.sheet.grab().toImage()
    used, strip = facts(window), window.plan.canvas.grab().toImage()
    fresh = open_like(window, window.document.scenario, library, qtbot)
    assert used == facts(fresh)
    assert cells == cells_of(fresh)
    assert pictured == fresh.sheet.grab().toImage()
    assert strip == fresh.plan.canvas.grab().toImage()
