"""Plot and verdict share one sheet, which scrolls; the plot is never too small to read."""

from __future__ import annotations

from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtGui import QWheelEvent
from PySide6.QtWidgets import QApplication
from user import User


def turn_wheel(user: User, modifier: Qt.KeyboardModifier) -> None:
    viewport = user.window.day.chart.viewport()
    middle = QPointF(viewport.rect().center())
    event = QWheelEvent(
        middle, viewport.mapToGlobal(middle), QPoint(), QPoint(0, -240),
        Qt.MouseButton.NoButton, modifier, Qt.ScrollPhase.NoScrollPhase, False,
    )  # fmt: skip
    QApplication.sendEvent(viewport, event)


def test_the_wheel_over_the_plot_scrolls_the_sheet(user: User) -> None:
    user.window.resize(1280, 800)
    user.settle()
    bar = user.window.side.verticalScrollBar()
    assert bar.maximum() > 0
    turn_wheel(user, Qt.KeyboardModifier.NoModifier)
    assert bar.value() > 0


def test_the_wheel_with_control_leaves_the_sheet_where_it_is(user: User) -> None:
    user.window.resize(1280, 800)
    user.settle()
    turn_wheel(user, Qt.KeyboardModifier.ControlModifier)
    assert user.window.side.verticalScrollBar().value() == 0


def test_an_opened_sum_is_scrolled_into_sight(user: User) -> None:
    user.window.resize(1280, 800)
    user.settle()
    user.window.verdict.table.figure_opened.emit("load_ah", 0)
    side = user.window.side

    def is_in_sight() -> bool:
        panel = user.window.verdict.sum
        top = panel.mapTo(side.viewport(), QPoint(0, 0)).y()
        return panel.height() > 0 and top >= 0 and top + panel.height() <= side.viewport().height()

    user.wait_for(is_in_sight)


def test_the_plot_keeps_room_for_its_panes_however_low_the_window(user: User) -> None:
    user.window.resize(1000, 600)
    user.settle()
    chart = user.window.day.chart
    assert chart.height() >= 20 * chart.fontMetrics().lineSpacing()
