"""The preview in the window: turn pages, zoom, fit, and show what is on the page."""

from __future__ import annotations

import sys
from functools import cache
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QColor

from app.printing import pages_of
from app.printing.preview import PagePreview
from model.engine.comparison import simulate

sys.path.insert(0, str(Path(__file__).parent))
from awkward_kits import ridge


@cache
def pages():
    return pages_of(simulate(ridge()))


@pytest.fixture
def preview(qtbot):
    widget = PagePreview()
    qtbot.addWidget(widget)
    widget.resize(700, 500)
    widget.set_pages(pages())
    widget.show()
    return widget


def test_keys_turn_pages_and_stop_at_the_ends(preview, qtbot):
    seen = []
    preview.page_shown.connect(seen.append)
    # Two stations on two sides each, and the comparison.
    for _ in range(6):
        qtbot.keyClick(preview, Qt.Key.Key_PageDown)
    assert preview.index == 4
    for _ in range(6):
        qtbot.keyClick(preview, Qt.Key.Key_PageUp)
    assert preview.index == 0
    assert seen == [1, 2, 3, 4, 3, 2, 1, 0]


def test_keys_zoom_and_fit(preview, qtbot):
    fitted = preview.zoom
    qtbot.keyClick(preview, Qt.Key.Key_Plus)
    assert preview.zoom == pytest.approx(fitted * 1.2)
    qtbot.keyClick(preview, Qt.Key.Key_1)
    assert preview.zoom == 1.0
    qtbot.keyClick(preview, Qt.Key.Key_0)
    assert preview.zoom == pytest.approx(fitted)
    for _ in range(40):
        qtbot.keyClick(preview, Qt.Key.Key_Minus)
    assert preview.zoom == 0.25


def test_a_fitted_page_follows_the_width(preview):
    narrow = preview.zoom
    preview.resize(1100, 500)
    assert preview.zoom > narrow * 1.4
    assert preview.horizontalScrollBar().maximum() == 0


def test_the_page_is_black_on_white_whatever_the_colours(preview):
    picture = preview.grab().toImage()
    middle = {picture.pixelColor(x, 60).lightness() for x in range(100, 500)}
    assert QColor("white").lightness() in middle
    assert min(middle) < 60


def test_fewer_pages_than_the_one_seen(preview):
    preview.turn(2)
    preview.set_pages(pages()[:1])
    assert (preview.index, preview.count) == (0, 1)
    preview.set_pages([])
    assert preview.count == 0
