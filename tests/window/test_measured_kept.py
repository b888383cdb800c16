"""A number that a log or the bench measured goes into the person's library by a click."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date

import pytest
from beside import fill, find, follow, leave, opened, press, scenario_of, words_on
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QAbstractButton, QApplication, QScrollArea
from user import User

from app.pages.lens import Lens
from app.pages.library.page import NAMELESS, NOTHING_NEW
from app.pages.library.place import own_folder
from app.pages.view import KEEP_MEASURED
from app.resources import resource
from model.editing.paths import with_value
from model.library.new_station import new_station
from model.library.store import load
from model.scenario.scenario import Block, Day, Scenario, Site

PACK = "LFP 15 Ah"


@pytest.fixture
def user(open_window: Callable[..., User]) -> User:
    light = new_station("Light", "Screen all-mode, 10 W", PACK, load(resource("assets/parts")))
    return open_window(
        Scenario(
            site=Site(latitude_deg=46.0, longitude_deg=11.0),
            day=Day(date=date(2027, 3, 1)),
            plan=(Block(start="00:00", end="24:00", activity="watch"),),
            stations=(light,),
        )
    )


def click(lens: Lens, start: str) -> None:
    """Scroll to a button and click on the middle of it, where nothing may lie over it."""
    QApplication.processEvents()
    [button] = [
        each
        for each in lens.findChildren(QAbstractButton)
        if each.isVisible() and (each.accessibleName() or each.text()).startswith(start)
    ]
    assert button.isEnabled()
    above = button.parentWidget()
    while above is not None:
        if isinstance(above, QScrollArea):
            above.ensureWidgetVisible(button)
        above = above.parentWidget()
    QApplication.processEvents()
    window = lens.window()
    middle = button.mapTo(window, QPoint(button.width() // 2, button.height() // 2))
    hit = window.childAt(middle)
    assert hit is button, f"{start!r} is covered by {hit}"
    QTest.mouseClick(button, Qt.MouseButton.LeftButton)


def logged_end(user: User) -> Lens:
    """Type a log of a pack that is empty after 7.5 Ah of its 15."""
    lens = opened(user, "field_check")
    for at, used_ah in (("06:00", "2.64"), ("12:00", "4.92"), ("18:00", "7.2")):
        for name, text in (("reading, time", at), ("reading, used since full", used_ah)):
            fill(lens, name, text)
        press(lens, "Add to the log")
        follow(user, lens)
    box = find(lens, "reading, seen", type(lens.view.check._form._seen))
    box.setCurrentIndex(1)
    fill(lens, "reading, time", "18:40")
    press(lens, "Add to the log")
    follow(user, lens)
    return lens


def test_a_kept_offer_of_the_log_goes_into_the_library_by_a_click(user: User) -> None:
    lens = logged_end(user)
    assert "The battery gives about" in words_on(lens)
    click(lens, f"update: {PACK}")
    follow(user, lens)
    battery = scenario_of(user).stations[0].battery
    source = battery.source_of("tested_fraction")
    assert battery.tested_fraction < 0.7
    assert (source.origin, source.on) == ("measured", date(2027, 3, 1))
    click(lens, KEEP_MEASURED)
    follow(user, user.window.lenses.made["library"])
    # The library is in sight, with the part chosen, and says what was put into it.
    shown = user.window.lenses.made["library"]
    assert shown.isVisible()
    assert user.window.foot.message == f"Measured numbers saved to your library: {PACK}"
    assert shown.view.browser.selected().name == PACK
    assert user.window.lenses.made["library"].view.shelf.held(battery) is not None
    # Again there is nothing new, from the log as from the bench.
    for key in ("field_check", "bench"):
        click(opened(user, key), KEEP_MEASURED)
        assert user.window.foot.message == NOTHING_NEW
    leave(user)
    shown.view.shelf.close()
    kept = load(own_folder()).find("battery", PACK)
    assert kept.tested_fraction == battery.tested_fraction
    assert kept.source_of("tested_fraction") == source
    assert kept.capacity_ah == 15.0


def test_a_number_of_the_bench_goes_into_the_library_and_can_be_undone(user: User) -> None:
    lens = opened(user, "bench")
    radio = scenario_of(user).stations[0].radio
    fill(lens, f"{radio.name}: mass", "655")
    press(lens, "Put the readings into the station")
    follow(user, lens)
    click(lens, KEEP_MEASURED)
    shelf = user.window.lenses.made["library"].view.shelf
    assert shelf.held(radio).mass_kg == pytest.approx(0.655)
    shelf.undo()
    assert shelf.held(radio).mass_kg == radio.mass_kg


def test_a_measured_part_without_a_name_is_said_to_need_one(user: User) -> None:
    document = user.window.document
    nameless = with_value(scenario_of(user), "stations.0.radio.name", "")
    document.replace("no name", nameless)
    document.edit("stations.0.radio.sources.receive_a", {"from": "measured"})
    lens = opened(user, "field_check")
    click(lens, KEEP_MEASURED)
    assert user.window.foot.message == NAMELESS
