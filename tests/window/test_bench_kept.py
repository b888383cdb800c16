"""Readings typed at the bench stay until they are put in, wherever window and station go."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from beside import fill, find, follow, leave, opened, pick, press, scenario_of, words_on
from PySide6.QtWidgets import QLineEdit
from user import User

from app.pages.field.bench.form import KEPT, BenchForm
from app.pages.field.bench.kept import KeptReadings
from app.pages.field.bench.page import KEPT_ON_CLOSING, BenchPage
from app.pages.lens import Lens
from app.state.loose import LooseEnds
from model.editing.paths import with_inserted, with_moved, with_removed, with_value
from tests.window.day_scenes import four_stations, scene, station

TYPED = {"radio.receive_a": "0.19", "date": "2027-03-01", "room_c": ""}


def form_of(window: Lens, index: int) -> BenchForm:
    return window.view._forms[index]  # type: ignore[attr-defined, no-any-return]


@pytest.fixture
def window(user: User) -> Lens:
    return opened(user, "bench")


def mass_of(user: User, index: int) -> str:
    return f"{scenario_of(user).stations[index].radio.name}: mass"


def text_of(window: Lens, name: str) -> str:
    line = find(window, name, QLineEdit)
    assert isinstance(line, QLineEdit)
    return line.text()


def test_another_station_and_back_leaves_what_was_typed(open_window: Callable[..., User]) -> None:
    user = open_window(scene(*four_stations()[:3], day={"days": 1}))
    window = opened(user, "bench")
    first, second, third = (each.name for each in scenario_of(user).stations)
    typed = {"radio: receive current": "190 mA", "radio: RF power, row 1": "5",
             "room temperature": "25"}  # fmt: skip
    assert KEPT not in words_on(window)
    for name, text in typed.items():
        fill(window, name, text)
    assert KEPT in words_on(window)
    pick(window, "station at the bench", second)
    assert KEPT not in words_on(window)
    # An edit, and the removal of another station, while this one is out of sight.
    user.window.document.edit("stations.0.reserve_fraction", 0.3)
    user.window.sheet.doing.with_station("remove", 2)
    follow(user, window)
    assert third not in [each.name for each in scenario_of(user).stations]
    pick(window, "station at the bench", first)
    assert {name: text_of(window, name) for name in typed} == typed


def test_closing_says_that_readings_are_kept(user: User, window: Lens) -> None:
    leave(user)
    assert user.window.foot.message != KEPT_ON_CLOSING
    window = opened(user, "bench")
    fill(window, mass_of(user, 0), "655")
    leave(user)
    assert user.window.foot.message == KEPT_ON_CLOSING
    window = opened(user, "bench")
    press(window, "Put the readings into the station")
    assert scenario_of(user).stations[0].radio.mass_kg == pytest.approx(0.655)
    leave(user)
    assert form_of(window, 0).typed() == {}


def test_readings_go_with_their_station(user: User, window: Lens) -> None:
    name, mass = scenario_of(user).stations[0].name, mass_of(user, 0)
    fill(window, mass, "655")
    user.window.sheet.doing.with_station("right", 0)
    follow(user, window)
    assert form_of(window, 0).typed() == {}
    pick(window, "station at the bench", name)
    assert text_of(window, mass) == "655"
    user.window.sheet.doing.with_station("remove", 1)
    follow(user, window)
    assert f"Readings typed for {name} are kept" in user.window.foot.message
    assert form_of(window, 0).typed() == {}
    user.window.document.undo_stack.undo()
    follow(user, window)
    pick(window, "station at the bench", name)
    assert text_of(window, mass) == "655"


def test_a_station_renamed_keeps_its_readings(user: User, window: Lens) -> None:
    mass = mass_of(user, 0)
    fill(window, mass, "655")
    user.window.document.edit("stations.0.name", "By another name")
    follow(user, window)
    assert text_of(window, mass) == "655"


def test_a_number_measured_meanwhile_is_asked_for_again_after_undo(
    user: User, window: Lens
) -> None:
    mass = mass_of(user, 0)
    fill(window, mass, "655")
    user.window.document.edit("stations.0.radio.sources.mass_kg", {"from": "measured"})
    follow(user, window)
    assert mass not in [each.accessibleName() for each in window.findChildren(QLineEdit)
                        if each.isVisible()]  # fmt: skip
    assert KEPT in words_on(window)
    user.window.document.undo_stack.undo()
    follow(user, window)
    assert text_of(window, mass) == "655"


def test_a_bare_number_keeps_its_unit_when_units_change(user: User, window: Lens) -> None:
    mass = mass_of(user, 0)
    fill(window, mass, "655")
    fill(window, "room temperature", "20")
    user.choose("View", "US units")
    follow(user, window)
    assert text_of(window, mass) == "655 g"
    assert text_of(window, "room temperature") == "20 °C"
    press(window, "Put the readings into the station")
    assert scenario_of(user).stations[0].radio.mass_kg == pytest.approx(0.655)


def test_a_form_that_nobody_sees_follows_the_units_when_it_is_shown(
    user: User, window: Lens
) -> None:
    mass = mass_of(user, 0)
    fill(window, mass, "655")
    steps = window.view.forms.currentWidget()._steps
    user.window.lenses.look_at("day")
    for _ in range(3):
        user.choose("View", "US units")
    assert window.view.forms.currentWidget()._steps is steps
    user.window.lenses.look_at("field")
    follow(user, window)
    assert window.view.forms.currentWidget()._steps is not steps
    assert text_of(window, mass) == "655 g"


def test_an_edit_that_changes_no_question_leaves_the_lines_as_they_are(
    user: User, window: Lens
) -> None:
    fill(window, mass_of(user, 0), "655")
    steps = window.view.forms.currentWidget()._steps
    user.window.document.edit("stations.0.battery.capacity_ah", 21.0)
    follow(user, window)
    assert window.view.forms.currentWidget()._steps is steps
    assert text_of(window, mass_of(user, 0)) == "655"
    user.window.document.edit("stations.0.radio.mass_kg", 0.933)
    follow(user, window)
    assert window.view.forms.currentWidget()._steps is not steps
    assert "933" in words_on(window)
    assert text_of(window, mass_of(user, 0)) == "655"


def test_stations_are_followed_through_every_kind_of_edit() -> None:
    before = scene(*four_stations())
    fewer = with_removed(before, "stations.3")
    places = {
        "moved": (with_moved(before, "stations.1", 3), 3),
        "one before it gone": (with_removed(before, "stations.0"), 0),
        "a copy beside it": (with_inserted(fewer, "stations", 1, before.stations[1]), 1),
        "a number changed": (with_value(before, "stations.1.radio.receive_a", 0.8), 1),
        "renamed": (with_value(before, "stations.1.name", "anew"), 1),
    }
    for words, (after, place) in places.items():
        kept = KeptReadings(before, None, LooseEnds())
        assert kept.moved({1: TYPED}, after, None) == ({place: TYPED}, ()), words


def test_readings_of_a_file_wait_for_that_file() -> None:
    one, other, path = scene(), scene(station("one box")), Path("one.toml")
    kept = KeptReadings(one, None, LooseEnds())
    kept.take_path(one, path)
    name = one.stations[1].name
    assert name == other.stations[0].name == "one box"
    assert kept.moved({1: TYPED}, other, Path("other.toml")) == ({}, (name,))
    kept.take_path(other, Path("third.toml"))
    assert kept.moved({0: {}}, scene(), path) == ({1: TYPED}, ())
    assert kept.moved({1: {}}, other, Path("other.toml")) == ({}, ())


def test_a_form_is_put_in_its_place_in_the_turn_after_it_is_made(user: User) -> None:
    user.window.lenses.look_at("field")
    lens = user.window.lenses.made["bench"]
    page = lens.view
    assert isinstance(page, BenchPage)
    lens.feed()
    assert page.forms.count() == 0
    # Who leaves before that finds it in its place when coming back.
    user.window.lenses.look_at("day")
    user.settle()
    assert page.forms.count() == 0
    user.window.lenses.look_at("field")
    user.wait_for(lambda: page.forms.currentWidget() is not None)
    assert page.forms.count() == 1
