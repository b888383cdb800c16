"""The day in the window: now, held curves, handles, patterns looked at, and the foot."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest
from beside import follow
from PySide6.QtCore import QPoint, Qt, QTime
from PySide6.QtTest import QTest
from user import User

from app.pages.kit_page.page import KitPage
from app.printing.marks import Text
from model.engine.now import from_now
from tests.window.day_scenes import BIG_RADIO, scene, station

SMALL = {"chemistry": "LFP", "capacity_ah": 12.0, "cutoff_v": 10.0, "reconnect_v": 12.0}


@pytest.fixture
def user(open_window: Callable[..., User]) -> User:
    """A person before two kits, one of which ends in the night."""
    return open_window(
        scene(station("lasting"), station("ending", radio=BIG_RADIO, battery=SMALL, panel=None))
    )


def read_now(user: User, index: int, hours: float, ah: float) -> None:
    """Type what is left of a station, so many hours into the run."""
    window = user.window
    window.day.move_cursor(round(hours * 60))
    window.head.now.click()
    form = window.now.form
    form.station.setCurrentIndex(index)
    form.ah.setText(str(ah))
    form.go.click()


def test_now_takes_curve_headline_and_offers_up_from_a_reading(user: User) -> None:
    window = user.window
    before = window.head.accessibleName()
    read_now(user, 1, 4, 2.5)
    at = window.session.comparison.clock.at(240)  # type: ignore[union-attr]
    run = from_now(window.document.scenario, 1, at, 2.5)
    _, charge = window.day.chart.curve(1).points
    assert charge[240] == pytest.approx(run.fraction[240] * 100)
    assert window.head.accessibleName() != before
    assert f"From Fri {at:%H:%M} on, with 2.5" in window.head.cause.text()
    assert window.head.now.isChecked()
    user.wait_for(lambda: window.offers.is_settled)
    chips = [chip.toolTip() for chip in window.head.offers.chips if chip.isEnabled()]
    assert any("watch 5 min an hour" in words for words in chips)
    # An edit is taken up from the reading too; back to the plan, all is as before.
    window.document.edit("stations.1.radio.receive_a", 0.8)
    user.settle()
    assert window.day.chart.curve(1).points[1][240] == pytest.approx(run.fraction[240] * 100)
    window.document.undo_stack.undo()
    user.settle()
    window.now.form.plan_wanted.emit()
    assert window.head.accessibleName() == before
    assert not window.head.now.isChecked()


def test_a_reading_outside_the_run_or_above_the_battery_is_refused_in_words(user: User) -> None:
    window = user.window
    window.day.move_cursor(0)
    window.head.now.click()
    form = window.now.form
    form.station.setCurrentIndex(1)
    form.time.setTime(QTime(5, 0))
    form.ah.setText("15,0")
    form.go.click()
    assert "The run goes from Fri 06:00 to Sun 06:00." in form.note.text()
    assert "This battery holds" in form.note.text()
    assert window.now.reading is None


def test_held_curves_stay_while_a_part_is_changed(user: User) -> None:
    window = user.window
    window.head.held.click()
    charge = window.day.chart.curve(1).points[1].copy()
    window.document.edit("stations.1.battery.capacity_ah", 20.0)
    user.settle()
    assert (window.day.chart.ghost(1).points[1] == charge).all()
    assert (window.day.chart.curve(1).points[1] != charge).any()
    window.head.held.click()
    assert window.day.chart.ghost(1).points[1].size == 0


def test_a_handle_changes_the_station_the_keyboard_is_in(user: User) -> None:
    window = user.window
    user.find("station 2, charge at the start").setFocus()
    chart = window.day.chart
    assert chart.selected == 1
    place = chart.handle.grip.center().toPoint()
    port = chart.viewport()
    count = window.document.undo_stack.count()
    QTest.mousePress(port, Qt.MouseButton.LeftButton, pos=place)
    for percent in (80.0, 70.0, 60.0):
        to = QPoint(place.x(), round(chart.charge.height_at(percent)))
        QTest.mouseMove(port, to)
    QTest.mouseRelease(port, Qt.MouseButton.LeftButton, pos=to)
    user.settle()
    assert window.document.scenario.stations[1].start_fraction == pytest.approx(0.6, abs=0.011)
    assert window.document.scenario.stations[0].start_fraction == 0.95
    assert window.document.undo_stack.count() == count + 1


def test_a_pattern_is_previewed_on_strip_and_curves_and_leaves_no_trace(user: User) -> None:
    window = user.window
    plan, before = window.document.scenario.plan, window.day.chart.curve(1).points[1].copy()
    pattern = window.plan.patterns.actions()[1]
    window.plan.patterns.hovered.emit(pattern)
    user.wait_for(lambda: not np.array_equal(window.day.chart.curve(1).points[1], before))
    assert window.document.scenario.plan == plan
    window.plan.patterns.preview_ended.emit()
    assert (window.day.chart.curve(1).points[1] == before).all()
    assert window.document.undo_stack.count() == 0


def test_a_dragged_net_bends_the_curve_above_it(user: User) -> None:
    window = user.window
    before = window.day.chart.curve(1).points[1].copy()
    canvas = window.plan.canvas
    # The evening net stands twelve hours into the run.
    begin = QPoint(round(canvas.x_of(12.5 * 60)), 12)
    QTest.mousePress(canvas, Qt.MouseButton.LeftButton, pos=begin)
    for hours in (12.0, 11.5, 11.0):
        QTest.mouseMove(canvas, QPoint(round(canvas.x_of(hours * 60)), 12))
    QTest.mouseRelease(canvas, Qt.MouseButton.LeftButton, pos=begin)
    user.settle()
    net = window.document.scenario.plan[2]
    assert net.activity == "voice"
    assert net.start < "18:00"
    assert (window.day.chart.curve(1).points[1] != before).any()


def test_the_page_goes_on_from_a_reading_too(user: User) -> None:
    lens = user.window.lenses.open("kit_page")
    view = lens.view
    assert isinstance(view, KitPage)
    follow(user, lens)
    planned = texts_of(view)
    assert "Battery low: " in planned
    assert "Battery now: " not in planned
    read_now(user, 1, 4, 2.5)
    follow(user, lens)
    user.wait_for(lambda: "Battery now: " in texts_of(view))
    assert "Battery now: 2.5\N{NO-BREAK SPACE}Ah left" in texts_of(view)
    user.window.now.form.plan_wanted.emit()
    follow(user, lens)
    user.wait_for(lambda: "Battery now: " not in texts_of(view))


def texts_of(view: KitPage) -> str:
    """Return all that stands on the sheets shown."""
    marks = [mark for page in view.sheets.preview.pages for mark in page.marks]
    return " ".join(mark.text for mark in marks if isinstance(mark, Text))
