"""Building stations: parts from the library, copies, and stations added, moved and removed."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from user import User

from app.editors.popovers.part_table import PartTable
from model.library.catalogue import Library
from model.scenario.scenario import STATIONS_LIMIT
from model.station.carried_mass import carried_total, shared_extras

# A menu that opens grabs the keyboard, which the offscreen platform cannot.
pytestmark = pytest.mark.qt_log_ignore("does not support grabbing the keyboard", extend=True)


def names(user: User) -> list[str]:
    return [station.name for station in user.window.document.scenario.stations]


def opened(user: User) -> set[str]:
    return set(user.window.sheet.sheet.opened)


def choose_cell(user: User, station: int, title: str) -> None:
    """Choose the cell of a part."""
    view = user.window.sheet
    place = next(at for at, row in enumerate(view.sheet.rows) if row.label == title)
    view.setFocus()
    view.setCurrentIndex(view.sheet.index(place, station - 1))


def choose_part(user: User, station: int, title: str, name: str) -> None:
    """Choose a part from the list that the cell opens by key."""
    choose_cell(user, station, title)
    user.press(Qt.Key.Key_Down, Qt.KeyboardModifier.AltModifier)
    take(user, name)


def offered(user: User) -> PartTable:
    """Return the parts that are offered now."""
    (table,) = [each for each in user.window.findChildren(PartTable) if each.isVisible()]
    return table


def take(user: User, name: str) -> None:
    """Click a part that is offered, and keep it."""
    table = offered(user)
    model = table.model()
    row = next(row for row in range(model.rowCount()) if model.index(row, 0).data() == name)
    table.scrollTo(model.index(row, 0))
    at = table.visualRect(model.index(row, 0)).center()
    QTest.mouseClick(table.viewport(), Qt.MouseButton.LeftButton, pos=at)
    QTest.keyClick(table, Qt.Key.Key_Return)
    user.settle()


def test_a_part_is_chosen_from_the_library(user: User, library: Library) -> None:
    radio = library.of("radio")[0]
    choose_part(user, 2, "Radio", radio.name)
    assert user.window.document.scenario.stations[1].radio == radio
    assert radio.name in user.line(2, "Radio")
    user.choose("Edit", f"Undo {radio.name} for One box, 100 W")
    assert "one-box" in user.line(2, "Radio")


def test_every_part_is_offered_with_the_number_that_matters(user: User, library: Library) -> None:
    choose_cell(user, 1, "Battery")
    user.press(Qt.Key.Key_Down, Qt.KeyboardModifier.AltModifier)
    model = offered(user).model()
    rows = range(model.rowCount())
    batteries = library.of("battery")
    own = user.window.document.scenario.stations[0].battery
    names = [f"{own.name}, as it is", *(part.name for part in batteries)]
    assert [model.index(row, 0).data() for row in rows] == names
    assert model.headerData(1, Qt.Orientation.Horizontal) == "Rated capacity\nAh"
    assert all(float(model.index(row, 1).data()) > 0 for row in rows)


def test_an_empty_slot_offers_the_library_in_place(user: User, library: Library) -> None:
    assert "none" in user.line(2, "Amplifier")
    amplifier = library.of("amplifier")[0]
    choose_cell(user, 2, "Amplifier")
    user.press(Qt.Key.Key_Return)
    take(user, amplifier.name)
    assert user.window.document.scenario.stations[1].amplifier == amplifier
    user.open(2, "Amplifier")
    assert user.sees("low-pass filter"), "an amplifier comes with its cautions"
    user.cell_menu(2, "Amplifier", "Remove amplifier")
    assert user.window.document.scenario.stations[1].amplifier is None
    assert "none" in user.line(2, "Amplifier")


def test_one_slot_is_copied_to_the_other_station(user: User) -> None:
    user.cell_menu(1, "Radio", "Copy radio to B: One box, 100 W")
    stations = user.window.document.scenario.stations
    assert stations[1].radio == stations[0].radio
    assert stations[1].battery != stations[0].battery or stations[1].panel is not None


def test_one_value_is_copied_to_the_other_station(user: User) -> None:
    user.open(1, "Battery")
    user.fill("station 1, battery, rated capacity", "22")
    index = user.cell("station 1, battery, rated capacity")
    assert index is not None
    user.cell_menu_at(index, "Copy value to B: One box, 100 W")
    stations = user.window.document.scenario.stations
    assert [station.battery.capacity_ah for station in stations] == [22.0, 22.0]


def test_needed_parts_cannot_be_removed(user: User) -> None:
    with pytest.raises(AssertionError, match="Remove"):
        user.cell_menu(1, "Battery", "Remove battery")
    user.window.sheet.doing.menu.close()


def test_an_extra_carried_by_all_weighs_on_every_station(user: User) -> None:
    def other_kg() -> float:
        scenario = user.window.document.scenario
        return carried_total(scenario.stations[1], shared_extras(scenario, 1)).mass_kg

    before = other_kg()
    extras = user.window.document.scenario.stations[0].extras
    index = next(at for at, extra in enumerate(extras) if extra.mass_kg)
    user.open(1, "Extras")
    user.open(1, f"Extra {index + 1}")
    user.find(f"station 1, extra {index + 1}, all stations carry this")
    user.press(Qt.Key.Key_Space)
    extra = user.window.document.scenario.stations[0].extras[index]
    assert extra.shared_by_all is not extras[index].shared_by_all
    change = extra.mass_kg if extra.shared_by_all else -extra.mass_kg
    assert other_kg() == pytest.approx(before + change)


def test_leads_are_added_duplicated_and_removed(user: User) -> None:
    def count() -> int:
        return len(user.window.document.scenario.stations[0].leads)

    before = count()
    user.open(1, "Leads")
    choose_cell(user, 1, "Add a lead")
    user.press(Qt.Key.Key_Return)
    take(user, offered(user).model().index(0, 0).data())
    assert count() == before + 1
    user.cell_menu(1, f"Lead {before + 1}", "Duplicate lead")
    assert count() == before + 2
    user.cell_menu(1, f"Lead {before + 1}", "Remove lead")
    assert count() == before + 1


def test_a_lead_is_exchanged_for_another_of_the_library(user: User, library: Library) -> None:
    user.open(1, "Leads")
    choose_cell(user, 1, "Lead 2")
    user.press(Qt.Key.Key_Return)
    lead = library.of("lead")[-1]
    take(user, lead.name)
    assert user.window.document.scenario.stations[0].leads[1] == lead


def test_the_arrow_of_a_list_opens_it_with_a_form(user: User) -> None:
    choose_cell(user, 1, "Leads")
    user.press(Qt.Key.Key_Down, Qt.KeyboardModifier.AltModifier)
    user.fill("station 1, lead 1, length one way", "3.5", leave=False)
    assert user.window.document.scenario.stations[0].leads[0].one_way_m == 3.5
    user.press(Qt.Key.Key_Return)
    assert user.window.focusWidget() is user.window.sheet
    user.cell_menu(1, "Leads", "Edit the list…")
    user.let_appear()
    user.fill("station 1, lead 1, length one way", "4", leave=False)
    user.press(Qt.Key.Key_Escape)
    assert user.window.document.scenario.stations[0].leads[0].one_way_m == 3.5


def test_a_click_on_another_cell_keeps_the_part_that_is_tried(user: User, library: Library) -> None:
    choose_cell(user, 2, "Radio")
    user.press(Qt.Key.Key_Down, Qt.KeyboardModifier.AltModifier)
    table = offered(user)
    at = table.visualRect(table.model().index(2, 0)).center()
    QTest.mouseClick(table.viewport(), Qt.MouseButton.LeftButton, pos=at)
    assert user.window.document.scenario.stations[1].radio == library.of("radio")[1]
    user.window.sheet.setFocus()
    assert not table.isVisible()
    assert user.window.document.undo_stack.count() == 1


def test_stations_are_added_up_to_four(user: User) -> None:
    while len(names(user)) < STATIONS_LIMIT:
        user.choose("Station", "Add a station")
    assert not user.action("Station", "Add a station").isEnabled()
    assert len(set(names(user))) == STATIONS_LIMIT
    assert user.window.session.comparison is not None
    assert None not in user.window.session.comparison.runs


def test_a_station_that_was_added_is_named_at_once(user: User) -> None:
    user.choose("Station", "Add a station")
    QTest.keyClicks(user.window.focusWidget(), "Spare")
    assert names(user)[2] == "Spare"


def test_a_station_is_duplicated_renamed_moved_and_removed(user: User) -> None:
    user.station_menu(1, "Duplicate")
    assert names(user) == [
        "Low power and amplifier",
        "Low power and amplifier (copy)",
        "One box, 100 W",
    ]
    user.station_menu(2, "Rename")
    QTest.keyClicks(user.window.focusWidget(), "Third way")
    user.press(Qt.Key.Key_Return)
    user.station_menu(2, "Move to the left")
    assert names(user)[:2] == ["Third way", "Low power and amplifier"]
    user.station_menu(2, "Remove")
    assert names(user) == ["Third way", "One box, 100 W"]
    user.station_menu(2, "Remove")
    assert names(user) == ["Third way"]
    user.window.sheet.doing.offer_station(0, user.window.pos())
    menu = user.window.sheet.doing.menu
    assert not next(a for a in menu.actions() if a.text() == "Remove").isEnabled()
    menu.close()


def test_a_station_is_saved_as_a_variant_of_another_switched_to_and_compared(user: User) -> None:
    document = user.window.document
    before = document.scenario.stations[1]
    user.station_menu(2, "Duplicate")
    document.edit("stations.2.battery.capacity_ah", 30.0)
    user.station_menu(3, "Save One box, 100 W (copy) as a variant of B: One box, 100 W")
    user.station_menu(3, "Remove")
    user.station_menu(2, "Switch to One box, 100 W (copy)")
    assert document.scenario.stations[1].battery.capacity_ah == 30.0
    user.station_menu(2, "Compare Before One box, 100 W (copy) beside")
    assert document.scenario.stations[2].battery == before.battery
    user.station_menu(2, "Switch to Before One box, 100 W (copy)")
    assert document.scenario.stations[1] == before


def test_commands_go_to_the_station_the_keyboard_is_in(user: User) -> None:
    user.find("station 2, name").setFocus()
    user.choose("Station", "Duplicate")
    assert names(user)[1:] == ["One box, 100 W", "One box, 100 W (copy)"]


def test_power_is_matched_on_request(user: User) -> None:
    assert not user.sees("Same RF power")
    user.cell_menu(1, "Amplifier", "Remove amplifier")
    user.click("In words")
    assert user.sees("A transmits 10\xa0W, B 100\xa0W: 10\xa0dB or 1.7 S-units more.")
    user.click("Same RF power")
    powers = {block.rf_w for block in user.window.document.scenario.plan if block.sends}
    assert powers == {10.0}
    assert not user.sees("A transmits 10\xa0W")


def test_every_row_can_be_opened_with_the_keyboard(user: User) -> None:
    view = user.window.sheet
    for title in ("Radio", "Amplifier", "Battery", "Panel", "Leads", "Extras"):
        choose_cell(user, 1, title)
        user.press(Qt.Key.Key_Space)
        key = view.sheet.rows[view.currentIndex().row()].key
        assert opened(user) == {key}
        user.press(Qt.Key.Key_Space)
        assert opened(user) == set()


def test_a_station_goes_while_its_name_is_typed(user: User) -> None:
    user.find("station 2, name").setFocus()
    user.press(Qt.Key.Key_Return)
    user.choose("Station", "Remove")
    assert names(user) == ["Low power and amplifier"]
    user.choose("Edit", "Undo removal of One box, 100 W")
    assert names(user)[1:] == ["One box, 100 W"]


@pytest.mark.parametrize("field", ["reserve", "battery, rated capacity"])
def test_a_station_goes_while_a_number_is_typed(user: User, field: str) -> None:
    user.open(2, "Battery")
    user.fill(f"station 2, {field}", "3", leave=False)
    user.choose("Station", "Remove")
    assert names(user) == ["Low power and amplifier"]


def test_a_part_goes_while_the_keyboard_is_in_it(user: User) -> None:
    user.open(1, "Amplifier")
    user.fill("station 1, amplifier, standby current", "0.2", leave=False)
    user.cell_menu(1, "Amplifier", "Remove amplifier")
    assert user.window.document.scenario.stations[0].amplifier is None


@pytest.mark.parametrize("kept", [1, 2])
def test_a_refused_text_goes_with_its_station(user: User, kept: int) -> None:
    capacity = "station 1, battery, rated capacity"
    user.open(1, "Battery")
    gone = 3 - kept
    same = user.reads(capacity)
    user.fill("station 2, battery, rated capacity", same)
    user.fill(f"station {gone}, battery, rated capacity", "much")
    assert user.reads(f"station {gone}, battery, rated capacity") == "much"
    user.station_menu(gone, "Remove")
    assert user.reads(capacity) == same
    assert user.note_under(capacity) == ""
    user.station_menu(1, "Duplicate")
    assert user.reads("station 2, battery, rated capacity") == same
    assert user.note_under("station 2, battery, rated capacity") == ""


def test_what_is_open_stays_open_while_stations_come_and_go(user: User) -> None:
    user.open(2, "Battery")
    user.open(1, "Radio")
    before = opened(user)
    assert before == {"battery", "battery more", "radio", "radio more"}
    for do in (
        lambda: user.station_menu(2, "Move to the left"),
        lambda: user.station_menu(1, "Remove"),
        user.window.document.undo_stack.undo,
        user.window.document.undo_stack.undo,
        user.window.document.undo_stack.redo,
    ):
        do()
        assert opened(user) == before
