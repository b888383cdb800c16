"""The chosen row of a list or table tells whether the keyboard is there."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from PySide6.QtGui import QColor, QPalette
from PySide6.QtWidgets import QApplication, QLineEdit, QVBoxLayout, QWidget
from pytestqt.qtbot import QtBot

from app.widgets.chosen_rows import ChosenList
from app.widgets.tokens import dark_palette, light_palette
from tests.pictures.looking_day import contrast


@pytest.fixture(params=[light_palette, dark_palette])
def colours(qapp: QApplication, request: pytest.FixtureRequest) -> Iterator[QPalette]:
    before = qapp.palette()
    qapp.setStyle("Fusion")
    qapp.setPalette(request.param())
    yield qapp.palette()
    qapp.setPalette(before)


def row_colour(view: ChosenList) -> QColor:
    """Return the ground of the chosen row, beside its words."""
    box = view.visualRect(view.currentIndex())
    picture = view.viewport().grab().toImage()
    return picture.pixelColor(box.right() - 6, box.center().y())


def test_the_chosen_row_shows_whether_the_keyboard_is_there(
    qtbot: QtBot, colours: QPalette
) -> None:
    both = QWidget()
    line, view = QLineEdit(), ChosenList()
    view.addItems(["one", "two"])
    view.setCurrentRow(0)
    rows = QVBoxLayout(both)
    rows.addWidget(line)
    rows.addWidget(view)
    qtbot.addWidget(both)
    both.show()
    both.activateWindow()
    line.setFocus()
    qtbot.waitUntil(line.hasFocus)
    elsewhere = row_colour(view)
    view.setFocus()
    qtbot.waitUntil(view.hasFocus)
    here = row_colour(view)
    assert contrast(here, elsewhere) > 1.8
    assert contrast(here, colours.color(QPalette.ColorRole.Base)) > 4.5
    assert contrast(here, view.palette().color(QPalette.ColorRole.HighlightedText)) > 4.5
    line.setFocus()
    qtbot.waitUntil(line.hasFocus)
    assert row_colour(view) == elsewhere
