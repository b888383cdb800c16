"""The field check on the day: its crosses, its dashed line, its words, and when they go."""

from __future__ import annotations

import beside
import numpy as np
import pytest
from beside import follow, opened, press
from PySide6.QtCore import Qt
from pytestqt.qtbot import QtBot
from user import User

from app.charts.day.outlook import Outlook
from app.pages.day_view import DayView
from model.editing.paths import with_value
from model.engine.comparison import Comparison, simulate
from model.field.log_check import field_check
from model.scenario.station import FieldReading
from tests.window.day_scenes import scene
from tests.window.told import told_of

LOG = (
    {"day": 1, "at": "20:00", "used_ah": 6.0},
    {"day": 1, "at": "12:00", "panel_a": 9.0},
    {"day": 2, "at": "02:00", "used_ah": 9.0},
    {"day": 1, "at": "22:00", "battery_v": 13.1},
)
from model.support.figures import NBSP


@pytest.fixture
def shown() -> Comparison:
    return simulate(scene())


@pytest.fixture
def view(qtbot: QtBot, shown: Comparison) -> DayView:
    view = DayView()
    qtbot.addWidget(view)
    view.resize(900, 620)
    view.show()
    view.show_comparison(shown)
    return view


def outlook(shown: Comparison, index: int, *log: dict[str, object]) -> Outlook:
    run = shown.runs[index]
    assert run is not None
    return Outlook(index, field_check(run, tuple(map(FieldReading.model_validate, log))))


def test_readings_are_crosses_and_the_corrected_charge_goes_on_from_the_last(
    view: DayView, shown: Comparison
) -> None:
    before = view.picture()
    read = outlook(shown, 0, *LOG)
    view.show_outlook(read)
    layer = view.chart.outlook
    # The run begins at 06:00.
    assert [minute for minute, _ in layer.charge_marks.places] == [840.0, 1200.0]
    assert [minute for minute, _ in layer.sun_marks.places] == [360.0]
    x, y = layer.line.points
    assert (x[0], x[-1]) == (1200.0, 2880.0)
    assert read.check.found is not None
    # In steps of ten minutes.
    assert np.array_equal(y, read.check.found.outlook.fraction[120:] * 100)
    assert layer.band.edges is not None
    minutes, low, high = layer.band.edges
    assert (minutes[0], minutes[-1]) == (1200.0, 2880.0)
    assert (low <= high).all()
    assert (low < high - 1).any()
    after = view.picture()
    for minute, spot in layer.charge_marks.places:
        across = view.chart.span.px(
            minute, view.chart.span.left_px, view.chart.span.left_px + view.chart.span.width_px
        )
        down = view.chart.charge.height_at(spot.amount * 100)
        at = round(2 * across), round(2 * down)
        assert before.pixel(*at) != after.pixel(*at)
        assert after.pixelColor(*at) == view.chart._ink.station(0)


def test_the_pane_of_the_sun_reaches_over_what_was_read(view: DayView, shown: Comparison) -> None:
    view.show_outlook(outlook(shown, 0, {"day": 1, "at": "12:00", "panel_a": 40.0}))
    _, top = view.chart.sun.values
    assert top > view.chart.outlook.highest_w > 500
    view.show_outlook(None)
    assert view.chart.sun.values[1] < 100


def test_a_station_whose_own_curve_is_dashed_is_dashed_otherwise(
    view: DayView, shown: Comparison
) -> None:
    styles = []
    for index in (0, 1):
        view.show_outlook(outlook(shown, index, LOG[0]))
        styles.append(view.chart.outlook.line.pen.style())
    assert styles == [Qt.PenStyle.DashLine, Qt.PenStyle.DashDotDotLine]


def test_those_who_listen_are_told_and_so_is_the_card(view: DayView, shown: Comparison) -> None:
    read = outlook(shown, 0, *LOG)
    view.show_outlook(read)
    view.move_cursor(1100)
    assert view.card.rows[0].beside == ""
    view.move_cursor(1500)
    assert read.check.found is not None
    words = f"by its readings {read.check.found.outlook.fraction[150] * 100:.0f}{NBSP}%"
    assert [row.beside for row in view.card.rows] == [words, ""]
    spoken = told_of(view)
    assert f"Field check of {shown.scenario.stations[0].name}: 4 readings." in spoken
    assert f"At this minute {words}." in spoken
    assert "Charge at the end: about " in spoken
    assert "predicted was 33\xa0%." in spoken


def test_a_log_that_says_nothing_draws_no_line(view: DayView, shown: Comparison) -> None:
    view.show_outlook(outlook(shown, 0, LOG[3]))
    assert view.chart.outlook.line.points[0].size == 0
    assert view.chart.outlook.band.edges is None
    assert "1 reading. No reading so far tells" in told_of(view)
    view.show_outlook(outlook(shown, 0))
    assert "Field check" not in told_of(view)


def test_a_panel_alone_moves_the_charge_from_where_it_was_read(
    view: DayView, shown: Comparison
) -> None:
    view.show_outlook(outlook(shown, 0, LOG[1]))
    assert view.chart.outlook.line.points[0][0] == 360.0


def test_another_comparison_takes_it_away_and_an_older_check_is_not_shown(
    view: DayView, shown: Comparison
) -> None:
    old = outlook(shown, 0, *LOG)
    view.show_outlook(old)
    newer = simulate(with_value(shown.scenario, "stations.0.battery.capacity_ah", 30.0))
    view.show_comparison(newer, ghost=True)
    assert view.chart.outlook.outlook is None
    assert view.chart.outlook.charge_marks.places == ()
    view.show_outlook(old)
    assert view.chart.outlook.outlook is None
    view.show_outlook(Outlook(3, old.check))
    assert view.chart.outlook.outlook is None


def shown_on_day(user: User) -> Outlook | None:
    return user.window.day.chart.outlook.outlook


def test_it_stands_on_the_day_until_the_run_changes(user: User) -> None:
    names = [each.name for each in user.window.document.scenario.stations]
    window = opened(user, "field_check")
    beside.fill(window, "reading, time", "22:00")
    beside.fill(window, "reading, used since full", "4")
    press(window, "Add to the log")
    follow(user, window)
    user.wait_for(lambda: bool(shown_on_day(user) and shown_on_day(user).check.checks))
    first = shown_on_day(user)
    assert first is not None
    assert first.index == 0
    assert len(user.window.day.chart.outlook.charge_marks.places) == 1
    assert "crosses are readings" in beside.words_on(window)
    beside.pick(window, "station of the field check", names[1])
    follow(user, window)
    second = shown_on_day(user)
    assert second is not None
    assert second.index == 1
    assert user.window.day.chart.outlook.charge_marks.places == ()
    beside.pick(window, "station of the field check", names[0])
    follow(user, window)
    user.window.document.edit("stations.0.battery.capacity_ah", 33.0)
    follow(user, window)
    third = shown_on_day(user)
    assert third is not None
    assert third.check.predicted is user.window.session.comparison.runs[0]  # type: ignore[union-attr]
    user.choose("Go", "Day")
    assert shown_on_day(user) is third
    user.fill("station 1, reserve", "31")
    assert shown_on_day(user) is None
    opened(user, "field_check")
    assert shown_on_day(user) is not None


def test_a_station_that_cannot_be_run_has_none(user: User) -> None:
    window = opened(user, "field_check")
    assert shown_on_day(user) is not None
    plan = [{"start": "00:00", "end": "01:00", "activity": "slots", "transmit_share": 0.9,
             "rf_w": 5.0}]  # fmt: skip
    document = user.window.document
    document.replace("a plan beyond what slots bear", with_value(document.scenario, "plan", plan))
    follow(user, window)
    assert "cannot be run as entered" in beside.words_on(window)
    assert shown_on_day(user) is None
