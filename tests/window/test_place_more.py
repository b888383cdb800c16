"""The rest of place and day: the horizon typed as pairs, and the typical months."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from PySide6.QtCore import Qt
from user import User

from app.resources import resource
from app.state.starting import first_scenario
from model.editing.paths import with_value
from model.files.scenario_file import dump_scenario, parse_scenario, read_scenario

HORIZON = "site, horizon"


@pytest.fixture
def user(open_window: Callable[..., User]) -> User:
    opened = open_window(read_scenario(resource("scenarios/ridge-weekend.toml")))
    opened.window.place_sheet.open_sheet()
    return opened


def test_a_typed_horizon_is_drawn_and_undone_in_one_step(user: User) -> None:
    before = user.window.document.scenario
    user.fill(HORIZON, "0 3, 60 6,5, 90 9")
    points = ((0.0, 3.0), (60.0, 6.5), (90.0, 9.0))
    assert user.window.document.scenario.site.horizon == points
    assert user.window.horizon.points == points
    assert user.reads(HORIZON) == "0 3, 60 6.5, 90 9"
    user.window.document.undo_stack.undo()
    assert user.window.document.scenario == before


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ("0 3, 60", '"60" is no pair of numbers: write pairs of azimuth (true) and elevation in'),
        ("0 3, 400 6", "the azimuth must lie between 0 and 360 degrees"),
        ("0 3, 60 95", "the elevation must lie between 0 and 90 degrees"),
        ("north 3", '"north 3" is no pair of numbers'),
        ("0 -3", '"0 -3" is no pair of numbers'),
    ],
)
def test_a_wrong_pair_is_refused_with_one_sentence(user: User, typed: str, words: str) -> None:
    before = user.window.document.scenario
    user.fill(HORIZON, typed, leave=False)
    assert words in user.note_under(HORIZON)
    assert user.window.document.scenario == before
    user.press(Qt.Key.Key_Escape)
    assert user.note_under(HORIZON) == ""


def test_the_sketch_changes_the_text(user: User) -> None:
    user.fill(HORIZON, "")
    assert user.window.document.scenario.site.horizon == ()
    user.window.horizon.setFocus()
    user.press(Qt.Key.Key_PageUp)
    assert user.reads(HORIZON) == "175 0, 180 5, 185 0"


def test_a_month_is_typed_and_kept_in_the_file(user: User) -> None:
    with_climate = user.window.document.scenario.climate is not None
    if not with_climate:
        user.click("Add a climate")
    user.fill("climate, low in January", "-4,5")
    user.fill("climate, clearness in December", "0.31")
    climate = user.window.document.scenario.climate
    assert climate is not None
    assert (climate.low_c[0], climate.clearness[11]) == (-4.5, 0.31)
    again = parse_scenario(dump_scenario(user.window.document.scenario).encode())
    assert again.climate == climate


def test_a_month_refused_is_named_under_the_table_and_escape_restores_it(user: User) -> None:
    if user.window.document.scenario.climate is None:
        user.click("Add a climate")
    before = user.reads("climate, clearness in May")
    user.fill("climate, clearness in May", "9", leave=False)
    assert user.sees("climate, clearness in May: Must be at most 1, got 9.")
    user.press(Qt.Key.Key_Escape)
    assert user.reads("climate, clearness in May") == before
    assert not user.sees("Must be at most 1")


def test_months_begin_with_the_weather_of_the_day_and_go_again(
    open_window: Callable[..., User], library: object
) -> None:
    bare = with_value(first_scenario(library), "climate", None)
    user = open_window(bare)
    user.window.place_sheet.open_sheet()
    user.click("Add a climate")
    climate = user.window.document.scenario.climate
    assert climate is not None
    assert climate.low_c == bare.day.low_c[:1] * 12
    user.click("Remove the climate")
    assert user.window.document.scenario.climate is None
    user.window.document.undo_stack.undo()
    assert user.reads("climate, low in March") == user.reads("climate, low in July")
    user.window.document.undo_stack.undo()
    assert user.window.document.scenario == bare
    assert user.window.document.undo_stack.canUndo() is False


def test_months_are_shown_and_read_in_the_units_chosen(user: User) -> None:
    if user.window.document.scenario.climate is None:
        user.click("Add a climate")
    user.fill("climate, high in July", "20")
    user.window.display.set_us(True)
    assert user.reads("climate, high in July") == "68"
    user.fill("climate, high in July", "86")
    climate = user.window.document.scenario.climate
    assert climate is not None
    assert climate.high_c[6] == pytest.approx(30.0)


def test_a_place_in_the_climate_is_found_by_its_path(user: User) -> None:
    if user.window.document.scenario.climate is None:
        user.click("Add a climate")
    user.window.ways.jump_to("climate.high_c.3")
    assert user.window.focusWidget().accessibleName() == "climate, high in April"
