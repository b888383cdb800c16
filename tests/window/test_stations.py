"""Building stations: parts from the library, copies, and stations added, moved and removed."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QPushButton, QToolButton
from user import User

from model.library.catalogue import Library
from model.scenario.scenario import STATIONS_LIMIT
from model.station.carried_mass import carried_total
from tests.plain import plain

# A menu that opens grabs the keyboard, which the offscreen platform cannot.
pytestmark = pytest.mark.qt_log_ignore("does not support grabbing the keyboard", extend=True)


def names(user: User) -> list[str]:
    return [station.name for station in user.window.document.scenario.stations]


def part_menu(user: User, station: int, kind: str, title: str) -> None:
    """Open the part's own menu and choose from it."""
    form = next(
        fold.body
        for fold in user.window.stations.columns[station - 1].folds
        if fold.path.endswith(kind)
    )
    form._menu.aboutToShow.emit()
    user.choose_from(form._menu, title)


def station_menu(user: User, station: int, title: str) -> None:
    column = user.window.stations.columns[station - 1]
    column._menu.aboutToShow.emit()
    user.choose_from(column._menu, title)


def test_a_part_is_chosen_from_the_library(user: User, library: Library) -> None:
    radio = library.of("radio")[0]
    user.open(2, "Radio")
    user.click("choose another radio")
    menu = user.window.stations._menu
    assert menu.isVisible()
    user.choose_from(menu, radio.name)
    assert user.window.document.scenario.stations[1].radio == radio
    assert radio.name in user.line(2, "Radio")
    user.choose("Edit", f"Undo {radio.name} for One box, 100 W")
    assert "one-box" in user.line(2, "Radio")


def test_an_empty_slot_offers_the_library_in_place(user: User, library: Library) -> None:
    assert "none" in user.line(2, "Amplifier")
    user.open(2, "Amplifier")
    amplifier = library.of("amplifier")[0]
    button = next(text for text in user.visible_texts() if text.startswith(f"add {amplifier.name}"))
    user.click(button)
    assert user.window.document.scenario.stations[1].amplifier == amplifier
    assert user.sees("low-pass filter"), "an amplifier comes with its cautions"
    part_menu(user, 2, "amplifier", "Remove")
    assert user.window.document.scenario.stations[1].amplifier is None
    assert "none" in user.line(2, "Amplifier")


def test_one_slot_is_copied_to_the_other_station(user: User) -> None:
    user.open(1, "Radio")
    part_menu(user, 1, "radio", "Copy to One box, 100 W")
    stations = user.window.document.scenario.stations
    assert stations[1].radio == stations[0].radio
    assert stations[1].battery != stations[0].battery or stations[1].panel is not None


def test_needed_parts_cannot_be_removed(user: User) -> None:
    user.open(1, "Battery")
    with pytest.raises(AssertionError, match="Remove"):
        part_menu(user, 1, "battery", "Remove")


def test_an_extra_carried_by_all_weighs_on_every_station(user: User) -> None:
    def other_kg() -> float:
        text = next(t for t in user.visible_texts() if t.endswith("3 leads"))
        return float(plain(text).split(" kg")[0])

    before = other_kg()
    shared = [e for e in user.window.document.scenario.stations[0].extras if e.shared_by_all]
    user.open(1, "Extras")
    index = next(
        i
        for i, extra in enumerate(user.window.document.scenario.stations[0].extras)
        if extra.mass_kg
    )
    user.open(1, f"Extra {index + 1}")
    box = user.find(f"station 1, extra {index + 1}, all stations carry this")
    was_shared = box.isChecked()
    user.click(f"station 1, extra {index + 1}, all stations carry this")
    mass = user.window.document.scenario.stations[0].extras[index].mass_kg
    expected = before - mass if was_shared else before + mass
    assert other_kg() == pytest.approx(expected, abs=0.011)
    assert was_shared == (len(shared) > 0 and shared[0].mass_kg == mass)


def test_leads_are_added_duplicated_and_removed(user: User) -> None:
    count = len(user.window.document.scenario.stations[0].leads)
    user.open(1, "Leads")
    column = user.window.stations.columns[0]
    fold = next(fold for fold in column.folds if fold.path.endswith("leads"))
    fold._add.click()
    menu = user.window.stations._menu
    user.choose_from(menu, menu.actions()[0].text().split("\t")[0])
    assert len(user.window.document.scenario.stations[0].leads) == count + 1
    user.open(1, f"Lead {count + 1}")
    entry = fold._entries[count]
    entry.body._menu.aboutToShow.emit()
    user.choose_from(entry.body._menu, "Duplicate")
    assert len(user.window.document.scenario.stations[0].leads) == count + 2
    entry.body._menu.aboutToShow.emit()
    user.choose_from(entry.body._menu, "Remove")
    assert len(user.window.document.scenario.stations[0].leads) == count + 1


def test_stations_are_added_up_to_four(user: User) -> None:
    while len(names(user)) < STATIONS_LIMIT:
        user.choose("Station", "Add a station")
    assert not user.action("Station", "Add a station").isEnabled()
    assert len(set(names(user))) == STATIONS_LIMIT
    assert user.window.session.comparison is not None
    assert None not in user.window.session.comparison.runs


def test_a_station_is_duplicated_renamed_moved_and_removed(user: User) -> None:
    station_menu(user, 1, "Duplicate")
    assert names(user) == [
        "Low power and amplifier",
        "Low power and amplifier (copy)",
        "One box, 100 W",
    ]
    user.fill("station 2, name", "Third way")
    station_menu(user, 2, "Move to the left")
    assert names(user)[:2] == ["Third way", "Low power and amplifier"]
    station_menu(user, 2, "Remove")
    assert names(user) == ["Third way", "One box, 100 W"]
    station_menu(user, 2, "Remove")
    assert names(user) == ["Third way"]
    column = user.window.stations.columns[0]
    column._menu.aboutToShow.emit()
    assert not next(a for a in column._menu.actions() if a.text() == "Remove").isEnabled()


def test_commands_go_to_the_station_the_keyboard_is_in(user: User) -> None:
    user.find("station 2, name").setFocus()
    user.choose("Station", "Duplicate")
    assert names(user)[1:] == ["One box, 100 W", "One box, 100 W (copy)"]


def test_opened_parts_move_with_their_station(user: User) -> None:
    user.open(1, "Battery")
    station_menu(user, 1, "Move to the right")
    assert user.sees("Chemistry")
    column = user.window.stations.columns[1]
    assert "battery" in column.open_slots()


def test_power_is_matched_on_request(user: User) -> None:
    user.open(1, "Amplifier")
    assert not user.sees("Same RF power")
    part_menu(user, 1, "amplifier", "Remove")
    assert user.sees("A transmits 10\xa0W, B 100\xa0W: 10\xa0dB or 1.7 S-units more.")
    user.click("Same RF power")
    powers = {block.rf_w for block in user.window.document.scenario.plan if block.sends}
    assert powers == {10.0}
    assert not user.sees("A transmits 10\xa0W")


def test_what_a_station_carries_stands_under_its_name(user: User) -> None:
    stations = user.window.document.scenario.stations
    mass_kg = carried_total(
        stations[1], tuple(e for e in stations[0].extras if e.shared_by_all)
    ).mass_kg
    assert user.sees(f"{mass_kg:.2f} kg, 9 items, 3 leads")


def test_every_line_can_be_opened_with_the_keyboard(user: User) -> None:
    column = user.window.stations.columns[0]
    for button in column.findChildren(QToolButton):
        if button.isCheckable():
            button.setFocus()
            user.press(Qt.Key.Key_Space)
            assert button.isChecked()
            user.press(Qt.Key.Key_Space)
            assert not button.isChecked()
    assert column.findChildren(QPushButton), "bodies stay built once opened"


def test_a_station_goes_while_the_keyboard_is_in_its_name(user: User) -> None:
    user.find("station 2, name").setFocus()
    user.choose("Station", "Remove")
    assert names(user) == ["Low power and amplifier"]
    user.choose("Edit", "Undo removal of One box, 100 W")
    assert names(user)[1:] == ["One box, 100 W"]


@pytest.mark.parametrize("field", ["reserve", "battery, rated capacity"])
def test_a_station_goes_while_the_keyboard_is_in_a_number(user: User, field: str) -> None:
    user.open(2, "Battery")
    user.find(f"station 2, {field}").setFocus()
    user.choose("Station", "Remove")
    assert names(user) == ["Low power and amplifier"]


def test_a_part_goes_while_the_keyboard_is_in_it(user: User) -> None:
    user.open(1, "Amplifier")
    user.find("station 1, amplifier, standby current").setFocus()
    part_menu(user, 1, "amplifier", "Remove")
    assert user.window.document.scenario.stations[0].amplifier is None


@pytest.mark.parametrize("kept", [1, 2])
def test_a_refused_text_goes_with_its_station(user: User, kept: int) -> None:
    capacity = "station 1, battery, rated capacity"
    user.open(1, "Battery")
    user.open(2, "Battery")
    gone = 3 - kept
    same = user.reads(capacity)
    user.fill("station 2, battery, rated capacity", same)
    user.fill(f"station {gone}, battery, rated capacity", "much")
    station_menu(user, gone, "Remove")
    assert user.reads(capacity) == same
    assert user.note_under(capacity) == ""
    station_menu(user, 1, "Duplicate")
    assert user.window.stations.columns[1].open_slots() == set()
    user.open(2, "Battery")
    assert user.reads("station 2, battery, rated capacity") == same
    assert user.note_under("station 2, battery, rated capacity") == ""


def test_what_is_open_stays_with_its_station_through_undo(user: User) -> None:
    user.open(2, "Battery")
    user.open(1, "Radio")

    def opened() -> list[set[str]]:
        return [column.open_slots() for column in user.window.stations.columns]

    assert opened() == [{"radio"}, {"battery"}]
    station_menu(user, 2, "Move to the left")
    assert opened() == [{"battery"}, {"radio"}]
    station_menu(user, 1, "Remove")
    assert opened() == [{"radio"}]
    user.window.document.undo_stack.undo()
    assert opened() == [{"battery"}, {"radio"}]
    user.window.document.undo_stack.undo()
    assert opened() == [{"radio"}, {"battery"}]
    user.window.document.undo_stack.redo()
    assert opened() == [{"battery"}, {"radio"}]
