"""What a cell needs more room for: one popover is one undo step, seen at once; Escape goes back."""

from __future__ import annotations

import gc
import weakref
from datetime import date

import pytest
from PySide6.QtCore import QCoreApplication, QEvent, QPoint, QRect, QSignalBlocker, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QLineEdit, QWidget
from user import User

from app.editors.fields.source_button import SourceButton
from app.editors.fields.source_form import SourceForm
from app.editors.fields.typed import TypedEditor
from app.editors.popovers.list_sheet import ListSheet
from app.editors.popovers.opening import open_library, open_list, open_popover
from app.editors.popovers.parts_sheet import PartsSheet
from app.state.edit_context import Desk
from app.widgets.popover import Popover
from model.editing.edit_stations import is_listed
from model.editing.paths import value_at, with_values
from model.library.catalogue import Library
from tests.plain import plain

KEY_DOWN = "stations.0.radio.key_down"
RECEIVE = "stations.0.radio.receive_a"
SHADE = "stations.0.panel.shade"


def opened(user: User, path: str, station: int = 0) -> Popover:
    user.window.activateWindow()
    user.wait_for(user.window.isActiveWindow)
    owner = user.window.verdict.results
    owner.setFocus()
    desk = Desk(user.window.document, user.window.display)
    popover = open_popover(desk, path, station, QRect(QPoint(200, 200), owner.size() / 8), owner)
    assert popover is not None
    user.let_appear()
    return popover


def held(user: User, path: str) -> object:
    return value_at(user.window.document.scenario, path)


def steps(user: User) -> int:
    return user.window.document.undo_stack.count()


def key(user: User, which: Qt.Key) -> None:
    focused = user.window.focusWidget()
    assert focused is not None
    QTest.keyClick(focused, which)
    user.let_appear()


def typed(user: User, name: str, text: str) -> QLineEdit:
    field = user.find(name, QLineEdit)
    assert isinstance(field, QLineEdit)
    field.setFocus()
    field.selectAll()
    QTest.keyClicks(field, text)
    return field


def seen(user: User) -> list[Popover]:
    return [each for each in user.window.findChildren(Popover) if each.isVisible()]


def elsewhere(user: User) -> QWidget:
    return user.window.place_line


def test_points_are_typed_live_and_are_one_undo_step(user: User) -> None:
    before = held(user, KEY_DOWN)
    popover = opened(user, "radio.key_down")
    field = typed(user, "station 1, radio, key-down current, point 1, key-down current", "1.7")
    # Seen at once, before anything is left.
    assert held(user, KEY_DOWN)[0][1] == 1.7  # type: ignore[index]
    user.qtbot.wait(1100)
    typed(user, "station 1, radio, key-down current, point 2, key-down current", "2.9")
    assert field.text() == "1.7"
    key(user, Qt.Key.Key_Return)
    assert not popover.isVisible()
    assert steps(user) == 1
    user.window.document.undo_stack.undo()
    assert held(user, KEY_DOWN) == before


def test_rows_are_added_and_taken_away_within_the_same_step(user: User) -> None:
    count = len(held(user, KEY_DOWN))  # type: ignore[arg-type]
    opened(user, KEY_DOWN)
    user.click("add a row to station 1, radio, key-down current")
    assert len(held(user, KEY_DOWN)) == count + 1  # type: ignore[arg-type]
    user.click("add a row to station 1, radio, key-down current")
    user.click("remove station 1, radio, key-down current, point 1")
    elsewhere(user).setFocus()
    assert steps(user) == 1
    user.window.document.undo_stack.undo()
    assert len(held(user, KEY_DOWN)) == count  # type: ignore[arg-type]


def test_escape_takes_everything_back_and_leaves_no_step(user: User) -> None:
    before = user.window.document.scenario
    popover = opened(user, KEY_DOWN)
    user.click("add a row to station 1, radio, key-down current")
    typed(user, "station 1, radio, key-down current, point 1, key-down current", "1.9")
    assert user.window.document.scenario != before
    key(user, Qt.Key.Key_Escape)
    assert not popover.isVisible()
    assert user.window.document.scenario == before
    assert steps(user) == 0
    assert not user.window.document.undo_stack.canRedo()


def test_a_click_elsewhere_keeps_what_was_done(user: User) -> None:
    popover = opened(user, KEY_DOWN)
    typed(user, "station 1, radio, key-down current, point 1, key-down current", "1.8")
    QTest.mouseClick(user.window.day.chart.viewport(), Qt.MouseButton.LeftButton)
    assert not popover.isVisible()
    assert held(user, KEY_DOWN)[0][1] == 1.8  # type: ignore[index]
    assert steps(user) == 1


def test_a_press_on_what_takes_no_keyboard_closes_it_and_one_within_does_not(user: User) -> None:
    popover = opened(user, KEY_DOWN)
    handle, left = user.window.windowHandle(), Qt.MouseButton.LeftButton
    inside = popover.heading.mapTo(user.window, popover.heading.rect().center())
    QTest.mouseClick(handle, left, Qt.KeyboardModifier.NoModifier, inside)
    assert popover.isVisible()
    bar = user.window.lenses.bar
    assert bar.focusPolicy() == Qt.FocusPolicy.NoFocus
    beside = bar.mapTo(user.window, QPoint(2, 2))
    QTest.mouseClick(handle, left, Qt.KeyboardModifier.NoModifier, beside)
    assert seen(user) == []


def test_a_text_that_is_refused_gets_one_sentence_and_is_not_lost(user: User) -> None:
    before = held(user, KEY_DOWN)
    popover = opened(user, KEY_DOWN)
    field = typed(user, "station 1, radio, key-down current, point 1, key-down current", "much")
    sentences = user.note_under("station 1, radio, key-down current, point 1, key-down current")
    assert sentences.count("✕") == 1
    assert held(user, KEY_DOWN) == before
    for leave in (lambda: key(user, Qt.Key.Key_Return), elsewhere(user).setFocus):
        leave()
        assert popover.isVisible()
        assert field.text() == "much"
    field.setFocus()
    key(user, Qt.Key.Key_Escape)
    assert not popover.isVisible()
    assert held(user, KEY_DOWN) == before
    assert steps(user) == 0


def test_undo_while_it_is_open_shows_what_was_before(user: User) -> None:
    popover = opened(user, KEY_DOWN)
    field = typed(user, "station 1, radio, key-down current, point 1, key-down current", "1.8")
    user.window.commands["edit.undo"].trigger()
    assert popover.isVisible()
    assert field.text() != "1.8"
    assert not user.window.document.undo_stack.canUndo()


def test_it_closes_when_what_it_is_about_is_gone(user: User) -> None:
    popover = opened(user, "radio.key_down", 1)
    user.window.commands["station.add"].trigger()
    user.window.document.undo_stack.undo()
    popover = opened(user, "panel.shade", 1)
    user.window.document.edit("stations.1.panel", None)
    assert not popover.isVisible()


def test_shade_is_rows_of_two_times_and_a_share(user: User) -> None:
    opened(user, SHADE)
    user.click("add a row to station 1, panel, shade")
    typed(user, "station 1, panel, shade, period 1, from", "13:30")
    typed(user, "station 1, panel, shade, period 1, light left", "25")
    key(user, Qt.Key.Key_Return)
    assert held(user, SHADE) == (("13:30", "16:00", 0.25),)
    assert steps(user) == 1


def test_the_source_of_a_number_with_date_spread_and_note(user: User) -> None:
    popover = opened(user, "radio.receive_a")
    assert user.reads("station 1, radio, receive current") == "0.16"
    user.pick("source of station 1, radio, receive current", "measured")
    typed(user, "date of measuring station 1, radio, receive current", "2027-03-01")
    typed(user, "spread of station 1, radio, receive current in per cent", "4")
    typed(user, "note on the source of station 1, radio, receive current", "clamp meter")
    typed(user, "station 1, radio, receive current", "0.17")
    key(user, Qt.Key.Key_Return)
    assert not popover.isVisible()
    source = user.window.document.scenario.stations[0].radio.source_of("receive_a")
    assert (source.origin, source.on, source.spread) == ("measured", date(2027, 3, 1), 0.04)
    assert source.note == "clamp meter"
    assert held(user, RECEIVE) == 0.17
    assert steps(user) == 1
    user.window.document.undo_stack.undo()
    assert held(user, RECEIVE) == 0.16


def test_the_source_of_points_is_said_once(user: User) -> None:
    popover = opened(user, KEY_DOWN)
    shown = [each for each in popover.findChildren(SourceButton) if each.isVisible()]
    assert shown == []
    (form,) = popover.findChildren(SourceForm)
    assert form.isVisible()


def test_key_down_points_carry_date_and_spread_in_the_same_step(user: User) -> None:
    opened(user, KEY_DOWN)
    typed(user, "station 1, radio, key-down current, point 1, key-down current", "1.8")
    user.pick("source of station 1, radio, key-down current", "measured")
    typed(user, "date of measuring station 1, radio, key-down current", "2027-03-01")
    typed(user, "spread of station 1, radio, key-down current in per cent", "4")
    key(user, Qt.Key.Key_Return)
    source = user.window.document.scenario.stations[0].radio.source_of("key_down")
    assert (source.origin, source.on, source.spread) == ("measured", date(2027, 3, 1), 0.04)
    assert held(user, KEY_DOWN)[0][1] == 1.8  # type: ignore[index]
    assert steps(user) == 1


def test_the_date_of_a_measurement_goes_with_it(user: User) -> None:
    opened(user, RECEIVE)
    user.pick("source of station 1, radio, receive current", "measured")
    typed(user, "date of measuring station 1, radio, receive current", "2027-03-01")
    user.pick("source of station 1, radio, receive current", "a guess")
    source = user.window.document.scenario.stations[0].radio.source_of("receive_a")
    assert source.on is None
    assert not user.find("date of measuring station 1, radio, receive current").isEnabled()


def test_a_bad_date_is_refused_in_one_sentence(user: User) -> None:
    before = user.window.document.scenario
    popover = opened(user, RECEIVE)
    user.pick("source of station 1, radio, receive current", "measured")
    field = typed(user, "date of measuring station 1, radio, receive current", "1 March")
    assert user.sees("✕ A date reads 2027-03-01.")
    elsewhere(user).setFocus()
    assert popover.isVisible()
    assert field.text() == "1 March"
    field.setFocus()
    key(user, Qt.Key.Key_Escape)
    assert user.window.document.scenario == before
    assert steps(user) == 0


def test_a_number_takes_the_units_of_its_field(user: User) -> None:
    opened(user, RECEIVE)
    typed(user, "station 1, radio, receive current", "170 mA")
    assert held(user, RECEIVE) == pytest.approx(0.17)
    assert "0.17 A" in plain(user.note_under("station 1, radio, receive current"))


@pytest.mark.parametrize("path", ["name", "radio.name", "battery.chemistry", "panel.mount"])
def test_what_needs_no_more_room_opens_nothing(user: User, path: str) -> None:
    desk = Desk(user.window.document, user.window.display)
    owner = user.window.verdict.results
    assert open_popover(desk, path, 0, QRect(0, 0, 10, 10), owner) is None


def test_it_lies_within_the_window_wherever_its_cell_is(user: User) -> None:
    desk = Desk(user.window.document, user.window.display)
    owner = user.window.verdict.results
    for corner in (QPoint(0, 0), user.window.rect().bottomRight()):
        place = QRect(user.window.mapToGlobal(corner), owner.size() / 10)
        popover = open_popover(desk, KEY_DOWN, 0, place, owner)
        assert popover is not None
        assert user.window.rect().contains(popover.geometry())
        popover.close_popover()


def offered(user: User, path: str) -> PartsSheet:
    user.window.activateWindow()
    user.wait_for(user.window.isActiveWindow)
    owner = user.window.verdict.results
    owner.setFocus()
    desk = Desk(user.window.document, user.window.display)
    popover = open_library(
        desk, user.window.library, path, QRect(QPoint(200, 200), owner.size() / 8), owner
    )
    user.let_appear()
    (sheet,) = popover.findChildren(PartsSheet)
    return sheet


def click_part(user: User, sheet: PartsSheet, row: int) -> None:
    """Click a part of the library, or with -1 the one that stands there already."""
    row += not sheet.kind.is_list or is_listed(sheet.path)
    place = sheet.table.visualRect(sheet.table.model().index(row, 0))
    QTest.mouseClick(sheet.table.viewport(), Qt.MouseButton.LeftButton, pos=place.center())
    user.let_appear()


def test_another_radio_is_one_click_away_and_is_seen_at_once(user: User) -> None:
    before = user.window.document.scenario
    sheet = offered(user, "stations.1.radio")
    radios = user.window.library.of("radio")
    click_part(user, sheet, 0)
    assert user.window.document.scenario.stations[1].radio == radios[0]
    click_part(user, sheet, 1)
    assert user.window.document.scenario.stations[1].radio == radios[1]
    assert steps(user) == 1
    key(user, Qt.Key.Key_Return)
    assert not sheet.isVisible()
    user.window.document.undo_stack.undo()
    assert user.window.document.scenario == before


def test_parts_are_tried_with_the_arrows_and_escape_takes_the_old_one_back(user: User) -> None:
    before = user.window.document.scenario
    offered(user, "stations.0.battery")
    # Nothing is changed by looking.
    assert user.window.document.scenario is before
    key(user, Qt.Key.Key_Down)
    assert user.window.document.scenario.stations[0].battery == user.window.library.of("battery")[0]
    key(user, Qt.Key.Key_Down)
    key(user, Qt.Key.Key_Down)
    assert user.window.document.scenario != before
    key(user, Qt.Key.Key_Escape)
    assert user.window.document.scenario == before
    assert steps(user) == 0


def test_the_part_that_stands_there_is_compared_and_gone_back_to(user: User) -> None:
    before = user.window.document.scenario
    sheet = offered(user, "stations.1.radio")
    click_part(user, sheet, 0)
    assert user.window.document.scenario != before
    click_part(user, sheet, -1)
    assert user.window.document.scenario == before


def test_the_numbers_that_matter_stand_beside_each_part(user: User) -> None:
    sheet = offered(user, "stations.0.battery")
    model = sheet.table.model()
    heads = [str(model.headerData(at, Qt.Orientation.Horizontal)) for at in range(5)]
    assert heads[:2] == ["Battery", "Rated capacity\nAh"]
    held = user.window.document.scenario.stations[0].battery
    assert model.index(0, 0).data() == f"{held.name}, as it is"
    for row, part in enumerate((held, *user.window.library.of("battery"))):
        assert row == 0 or model.index(row, 0).data() == part.name
        assert float(model.index(row, 1).data()) == part.capacity_ah  # type: ignore[attr-defined]


def test_a_part_that_may_be_left_out_can_be(user: User) -> None:
    sheet = offered(user, "stations.0.amplifier")
    click_part(user, sheet, len(sheet.parts) - 2)
    assert user.window.document.scenario.stations[0].amplifier is None
    assert None not in offered(user, "stations.0.radio").parts


def test_one_more_lead_is_added_once_however_many_are_tried(user: User) -> None:
    count = len(user.window.document.scenario.stations[0].leads)
    sheet = offered(user, "stations.0.leads")
    for row in (0, 1, 0):
        click_part(user, sheet, row)
    leads = user.window.document.scenario.stations[0].leads
    assert len(leads) == count + 1
    assert leads[-1] == user.window.library.of("lead")[0]
    assert steps(user) == 1


def test_an_entry_of_a_list_is_exchanged_in_its_place(user: User) -> None:
    before = user.window.document.scenario.stations[0].leads
    sheet = offered(user, "stations.0.leads.1")
    click_part(user, sheet, 0)
    leads = user.window.document.scenario.stations[0].leads
    assert leads[1] == user.window.library.of("lead")[0]
    assert (leads[0], leads[2:]) == (before[0], before[2:])


def test_an_empty_library_says_so(user: User) -> None:
    user.window.library = Library(parts=())
    offered(user, "stations.0.leads")
    assert user.sees("The library has none.")
    key(user, Qt.Key.Key_Escape)
    assert steps(user) == 0


def listed(user: User, path: str) -> ListSheet:
    user.window.activateWindow()
    user.wait_for(user.window.isActiveWindow)
    owner = user.window.verdict.results
    owner.setFocus()
    desk = Desk(user.window.document, user.window.display)
    place = QRect(QPoint(200, 200), owner.size() / 8)
    popover = open_list(desk, user.window.library, path, place, owner)
    user.let_appear()
    (sheet,) = popover.findChildren(ListSheet)
    return sheet


def choose_row(user: User, sheet: ListSheet, row: int) -> None:
    place = sheet.table.visualRect(sheet.table.model().index(row, 0))
    QTest.mouseClick(sheet.table.viewport(), Qt.MouseButton.LeftButton, pos=place.center())
    user.let_appear()


def test_the_chosen_lead_is_edited_beside_the_list(user: User) -> None:
    sheet = listed(user, "stations.0.leads")
    before = user.window.document.scenario.stations[0].leads
    assert sheet.table.model().rowCount() == len(before)
    typed(user, "station 1, lead 1, length one way", "3.5")
    choose_row(user, sheet, 1)
    typed(user, "station 1, lead 2, length one way", "4.5")
    after = user.window.document.scenario.stations[0].leads
    assert [lead.one_way_m for lead in after[:2]] == [3.5, 4.5]
    key(user, Qt.Key.Key_Return)
    assert steps(user) == 1
    user.window.document.undo_stack.undo()
    assert user.window.document.scenario.stations[0].leads == before


def test_entries_are_added_copied_moved_and_removed_in_one_step(user: User) -> None:
    before = user.window.document.scenario.stations[0].leads
    sheet = listed(user, "stations.0.leads")
    user.click("Duplicate")
    assert user.window.document.scenario.stations[0].leads == (before[0], *before)
    sheet.add.menu().aboutToShow.emit()
    sheet.add.menu().actions()[0].trigger()
    added = user.window.library.of("lead")[0]
    assert user.window.document.scenario.stations[0].leads[-1] == added
    user.click("Move up")
    assert user.window.document.scenario.stations[0].leads[-2] == added
    user.click("Remove")
    assert user.window.document.scenario.stations[0].leads == (before[0], *before)
    assert steps(user) == 1
    sheet.table.setFocus()
    key(user, Qt.Key.Key_Escape)
    assert user.window.document.scenario.stations[0].leads == before
    assert steps(user) == 0


def test_an_empty_list_offers_to_add(user: User) -> None:
    sheet = listed(user, "stations.0.chargers")
    assert not sheet.remove.isEnabled()
    sheet.add.menu().aboutToShow.emit()
    sheet.add.menu().actions()[0].trigger()
    assert len(user.window.document.scenario.stations[0].chargers) == 1
    user.let_appear()
    typed(user, "station 1, charger 1, current", "7")
    assert user.window.document.scenario.stations[0].chargers[0].current_a == 7.0


def test_the_last_entry_is_removed_by_its_button(user: User) -> None:
    sheet = listed(user, "stations.1.extras")
    while user.window.document.scenario.stations[1].extras:
        sheet.remove.setFocus()
        user.wait_for(sheet.remove.hasFocus)
        user.click("Remove")
        user.let_appear()
    assert not sheet.remove.isEnabled()
    assert sheet.form is None
    # A button that goes grey keeps the keyboard within the popover.
    assert sheet.add.hasFocus()
    assert steps(user) == 1


def test_a_field_whose_part_is_gone_takes_what_comes_late(user: User) -> None:
    sheet = listed(user, "stations.1.extras")
    form = sheet.form
    assert form is not None
    name = next(each for each in form.findChildren(TypedEditor) if each.path.endswith(".name"))
    scenario = user.window.document.scenario
    without = with_values(scenario, {"stations.1.extras": ()})
    # No signal reaches the form before the keyboard does.
    with QSignalBlocker(user.window.document):
        user.window.document.replace("no extras", without)
    name.edit.entered.emit()
    name.edit.given_up.emit()
    name.edit.left.emit()
    assert user.window.document.scenario == without


def test_hours_of_an_extra_are_rows_in_its_form(user: User) -> None:
    listed(user, "stations.0.extras")
    always = user.find("station 1, extra 1, hours: always")
    QTest.keyClick(always, Qt.Key.Key_Space)
    assert user.window.document.scenario.stations[0].extras[0].hours == "always"
    assert steps(user) == 1


def test_a_popover_that_was_closed_leaves_nothing_behind(user: User) -> None:
    for path in ("radio.key_down", "radio.receive_a", "panel.shade"):
        ghost = weakref.ref(opened(user, path))
        popover = ghost()
        assert popover is not None
        popover.close_popover()
        del popover
        QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)
        gc.collect()
        assert ghost() is None
    # What is changed afterwards is a step of its own again.
    for value in (0.5, 0.6):
        user.window.document.edit(RECEIVE, value)
        user.window.document.end_burst()
    assert steps(user) == 2
