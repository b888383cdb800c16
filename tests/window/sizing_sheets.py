"""How a person gets at the sheets about sizes; shared by their tests."""

from __future__ import annotations

from typing import Any

from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QLabel, QPushButton, QWidget
from pytestqt.qtbot import QtBot

from app.pages.size.view import SizingView
from model.engine.comparison import simulate
from model.scenario.scenario import Scenario

WORKED_MS = 120_000
SIZES, KIT_MAP, EVEN, LEVERS, VARIANTS, TERMS, YEAR = range(7)


def look_at(view: SizingView, qtbot: QtBot, sheet: int, scenario: Scenario) -> Any:
    """Open a sheet, and wait until it is of the scenario."""
    view.sheets.show_at(sheet)
    view.show_comparison(simulate(scenario))
    qtbot.waitUntil(lambda: view.is_settled, timeout=WORKED_MS)
    # What was added is shown at the next turn of the event loop.
    qtbot.wait(10)
    return view.parts[sheet]


def said(widget: QWidget) -> str:
    return "\n".join(
        label.text() for label in widget.findChildren(QLabel) if label.isVisibleTo(widget)
    )


def click(widget: QWidget, words: str) -> None:
    [button] = [
        button
        for button in widget.findChildren(QPushButton)
        if words in (button.text(), button.accessibleName()) and button.isVisibleTo(widget)
    ]
    QTest.mouseClick(button, Qt.MouseButton.LeftButton)
