"""A curve in pieces looks as the same curve stroked whole; its scale follows no small change."""

from __future__ import annotations

import numpy as np
import pytest
from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QImage, QPainter, QPen, QPolygonF
from pytestqt.qtbot import QtBot

from app.charts.pieces import dashes, in_pieces
from app.charts.scale import top_over
from app.pages.day_view import DayView
from model.editing.paths import with_value
from model.engine.comparison import simulate
from tests.window.day_scenes import four_stations, scene

STYLES = (
    Qt.PenStyle.SolidLine,
    Qt.PenStyle.DashLine,
    Qt.PenStyle.DotLine,
    Qt.PenStyle.DashDotLine,
)


def drawn(draw: object) -> np.ndarray:
    image = QImage(300, 200, QImage.Format.Format_Grayscale8)
    image.fill(Qt.GlobalColor.white)
    with QPainter(image) as painter:
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        draw(painter)  # type: ignore[operator]
    bits = np.frombuffer(image.constBits(), dtype=np.uint8).reshape(200, image.bytesPerLine())
    return 255 - bits[:, :300].astype(float)


@pytest.mark.parametrize("style", STYLES)
def test_pieces_cover_what_the_whole_line_covers(qtbot: QtBot, style: Qt.PenStyle) -> None:
    x = np.linspace(10.0, 290.0, 60)
    y = 100.0 + 70.0 * np.sin(x / 23.0)
    pen = QPen(QColor("black"), 2, style)
    points = [QPointF(*pair) for pair in zip(x.tolist(), y.tolist(), strict=True)]

    def whole(painter: QPainter) -> None:
        painter.setPen(pen)
        painter.drawPolyline(QPolygonF(points))

    def pieces(painter: QPainter) -> None:
        piece, lines = in_pieces(pen, x, y)
        painter.setPen(piece)
        painter.drawLines(lines)

    one, other = drawn(whole), drawn(pieces)
    assert one.sum() > 10_000
    assert abs(one.sum() - other.sum()) < 0.04 * one.sum()
    assert np.abs(one - other).sum() < 0.12 * one.sum()


def test_dashes_and_gaps_take_their_turns_over_the_corners() -> None:
    """Worked by hand: 20 px along, then 20 px down; dashes of 6, gaps of 4, no reach."""
    x, y = np.array([0.0, 20.0, 20.0]), np.array([0.0, 0.0, 20.0])
    begin, end = dashes(x, y, np.array([6.0, 4.0]), 0.0)
    assert [*zip(*begin, *end, strict=True)] == [
        (0.0, 0.0, 6.0, 0.0), (10.0, 0.0, 16.0, 0.0),
        (20.0, 0.0, 20.0, 6.0), (20.0, 10.0, 20.0, 16.0),
    ]  # fmt: skip
    begin, end = dashes(x, y, np.array([6.0, 4.0]), 1.0)
    assert [*zip(*begin, *end, strict=True)] == [
        (0.0, 0.0, 7.0, 0.0), (9.0, 0.0, 17.0, 0.0), (19.0, 0.0, 20.0, 0.0),
        (20.0, 0.0, 20.0, 7.0), (20.0, 9.0, 20.0, 17.0), (20.0, 19.0, 20.0, 20.0),
    ]  # fmt: skip


def test_the_top_of_a_scale_lies_over_all_and_stays_through_small_changes() -> None:
    for highest in np.geomspace(0.01, 3000.0, 200):
        assert highest * 1.05 <= top_over(float(highest)) <= max(highest * 1.4, 1.0)
    assert len({top_over(60.0 + by / 10) for by in range(10)}) == 1


def test_a_change_of_one_station_leaves_the_pieces_of_the_others(qtbot: QtBot) -> None:
    view = DayView()
    qtbot.addWidget(view)
    view.resize(900, 620)
    view.show()
    asked = scene(*four_stations())
    view.show_comparison(simulate(asked))
    view.grab()
    before = [view.chart.curve(index)._pieces for index in range(4)]
    view.show_comparison(simulate(with_value(asked, "stations.1.battery.capacity_ah", 31.0)))
    view.grab()
    kept = [view.chart.curve(index)._pieces is before[index] for index in range(4)]
    assert kept == [True, False, True, True]


def test_a_curve_reaches_its_ends_and_nothing_outside_the_pane(qtbot: QtBot) -> None:
    view = DayView()
    qtbot.addWidget(view)
    view.resize(900, 620)
    view.show()
    view.show_comparison(simulate(scene()))
    line = view.chart.curve(0)
    box = QRectF(0.0, 0.0, 800.0, 300.0)
    x_px, y_px = line._placed(box)
    assert (x_px[0], x_px[-1]) == pytest.approx((0.0, 800.0))
    assert y_px.min() >= 0.0
    assert y_px.max() <= 300.0
