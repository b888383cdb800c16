"""What all drawings share: the numbers along a scale, the hours of a run, the stations' markers."""

from __future__ import annotations

from datetime import datetime
from zoneinfo import ZoneInfo

import pytest
from PySide6.QtCore import QPointF, QRectF
from PySide6.QtGui import QColor, QImage, QPainter
from pytestqt.qtbot import QtBot

from app.charts.markers import MARKER_PX, draw_marker
from app.charts.scale import even_ticks, room_up, tick_texts
from app.charts.time_marks import marks_across
from app.pages.day_view import DayView
from app.widgets.tokens import STATION_STYLES
from model.engine.comparison import simulate
from model.sky.timeline import Timeline
from tests.window.day_scenes import scene

RED = QColor("#ff0000")


@pytest.mark.parametrize(
    ("low", "high", "at_most", "texts"),
    [
        (-2.0, 104.0, 7, ["0", "20", "40", "60", "80", "100"]),
        (0.0, 1.0, 3, ["0", "0.5", "1"]),
        (0.0, 0.037, 6, ["0", "0.01", "0.02", "0.03"]),
        (7.3, 14.9, 5, ["8", "10", "12", "14"]),
        (-0.3, 0.3, 3, ["−0.2", "0", "0.2"]),
        (0.0, 3.3, 2, ["0", "2"]),
        (0.9, 1.9, 1, ["1", "1.5"]),
    ],
)
def test_round_numbers_stand_along_a_scale(
    low: float, high: float, at_most: int, texts: list[str]
) -> None:
    assert tick_texts(even_ticks(low, high, at_most)) == texts


def test_the_panes_of_the_day_are_marked_by_the_rule_of_all_scales(qtbot: QtBot) -> None:
    view = DayView()
    qtbot.addWidget(view)
    view.resize(900, 620)
    view.show()
    view.show_comparison(simulate(scene()))
    for pane in (view.chart.charge, view.chart.sun):
        low, high = pane.values
        values, texts = pane.scale_marks
        room = room_up(pane.place.height(), view.fontMetrics().height())
        assert values == even_ticks(low, high, room)
        assert texts == tick_texts(values)
        assert 2 <= len(values) <= room


def test_hours_have_room_and_a_midnight_says_which_day_begins() -> None:
    start = datetime(2025, 6, 13, 12, tzinfo=ZoneInfo("Europe/Berlin"))
    day = [mark.text for mark in marks_across(Timeline(start, 1), 900.0, 100.0)]
    assert day == ["12:00", "15:00", "18:00", "21:00", "Sat", "03:00", "06:00", "09:00", "12:00"]
    fortnight = marks_across(Timeline(start, 14), 900.0, 100.0)
    assert [mark.text for mark in fortnight[:3]] == ["Fri", "Sat", "Sun"]
    assert fortnight[1].minute == 720.0


def test_an_hour_is_where_the_wall_clock_says_after_a_change_of_the_clocks() -> None:
    start = datetime(2025, 10, 25, 12, tzinfo=ZoneInfo("Europe/Berlin"))
    marks = marks_across(Timeline(start, 1), 900.0, 100.0)
    # The night has an hour more: 06:00 comes after 19 hours and not 18.
    assert {mark.text: mark.minute for mark in marks}["06:00"] == 19 * 60


def test_every_station_has_a_shape_of_its_own_about_its_place() -> None:
    shapes = set()
    for style in STATION_STYLES:
        image = QImage(40, 40, QImage.Format.Format_RGB32)
        image.fill(QColor("#ffffff"))
        with QPainter(image) as painter:
            draw_marker(painter, QPointF(20, 20), style.marker, RED)
        inked = [(x, y) for x in range(40) for y in range(40) if image.pixelColor(x, y) == RED]
        reach = 1.3 * MARKER_PX + 1.5
        assert (20, 20) in inked
        assert all(
            QRectF(20 - reach, 20 - reach, 2 * reach, 2 * reach).contains(*at) for at in inked
        )
        shapes.add(tuple(inked))
    assert len(shapes) == len(STATION_STYLES)
