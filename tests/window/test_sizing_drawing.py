"""Scales, hatching, maps, bars and the strip: what is drawn, pointed at and written to a file."""

from __future__ import annotations

import math
import xml.etree.ElementTree as ET
from pathlib import Path

import numpy as np
import pytest
from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QFont, QImage, QPainter, QPalette
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from app.charts.bars import Bar, Bars
from app.charts.hatch import Hatch, box, hatch_lines
from app.charts.ink import Ink
from app.charts.map_canvas import MapCanvas
from app.charts.map_paint import MARK_PX, RING_PX, MapFrame, mark_places, paint_mark
from app.charts.map_picture import Curve, MapPicture, Mark, Patch
from app.charts.scale import Scale, reach
from app.widgets.tokens import dark_palette

ACROSS, UP = Scale("Battery, Ah", 1.0, 100.0), Scale("Panel, W", 0.0, 50.0, in_ratios=False)
PICTURE = MapPicture(
    ACROSS,
    UP,
    (Patch((((1.0, 0.0), (10.0, 0.0), (10.0, 50.0), (1.0, 50.0)),), Hatch.FALLING, is_toned=True),),
    (Curve(((1.0, 10.0), (100.0, 40.0)), "12 kg"),),
    (Mark(20.0, 25.0, 0), Mark(20.0, 25.0, 1)),
    ((Hatch.FALLING, True, "A fails"), (Hatch.NONE, False, "A holds")),
    "A: 20 Ah with 25 W holds.",
)


@pytest.fixture
def canvas(qtbot: QtBot) -> MapCanvas:
    shown = MapCanvas("map of batteries")
    qtbot.addWidget(shown)
    shown.resize(500, 400)
    shown.show_picture(PICTURE)
    shown.show()
    return shown


@pytest.mark.parametrize("axis", [ACROSS, UP, Scale("", 0.02, 0.6, in_ratios=False, factor=100)])
@pytest.mark.parametrize("share", [0.0, 0.25, 0.5, 1.0])
def test_a_place_along_a_scale_is_its_value_and_back(axis: Scale, share: float) -> None:
    assert axis.share(axis.value(share)) == pytest.approx(share)
    assert axis.low <= axis.value(share) <= axis.high * (1 + 1e-12)


def test_equal_ratios_lie_equally_far_apart() -> None:
    assert ACROSS.share(10.0) == pytest.approx(0.5)
    assert UP.share(10.0) == pytest.approx(0.2)
    assert ACROSS.share(1000.0) == 1.0


@pytest.mark.parametrize("at_most", [2, 4, 6, 12, 30])
@pytest.mark.parametrize(
    "axis", [Scale("", 1.0, 500.0), Scale("", 0.03, 3.1), UP, Scale("", 7.3, 14.9, in_ratios=False)]
)
def test_no_more_numbers_stand_along_a_scale_than_there_is_room_for(
    axis: Scale, at_most: int
) -> None:
    ticks = axis.ticks(at_most)
    # A scale with one number tells nothing: then there are up to four.
    assert 2 <= len(ticks) <= max(at_most, 4)
    assert all(axis.low * 0.999 <= value <= axis.high * 1.001 for value, _ in ticks)
    assert all(float(text) == pytest.approx(value, rel=0.01) for value, text in ticks)


def test_bounds_are_round_and_leave_room() -> None:
    low, high = reach([15.0, 40.0], 6.0)
    assert (low, high) == (2.0, 500.0)


@pytest.mark.parametrize("hatch", [Hatch.RISING, Hatch.FALLING])
def test_hatching_fills_a_square_with_lines_as_far_apart_as_asked(hatch: Hatch) -> None:
    lines = hatch_lines([box(QRectF(3, 5, 70, 70))], hatch, 7.0)
    # A square of side s is s * sqrt(2) across its diagonal: that many lines cross it.
    assert len(lines) == pytest.approx(70 * math.sqrt(2) / 7, abs=1)
    for line in lines:
        assert QRectF(2.9, 4.9, 70.2, 70.2).contains(QRectF(line.p1(), line.p2()).normalized())
        slope = (line.y2() - line.y1()) / (line.x2() - line.x1()) if line.length() > 1e-6 else None
        assert slope is None or slope == pytest.approx(1.0 if hatch is Hatch.FALLING else -1.0)


def test_crossed_hatching_is_both_and_none_is_none() -> None:
    square = [box(QRectF(0, 0, 50, 50))]
    both = len(hatch_lines(square, Hatch.CROSSED, 5.0))
    one_way = [len(hatch_lines(square, each, 5.0)) for each in (Hatch.RISING, Hatch.FALLING)]
    assert both == sum(one_way)
    assert hatch_lines(square, Hatch.NONE, 5.0) == []


def test_a_hollow_shape_is_hatched_only_where_it_is() -> None:
    notched = tuple(QPointF(x, y) for x, y in [(0, 0), (60, 0), (60, 40), (30, 10), (0, 40)])
    for line in hatch_lines([notched], Hatch.RISING, 4.0):
        middle = line.center()
        assert middle.y() <= 40 - abs(30 - abs(middle.x() - 30)) + 1e-6


def test_pointing_reads_the_values_under_the_pointer(canvas: MapCanvas, qtbot: QtBot) -> None:
    place = canvas.place_of(10.0, 20.0)
    with qtbot.waitSignal(canvas.pointed) as read:
        QTest.mouseMove(canvas, place.toPoint())
    assert read.args[0] == pytest.approx(10.0, rel=0.02)
    assert read.args[1] == pytest.approx(20.0, abs=0.3)


def test_a_click_chooses_and_a_click_outside_the_field_does_not(
    canvas: MapCanvas, qtbot: QtBot
) -> None:
    with qtbot.waitSignal(canvas.chosen) as chosen:
        QTest.mouseClick(
            canvas, Qt.MouseButton.LeftButton, pos=canvas.place_of(50.0, 5.0).toPoint()
        )
    assert chosen.args[0] == pytest.approx(50.0, rel=0.03)
    with qtbot.assertNotEmitted(canvas.chosen):
        QTest.mouseClick(canvas, Qt.MouseButton.LeftButton, pos=QPointF(3, 3).toPoint())


def test_the_keyboard_moves_the_cursor_and_chooses(canvas: MapCanvas, qtbot: QtBot) -> None:
    canvas.put_cursor(10.0, 25.0)
    QTest.keyClick(canvas, Qt.Key.Key_Right, Qt.KeyboardModifier.ShiftModifier)
    QTest.keyClick(canvas, Qt.Key.Key_Down)
    with qtbot.waitSignal(canvas.chosen) as chosen:
        QTest.keyClick(canvas, Qt.Key.Key_Return)
    # A twentieth of two decades, and a hundredth of 50 W.
    assert chosen.args == pytest.approx([10.0 * 10**0.1, 24.5])


def test_the_map_is_told_in_words(canvas: MapCanvas) -> None:
    assert canvas.accessibleName() == "map of batteries"
    assert canvas.accessibleDescription() == "A: 20 Ah with 25 W holds."


def test_hatch_is_drawn_where_it_belongs_and_nowhere_else(canvas: MapCanvas) -> None:
    image = canvas.picture()

    def tones(low: float, high: float) -> set[int]:
        first, last = canvas.place_of(low, 22.0) * 2, canvas.place_of(high, 21.0) * 2
        return {
            image.pixel(x, y)
            for x in range(int(first.x()), int(last.x()))
            for y in range(int(first.y()), int(last.y()))
        }

    assert len(tones(2.0, 3.0)) > 1
    assert len(tones(40.0, 60.0)) == 1


def test_markers_stand_where_the_stations_are_and_overlapping_ones_are_rings() -> None:
    frame = MapFrame.of(PICTURE, QRectF(0, 0, 500, 400), QFont())
    # 20 Ah on 1 to 100 in ratios is log10(20) / 2 of the way; 25 W on 0 to 50 is half of it.
    true = QPointF(
        frame.field.left() + frame.field.width() * math.log10(20.0) / 2, frame.field.center().y()
    )
    places = mark_places(frame)
    assert [ring for _, ring in places] == [0, 1]
    for place, _ in places:
        assert (place - true).manhattanLength() < 1e-6
    image = QImage(500, 400, QImage.Format.Format_RGB32)
    painter = QPainter(image)
    ink = Ink.of(QPalette())
    painter.fillRect(image.rect(), ink.ground)
    for mark, (place, ring) in zip(PICTURE.marks, places, strict=True):
        paint_mark(painter, place, mark, ink, ring)
    painter.end()
    at = true.toPoint()
    assert image.pixelColor(at) == ink.station(0)
    # The second station's square runs around the first one's disc.
    assert image.pixelColor(at.x(), round(true.y() + 0.9 * (MARK_PX + RING_PX))) == ink.station(1)


def test_a_map_in_the_dark_has_a_dark_ground(canvas: MapCanvas) -> None:
    light = canvas.picture().pixelColor(2, 2).lightness()
    canvas.setPalette(dark_palette())
    dark = canvas.picture().pixelColor(2, 2).lightness()
    assert dark < 60 < 200 < light


def test_picture_and_drawing_are_written(canvas: MapCanvas, tmp_path: Path) -> None:
    canvas.save_png(tmp_path / "map.png")
    assert QImage(str(tmp_path / "map.png")).width() == 2 * canvas.width()
    canvas.save_svg(tmp_path / "map.svg")
    drawn = "".join(ET.parse(tmp_path / "map.svg").getroot().itertext())
    for words in ("Battery, Ah", "Panel, W", "12 kg", "A fails", "A holds"):
        assert words in drawn


def test_bars_are_chosen_by_keyboard_and_mouse(qtbot: QtBot) -> None:
    bars = Bars("inputs")
    qtbot.addWidget(bars)
    bars.resize(500, 200)
    bars.show_bars(
        tuple(Bar(f"p{n}", f"input {n}", -1 / (n + 1), 0.5, f"{n} h") for n in range(3)), "now: 5 h"
    )
    bars.show()
    with qtbot.waitSignal(bars.chosen) as chosen:
        QTest.keyClick(bars, Qt.Key.Key_Down)
    assert chosen.args == ["p1"]
    with qtbot.waitSignal(bars.chosen) as chosen:
        QTest.mouseClick(
            bars,
            Qt.MouseButton.LeftButton,
            pos=QPointF(100, bars.sizeHint().height() * 3.5 / 5).toPoint(),
        )
    assert chosen.args == ["p2"]
    assert bars.accessibleDescription().splitlines()[0] == "input 0: 0 h"
    assert not np.array_equal(_row(bars.picture(), 0.3), _row(bars.picture(), 0.95)), (
        "a bar is drawn"
    )


def _row(image: QImage, share: float) -> list[int]:
    y = int(image.height() * share)
    return [image.pixel(x, y) for x in range(image.width())]


def test_a_map_without_a_result_is_bare_ground(qtbot: QtBot) -> None:
    shown = MapCanvas("map of batteries")
    qtbot.addWidget(shown)
    shown.resize(300, 200)
    image, ground = shown.grab().toImage(), Ink.of(shown.palette()).ground
    for x, y in ((10, 10), (150, 100), (290, 190)):
        assert image.pixelColor(x, y).name() == ground.name()
