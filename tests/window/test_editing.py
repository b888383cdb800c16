"""Changing numbers: what is typed counts at once, undoes once, and is never lost."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QSignalSpy, QTest
from PySide6.QtWidgets import QLineEdit
from user import User

from model.editing.paths import value_at

# A menu that opens grabs the keyboard, which the offscreen platform cannot.
pytestmark = pytest.mark.qt_log_ignore("does not support grabbing the keyboard", extend=True)
RECEIVE = "station 2, radio, receive current"
READ_RECEIVE = "station B, radio, receive current"


def test_typing_a_number_runs_once_and_undoes_once(user: User) -> None:
    user.open(2, "Radio")
    before = user.window.document.scenario
    runs = QSignalSpy(user.window.session.comparison_changed)
    field = user.find(RECEIVE, QLineEdit)
    field.setFocus()
    field.selectAll()
    QTest.keyClicks(field, "0.125")
    user.settle()
    assert runs.count() == 1
    assert value_at(user.window.document.scenario, "stations.1.radio.receive_a") == 0.125
    user.choose("Edit", f"Undo change of {READ_RECEIVE}")
    assert user.window.document.scenario == before
    assert user.reads(RECEIVE) == "1.2"
    assert not user.window.document.undo_stack.canUndo()


def test_two_visits_to_one_field_are_two_steps(user: User) -> None:
    user.open(2, "Radio")
    user.fill(RECEIVE, "0.5")
    user.fill(RECEIVE, "0.25")
    user.choose("Edit", f"Undo change of {READ_RECEIVE}")
    assert user.reads(RECEIVE) == "0.5"


def test_the_undo_key_undoes_the_change_while_the_keyboard_is_in_the_field(user: User) -> None:
    user.open(2, "Radio")
    before = user.window.document.scenario
    user.fill(RECEIVE, "0.5", leave=False)
    user.window.activateWindow()
    user.find(RECEIVE).setFocus()
    user.press(Qt.Key.Key_Z, Qt.KeyboardModifier.ControlModifier)
    assert user.window.document.scenario == before
    assert user.reads(RECEIVE) == "1.2"
    both = Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.ShiftModifier
    user.press(Qt.Key.Key_Z, both)
    assert user.reads(RECEIVE) == "0.5"


def test_the_new_number_changes_what_the_window_says(user: User) -> None:
    user.click("In words")
    assert user.sees("B ends first")
    user.open(2, "Radio")
    user.fill(RECEIVE, "0.1")
    user.click("In words")
    assert not user.sees("B ends first")
    assert "receive current 0.1 A" in user.line(2, "Radio")


@pytest.mark.parametrize("typed", ["0,25", "0.25 A", "0.25", ".25"])
def test_a_decimal_comma_and_a_unit_are_understood(user: User, typed: str) -> None:
    user.open(2, "Radio")
    user.fill(RECEIVE, typed)
    assert value_at(user.window.document.scenario, "stations.1.radio.receive_a") == 0.25
    assert user.reads(RECEIVE) == "0.25"


@pytest.mark.parametrize(
    ("typed", "value", "sentence"),
    [
        ("190 mA", 0.19, "190 mA is 0.19 A."),
        ("3 W at 12 V", 0.25, "3 W at 12 V is 0.25 A."),
        # Four cells of lithium iron phosphate are 12.8 V.
        ("3.2 W", 0.25, "3.2 W at 12.8 V is 0.25 A."),
    ],
)
def test_what_was_understood_of_another_unit_is_said_while_it_is_typed(
    user: User, typed: str, value: float, sentence: str
) -> None:
    user.open(2, "Radio")
    user.fill(RECEIVE, typed, leave=False)
    assert user.note_under(RECEIVE) == f"• {sentence}"
    assert value_at(user.window.document.scenario, "stations.1.radio.receive_a") == value
    user.press(Qt.Key.Key_Tab)
    assert user.note_under(RECEIVE) == ""
    assert user.reads(RECEIVE) == f"{value}"
    user.choose("Edit", "Undo change of station B, radio, receive current")
    assert user.window.document.is_clean


@pytest.mark.parametrize(
    ("typed", "sentence"),
    [
        ("3 V", '"3 V" is not understood: write "850 mA", "2.5 A" or "11 W at 12.8 V".'),
        ("many", '"many" is not a number in A.'),
        ("-1", "Must be at least 0 A, got -1."),
        ("101", "Must be at most 100 A, got 101."),
        ("1,250", "1,250 can be read two ways: write 1250 or use a point."),
        ("", "A number is needed here in A."),
    ],
)
def test_bad_text_stays_and_says_what_would_be_right(user: User, typed: str, sentence: str) -> None:
    user.open(2, "Radio")
    before = user.window.document.scenario
    user.fill(RECEIVE, typed)
    assert user.reads(RECEIVE) == typed
    assert sentence in user.note_under(RECEIVE)
    assert user.window.document.scenario == before
    assert user.window.document.is_clean
    user.fill(RECEIVE, "0.5")
    assert user.note_under(RECEIVE) == ""


def test_bounds_are_said_in_the_unit_shown(user: User) -> None:
    user.fill("station 1, reserve", "120")
    assert "Must be less than 100 %, got 120." in user.note_under("station 1, reserve")
    user.fill("station 1, reserve", "35")
    assert user.window.document.scenario.stations[0].reserve_fraction == 0.35


def test_an_optional_number_may_be_empty(user: User) -> None:
    user.open(2, "Radio")
    user.fill("station 2, radio, minimum voltage on receive", "")
    assert user.window.document.scenario.stations[1].radio.receive_min_v is None


def test_arrow_keys_step_a_number(user: User) -> None:
    user.open(2, "Radio")
    field = user.find(RECEIVE, QLineEdit)
    field.setFocus()
    QTest.keyClick(field, Qt.Key.Key_Down)
    user.settle()
    assert user.window.document.scenario.stations[1].radio.receive_a == pytest.approx(1.1)


def test_a_choice_brings_the_fields_that_go_with_it(user: User) -> None:
    user.open(1, "Panel")

    def labels() -> set[str]:
        return {row.label for row in user.window.sheet.sheet.rows}

    for station in (1, 2):
        user.pick(f"station {station}, panel, mount", "flat on the ground")
    assert not labels() & {"Tilt", "Re-aimed every"}
    user.pick("station 1, panel, mount", "fixed")
    assert labels() & {"Tilt", "Re-aimed every"} == {"Tilt"}
    user.pick("station 2, panel, mount", "re-aimed")
    assert labels() >= {"Tilt", "Re-aimed every"}


def test_days_leave_the_weather_as_it_was_given(user: User) -> None:
    given = user.window.document.scenario.day
    assert user.reads("day, sky by date") == "mostly clear; mixed"
    user.fill("day, days", "4")
    assert user.reads("day, sky by date") == "mostly clear; mixed"
    user.fill("day, days", "1")
    now = user.window.document.scenario.day
    assert (now.sky, now.low_c, now.high_c) == (given.sky, given.low_c, given.high_c)


def test_a_key_down_curve_gains_and_loses_rows(user: User) -> None:
    user.open(2, "Radio")
    points = value_at(user.window.document.scenario, "stations.1.radio.key_down")
    QTest.keyClick(user.find("station 2, radio, key-down current"), Qt.Key.Key_Return)
    user.settle()
    user.click("add a row to station 2, radio, key-down current")
    assert len(user.window.document.scenario.stations[1].radio.key_down) == len(points) + 1
    user.click(f"remove station 2, radio, key-down current, point {len(points) + 1}")
    assert user.window.document.scenario.stations[1].radio.key_down == points


def test_where_a_number_comes_from_changes_what_rests_on_guesses(user: User) -> None:
    user.open(2, "Radio")
    path = "stations.1.radio.sources.receive_a"
    for words, origin in (("A guess", "guess"), ("Measured", "measured")):
        index = user.cell(RECEIVE)
        assert index is not None
        user.cell_menu_at(index, words)
        assert value_at(user.window.document.scenario, path).origin == origin
        spoken = str(index.data(Qt.ItemDataRole.AccessibleTextRole))
        assert (", a guess" in spoken) == (origin == "guess")


def test_undo_of_everything_and_redo_of_everything(user: User) -> None:
    first = user.window.document.scenario
    user.open(1, "Battery")
    user.fill("station 1, battery, rated capacity", "22")
    user.pick("station 1, battery, chemistry", "lead-acid (AGM)")
    user.fill("station 1, reserve", "50")
    last = user.window.document.scenario
    stack = user.window.document.undo_stack
    while stack.canUndo():
        stack.undo()
    assert user.window.document.scenario == first
    while stack.canRedo():
        stack.redo()
    assert user.window.document.scenario == last


def test_notes_are_plain_text(user: User, open_window: Callable[..., User]) -> None:
    user.fill("station 1, name", "<b>A</b> & B")
    assert user.window.document.scenario.stations[0].name == "<b>A</b> & B"
    assert user.sees("<b>A</b> & B")


def test_escape_gives_up_what_was_refused(user: User) -> None:
    user.open(2, "Radio")
    user.fill(RECEIVE, "much", leave=False)
    user.press(Qt.Key.Key_Escape)
    assert user.reads(RECEIVE) == "1.2"
    assert user.note_under(RECEIVE) == ""


def test_date_spread_and_note_of_a_measurement_are_kept(user: User) -> None:
    user.open(2, "Radio")
    index = user.cell(RECEIVE)
    assert index is not None
    user.cell_menu_at(index, "Measured")
    user.cell_menu_at(index, "Date, spread and note…")
    user.fill(f"date of measuring {RECEIVE}", "2027-02-30")
    assert user.sees("A date reads 2027-03-01.")
    user.fill(f"date of measuring {RECEIVE}", "2027-02-28")
    user.fill(f"spread of {RECEIVE} in per cent", "4")
    user.fill(f"note on the source of {RECEIVE}", "light off")
    source = value_at(user.window.document.scenario, "stations.1.radio.sources.receive_a")
    assert (str(source.on), source.spread, source.note) == ("2027-02-28", 0.04, "light off")
    assert user.sees("measured on 2027-02-28, ±4 %. light off")


def test_two_typed_places_behind_a_pause_are_two_steps(user: User) -> None:
    user.open(2, "Radio")
    user.fill(RECEIVE, "0.5", leave=False)
    user.window.document.end_burst()
    QTest.keyClicks(user.find(RECEIVE), "5")
    user.settle()
    assert user.reads(RECEIVE) == "0.55"
    user.choose("Edit", f"Undo change of {READ_RECEIVE}")
    assert user.reads(RECEIVE) == "0.5"
