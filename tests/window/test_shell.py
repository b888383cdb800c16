"""The window's own parts: top line, sides, drawer, foot, and how it opens on any screen."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QRect, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QLineEdit, QWidget
from user import User

from app.pages.day.lens import charge_height_px
from app.widgets.fitting import fit_in

SCREENS = ((1024, 600), (1366, 768), (1920, 1080), (2560, 1440), (3840, 2160))


@pytest.mark.parametrize("size", SCREENS)
@pytest.mark.parametrize("percent", [100, 200])
def test_it_opens_within_what_a_screen_has_free(
    user: User, size: tuple[int, int], percent: int
) -> None:
    user.window.display.set_text_percent(percent)
    free = QRect(0, 28, size[0], size[1] - 28)
    user.window.resize(5000, 4000)
    user.window.move(900, 700)
    fit_in(user.window, free)
    user.let_appear()
    assert free.contains(user.window.geometry())


def test_the_line_of_place_and_day_opens_them_and_escape_closes_them(user: User) -> None:
    line = user.window.place_line
    assert "Harrow Ridge" in line.text()
    assert "Sat 17 – Mon 19 Apr 2027" in line.text()
    assert not user.window.place.isVisible()
    QTest.mouseClick(line, Qt.MouseButton.LeftButton)
    assert user.window.place.isVisible()
    user.fill("site, place", "North Fell")
    assert "North Fell" in line.text()
    user.press(Qt.Key.Key_Escape)
    assert not user.window.place.isVisible()


def test_place_and_day_close_when_the_keyboard_goes_elsewhere(user: User) -> None:
    user.choose("Go", "Place and day")
    assert user.window.place.isVisible()
    user.find("station 1, reserve", QLineEdit).setFocus()
    assert not user.window.place.isVisible()


def test_temperatures_of_the_line_follow_the_units(user: User) -> None:
    assert "°C" in user.window.place_line.text()
    user.choose("View", "US units")
    assert "°F" in user.window.place_line.text()


def test_the_sky_of_a_date_is_chosen_in_the_line(user: User) -> None:
    button = user.window.sky._buttons[1]
    user.choose_from(button.menu(), "rain")
    assert user.window.document.scenario.day.sky[1] == "rain"
    assert button.text() == "Sun rain"
    user.window.document.undo_stack.undo()
    assert button.text() != "Sun rain"


def test_more_dates_than_fit_stand_behind_one_button(user: User) -> None:
    assert not user.sees("Sky of all")
    user.fill("day, days", "5")
    user.click("Sky of all 6 dates…")
    assert user.window.place.sky_days.isVisible()


def test_the_foot_counts_the_findings_and_leads_to_them(user: User) -> None:
    assert user.sees("no life should rest on it")
    user.click("3 findings")
    focused = user.window.focusWidget()
    assert focused is not None
    assert user.window.foot.list.isAncestorOf(focused)
    user.press(Qt.Key.Key_Escape)
    assert not user.window.foot.list.isVisible()


def test_without_room_for_both_the_stations_are_a_drawer(user: User) -> None:
    user.window.display.set_text_percent(200)
    user.let_appear()
    assert not user.window.sheet.isVisible()
    user.click("Stations")
    assert user.window.sheet.isVisible()
    assert at_its_middle(user.find("Stations"))
    user.click("Stations")
    assert not user.window.sheet.isVisible()
    user.click("Stations")
    QTest.keyClick(user.window.sides, Qt.Key.Key_Escape)
    assert not user.window.sheet.isVisible()
    user.window.ways.jump_to("stations.0.reserve_fraction")
    assert user.window.sheet.isVisible()
    user.window.display.set_text_percent(100)
    user.let_appear()
    assert user.window.sheet.isVisible()
    assert user.window.day.isVisible()


def test_the_divide_is_dragged_and_stays(user: User) -> None:
    sides = user.window.sides
    sides._on_moved(500)
    assert user.window.left.width() == pytest.approx(500, abs=1)
    user.window.resize(1400, 768)
    user.let_appear()
    assert user.window.left.width() == pytest.approx(500 * 1400 / 1366, abs=2)


# The shares are those the project's design asks for: 40 % at 1366 x 768, 45 % from 1920 x 1080,
# 28 % at 1024 x 600 and with large text, 200 px with the largest.
@pytest.mark.parametrize(
    ("size", "percent", "least_px"),
    [
        ((1024, 600), 100, 168), ((1366, 768), 100, 307), ((1920, 1080), 100, 486),
        ((2560, 1440), 100, 648), ((1366, 768), 150, 215), ((1920, 1080), 150, 302),
        ((1366, 768), 200, 200), ((1024, 600), 200, 200),
    ],
)  # fmt: skip
def test_the_charge_has_its_share_of_the_window(
    user: User, size: tuple[int, int], percent: int, least_px: int
) -> None:
    user.window.resize(*size)
    user.window.display.set_text_percent(percent)
    user.let_appear()
    assert charge_height_px(user.window.size(), percent / 100) >= least_px
    assert user.window.day.chart.charge.place.height() >= least_px


def at_its_middle(widget: QWidget) -> bool:
    """Whether nothing lies over a widget where a person would click it."""
    window = widget.window()
    return window.childAt(widget.mapTo(window, widget.rect().center())) is widget
