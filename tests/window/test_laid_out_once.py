"""Much changes at once, and is laid out once."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QCoreApplication, QEvent, QObject
from PySide6.QtWidgets import QLabel, QScrollArea, QVBoxLayout, QWidget
from pytestqt.qtbot import QtBot

from app.widgets.laid_out_once import laid_out_once


class Sizes(QObject):
    """Counts how often a widget gets another size."""

    def __init__(self, watched: QWidget) -> None:
        super().__init__(watched)
        self.count = 0
        watched.installEventFilter(self)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        self.count += event.type() == QEvent.Type.Resize
        return False


class Sheet(QScrollArea):
    """A plot that takes what is free, above lines of which some are hidden."""

    def __init__(self) -> None:
        super().__init__()
        self.sheet, self.plot, self.list = QWidget(), QWidget(), QWidget()
        self.plot.setMinimumHeight(100)
        self.lines = [QLabel(f"line {number}") for number in range(12)]
        column, below = QVBoxLayout(self.sheet), QVBoxLayout(self.list)
        column.addWidget(self.plot, 1)
        column.addWidget(self.list)
        for line in self.lines:
            below.addWidget(line)
            line.hide()
        self.setWidget(self.sheet)
        self.setWidgetResizable(True)
        self.resize(300, 250)

    def show_lines(self, count: int) -> None:
        for number, line in enumerate(self.lines):
            line.setVisible(number < count)

    def places(self) -> list[tuple[int, int, int, int]]:
        widgets = (self.sheet, self.plot, self.list, *self.lines)
        return [widget.geometry().getRect() for widget in widgets if not widget.isHidden()]


def settle() -> None:
    """One layout asks for the next one around it."""
    for _ in range(6):
        QCoreApplication.processEvents()


@pytest.fixture
def sheet(qtbot: QtBot) -> Sheet:
    made = Sheet()
    qtbot.addWidget(made)
    made.show()
    settle()
    return made


@pytest.mark.parametrize(("count", "at_most"), [(1, 1), (4, 1), (12, 2)])
def test_it_looks_as_if_laid_out_bit_by_bit_but_is_so_once(
    sheet: Sheet, count: int, at_most: int
) -> None:
    bit_by_bit = Sizes(sheet.plot)
    sheet.show_lines(count)
    settle()
    expected, sizes_before = sheet.places(), bit_by_bit.count
    sheet.show_lines(0)
    settle()
    assert sheet.places() != expected
    sizes = Sizes(sheet.plot)
    with laid_out_once(sheet.list):
        sheet.show_lines(count)
        assert sizes.count == 0
    assert sheet.places() == expected
    settle()
    assert sheet.places() == expected
    # Where a scroll bar comes, the plot gets its height and then its width.
    assert 1 <= sizes.count <= min(at_most, sizes_before)


def test_blocks_in_one_another_are_laid_out_at_the_end_of_the_outer(sheet: Sheet) -> None:
    sizes = Sizes(sheet.plot)
    with laid_out_once(sheet.sheet):
        with laid_out_once(sheet.list):
            sheet.show_lines(5)
        assert sizes.count == 0
        sheet.plot.setMinimumHeight(200)
    seen = sheet.places()
    settle()
    assert sheet.places() == seen
    assert sheet.plot.height() >= 200
    assert all(line.height() >= line.sizeHint().height() for line in sheet.lines[:5])


def test_an_error_in_the_block_holds_nothing_for_good(sheet: Sheet) -> None:
    with pytest.raises(ValueError, match="of the block"), laid_out_once(sheet.list):
        raise ValueError("of the block")
    before = sheet.plot.height()
    sheet.show_lines(3)
    settle()
    assert sheet.plot.height() < before


def test_what_is_not_seen_is_laid_out_when_it_is(qtbot: QtBot) -> None:
    made = Sheet()
    qtbot.addWidget(made)
    with laid_out_once(made.list):
        made.show_lines(4)
    made.show()
    settle()
    assert made.lines[3].isVisible()
    assert made.lines[3].y() > made.lines[2].y()
