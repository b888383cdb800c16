"""The uncertainty band on the day: what it shows, what it says, and when it comes and goes."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import date
from functools import lru_cache

import numpy as np
import pytest
from PySide6.QtCore import QCoreApplication, Qt
from PySide6.QtGui import QImage
from pytestqt.qtbot import QtBot
from user import User

from app.pages.day.uncertainty_band import FOLLOWS, band_work
from app.pages.day_view import DayView
from app.state.settings import Settings
from app.widgets.tokens import dark_palette
from model.engine.comparison import Comparison, simulate
from model.odds.odds import Odds, odds
from model.support.figures import NBSP
from model.support.progress import finish
from tests.window.day_scenes import scene, station
from tests.window.told import told_of


@lru_cache
def shown() -> Comparison:
    return simulate(scene())


@lru_cache
def drawn() -> Odds:
    return odds(shown().scenario, 60, basis="forecast")


@pytest.fixture
def view(qtbot: QtBot) -> DayView:
    view = DayView()
    qtbot.addWidget(view)
    view.resize(900, 620)
    view.show()
    view.show_comparison(shown())
    QCoreApplication.processEvents()
    return view


def ends_at(index: int, minute: int) -> tuple[float, float]:
    """Where eight in ten lie, read off the trial trips at a step boundary."""
    found = drawn().stations[index]
    assert found is not None
    step = minute // 10
    return found.low_fraction[step] * 100, found.high_fraction[step] * 100


def changed_rows(before: QImage, after: QImage, column: int) -> list[int]:
    rows = range(before.height())
    return [row for row in rows if before.pixel(column, row) != after.pixel(column, row)]


@pytest.mark.parametrize("is_dark", [False, True])
def test_the_band_is_painted_from_its_lower_to_its_upper_end(view: DayView, is_dark: bool) -> None:
    if is_dark:
        view.setPalette(dark_palette())
    chart, minute = view.chart, 1200
    view.move_cursor(0)
    before = view.picture().convertToFormat(QImage.Format.Format_Grayscale8)
    view.show_band(drawn())
    after = view.picture().convertToFormat(QImage.Format.Format_Grayscale8)
    x = chart.span.px(minute, chart.span.left_px, chart.span.left_px + chart.span.width_px)
    rows = changed_rows(before, after, round(2 * x))
    ends = [end for index in (0, 1) for end in ends_at(index, minute)]
    # Two pixels of the picture to one of the plot; a line and its edge are some pixels wide.
    assert min(rows) / 2 == pytest.approx(chart.charge.height_at(max(ends)), abs=4)
    assert max(rows) / 2 == pytest.approx(chart.charge.height_at(min(ends)), abs=4)


def test_the_read_out_and_those_who_listen_are_told_the_band(view: DayView) -> None:
    view.move_cursor(1200)
    plain = view.card.rows
    assert plain[0].beside == ""
    view.show_band(drawn())
    for index, row in enumerate(view.card.rows):
        low, high = ends_at(index, 1200)
        words = f"between {low:.0f}{NBSP}% and {high:.0f}{NBSP}%"
        assert row.beside == words
        name = shown().scenario.stations[index].name
        assert f"{name} {words} at this minute" in told_of(view)
        # The number itself stands as before.
        assert row.cells == plain[index].cells
    low, high = ends_at(0, 2880)
    words = f"between {low:.0f}{NBSP}% and {high:.0f}{NBSP}% at the end"
    assert words in told_of(view)
    view.show_band(None)
    assert view.card.rows == plain
    assert "between" not in told_of(view)


def test_a_band_follows_the_zoom(view: DayView) -> None:
    view.show_band(drawn())
    view.chart.show_stretch(1140, 1260)
    view.picture()
    edges = view.chart.band._edges[0]
    box = view.chart.charge.view.rect()
    across = [point.x() for point in edges.low]  # type: ignore[attr-defined]
    # One point beyond each side of what is in sight, ten minutes away at most.
    beyond = box.width() / 12
    assert box.left() - beyond - 1 <= min(across) <= box.left()
    assert box.right() <= max(across) <= box.right() + beyond + 1


def test_a_newer_comparison_takes_the_band_away(view: DayView) -> None:
    view.show_band(drawn())
    view.show_comparison(shown())
    assert view.chart.band.isVisible()
    view.show_comparison(simulate(scene(station("another"), station("one more"))), ghost=True)
    assert not view.chart.band.isVisible()
    assert "between" not in told_of(view)
    assert view.card.rows[0].beside == ""


def test_a_station_that_is_not_run_has_no_band(view: DayView) -> None:
    found = drawn()
    half = replace(found, stations=(None, found.stations[1]))
    view.show_comparison(Comparison(shown().scenario, (None, shown().runs[1])))
    view.show_band(half)
    view.picture()
    assert list(view.chart.band._edges) == [1]
    assert view.card.rows[0].beside == ""
    assert view.card.rows[1].beside.startswith("between ")


@pytest.fixture
def user(open_window: Callable[..., User]) -> User:
    """A person before one kit that lasts the day: its advice is soon there."""
    return open_window(scene(station("the only one"), day={"days": 1}))


def band_of(user: User) -> Odds | None:
    return user.window.day.chart.band.spread


def title_of(user: User) -> str:
    return str(user.window.day.chart.charge.title)


def toggle(user: User) -> None:
    user.press(Qt.Key.Key_B, Qt.KeyboardModifier.ControlModifier)


def test_the_band_comes_by_choice_and_goes_with_an_edit(user: User) -> None:
    user.settle_all()
    assert band_of(user) is None
    assert title_of(user) == "Charge, %"
    toggle(user)
    assert user.action("View", "Uncertainty band").isChecked()
    assert FOLLOWS in user.window.foot.message
    user.wait_for(lambda: band_of(user) is not None)
    assert "8 of 10 trial trips" in title_of(user)
    scenario = user.window.document.scenario
    expected = finish(band_work(scenario)).stations[0]
    found = band_of(user).stations[0]  # type: ignore[union-attr]
    assert expected is not None
    assert found is not None
    assert np.array_equal(found.low_fraction, expected.low_fraction)
    user.fill("station 1, charge at the start", "60")
    assert band_of(user) is None
    user.wait_for(lambda: band_of(user) is not None)
    low, high = band_of(user).within(0, 0.0)  # type: ignore[union-attr, misc]
    assert low < 0.6 < high < 0.7
    toggle(user)
    assert band_of(user) is None
    assert title_of(user) == "Charge, %"


def test_an_edit_ends_the_draws_and_a_late_band_is_dropped(user: User) -> None:
    user.settle_all()
    toggle(user)
    assert not user.window.doubt.is_settled
    user.window.document.edit("day.date", date(2027, 6, 1))
    assert user.window.doubt.is_settled
    user.wait_for(lambda: band_of(user) is not None)
    assert band_of(user).scenario is user.window.document.scenario  # type: ignore[union-attr]


def test_the_choice_is_remembered(user: User, open_window: Callable[..., User]) -> None:
    toggle(user)
    user.window.close()
    second = open_window(scene(station("the only one"), day={"days": 1}))
    assert second.action("View", "Uncertainty band").isChecked()
    second.wait_for(lambda: band_of(second) is not None)
    toggle(second)
    assert not Settings().shows_band
