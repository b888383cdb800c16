"""The window of a group: its table, what is typed in it, undo, file, and what is kept."""

from __future__ import annotations

import time
from collections.abc import Iterator
from pathlib import Path

import pytest
from conftest import Answers
from PySide6.QtCore import QAbstractItemModel, QModelIndex, Qt
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot
from user import User

from app.pages.group.window import GroupWindow
from app.state.display import Display
from app.state.group_document import opened
from app.state.group_reports import GroupReports
from app.state.settings import Settings
from app.widgets.dialogs import Answer
from app.work.disk import disk
from model.group.edit_plan import dates_of
from model.group.group_file import read_group
from model.group.group_run import run_group
from model.group.kits import kits_of
from model.group.power_matrix import power_matrix
from tests.group_files import group_file
from tests.plain import plain


def settle(window: GroupWindow, *, odds: bool = False) -> None:
    """Wait until everything is worked out, odds where they are asked for: they take longest."""
    end = time.monotonic() + 30.0
    while time.monotonic() < end and not window.work.is_settled:
        QApplication.processEvents()
        if window.work.at_work == "odds" and not odds:
            window.work.stop()
        time.sleep(0.002)
    assert window.work.is_settled


@pytest.fixture
def group(fusion: None, qtbot: QtBot, tmp_path: Path) -> Iterator[GroupWindow]:
    """A group of three posts, without the main window."""
    window = GroupWindow(opened(group_file(tmp_path)), Display(Settings()))
    window.show()
    settle(window)
    yield window
    window.kept.drop()
    window.work.close()
    window.hide()
    window.deleteLater()


@pytest.fixture
def beside(user: User, tmp_path: Path) -> Iterator[GroupWindow]:
    """The same, opened as a file that the main window was given."""
    assert not user.window.files.open_path(group_file(tmp_path))
    window = user.window.views.groups.window
    assert window is not None
    settle(window)
    yield window
    user.window.views.groups.end()


def cell(window: GroupWindow, row: int, head: str) -> QModelIndex:
    model = window.posts.model
    return model.index(row, [column.head for column in model.columns].index(head))


def text(window: GroupWindow, row: int, head: str) -> str:
    return str(cell(window, row, head).data())


def test_a_row_says_what_the_run_of_its_post_says(group: GroupWindow) -> None:
    rows = run_group(read_group(group.document.path)).posts
    assert [text(group, at, "Kit") for at in range(3)] == ["01", "02", "03"]
    for at, row in enumerate(rows):
        assert row.lowest is not None
        assert text(group, at, "Lowest").split()[0] == str(round(row.lowest.value * 100))
        assert ("lasts" in text(group, at, "First end")) == row.lasts
    spoken = cell(group, 1, "Role").data(Qt.ItemDataRole.AccessibleTextRole)
    assert spoken == "post 02, Role: shelter"


def test_a_field_is_typed_and_taken_back(group: GroupWindow) -> None:
    model = group.posts.model
    assert model.setData(cell(group, 1, "Kit"), "12")
    assert [post.kit for post in group.document.group.posts] == ["01", "12", "03"]
    assert not group.document.is_clean
    group.actions_by_key["undo"].trigger()
    assert group.document.group.posts[1].kit == "02"
    assert group.document.is_clean


def test_a_new_kit_number_is_followed_by_those_it_relays(group: GroupWindow) -> None:
    assert group.posts.model.setData(cell(group, 0, "Kit"), "A1")
    assert group.document.group.posts[1].relay == "A1"


def test_a_refused_text_stays_in_its_cell_and_the_group_is_unchanged(group: GroupWindow) -> None:
    before = group.document.group
    assert not group.posts.model.setData(cell(group, 1, "Kit"), "01")
    assert text(group, 1, "Kit") == "01"
    assert group.document.group is before
    assert "each needs its own" in group.posts.says.text()
    group.posts.model.setData(cell(group, 1, "Kit"), "04")
    assert "each needs its own" not in group.posts.says.text()
    assert group.document.group.posts[1].kit == "04"


def test_posts_are_added_and_removed(group: GroupWindow) -> None:
    group.posts.table.choose(1)
    group.posts.add_button.click()
    assert [post.kit for post in group.document.group.posts] == ["01", "02", "04", "03"]
    group.posts.table.choose(0)
    group.posts.remove_button.click()
    assert [post.relay for post in group.document.group.posts] == ["", "", ""]
    settle(group)
    assert text(group, 2, "Lowest") != "–"


def test_what_is_saved_reads_as_it_was_typed(group: GroupWindow) -> None:
    group.posts.model.setData(cell(group, 2, "Role"), "gateway")
    group.actions_by_key["save"].trigger()
    assert group.document.is_clean
    assert read_group(group.document.path).group.posts[2].role == "gateway"


def test_closing_asks_and_a_refusal_keeps_the_window(group: GroupWindow, answers: Answers) -> None:
    group.posts.model.setData(cell(group, 2, "Role"), "gateway")
    answers.unsaved = Answer.CANCEL
    assert not group.close()
    assert "unsaved: group.toml" in answers.said
    answers.unsaved = Answer.DISCARD
    assert group.close()


def test_work_that_was_not_saved_is_offered_again(
    user: User, beside: GroupWindow, answers: Answers
) -> None:
    path = beside.document.path
    beside.posts.model.setData(cell(beside, 2, "Role"), "gateway")
    # As a program that ends without a question does.
    user.window.views.groups.end()
    answers.choice = 0
    user.window.views.groups.open_path(path)
    again = user.window.views.groups.window
    assert again is not None
    assert again.document.group.posts[2].role == "gateway"
    assert read_group(path).group.posts[2].role == "shelter"


def test_saved_elsewhere_it_takes_its_kits_along(
    group: GroupWindow, answers: Answers, tmp_path: Path
) -> None:
    (tmp_path / "other").mkdir()
    answers.save = tmp_path / "other" / "copy.toml"
    group.actions_by_key["save_as"].trigger()
    assert read_group(answers.save) == read_group(tmp_path / "group.toml")


def test_a_row_opens_its_kit_in_the_main_window(
    user: User, beside: GroupWindow, tmp_path: Path
) -> None:
    beside.posts.table.choose(1)
    beside.posts.open_button.click()
    assert user.window.document.path == tmp_path / "kits.toml"
    assert user.window.sheet.focused_station() == 1


def test_a_kit_saved_in_the_main_window_is_run_anew(user: User, beside: GroupWindow) -> None:
    before = text(beside, 1, "Lowest")
    beside.posts.table.choose(1)
    beside.posts.open_button.click()
    user.window.document.edit("stations.1.battery.capacity_ah", 60)
    user.window.files.save()
    settle(beside)
    assert text(beside, 1, "Lowest") != before


def test_a_broken_group_says_each_fault(user: User, answers: Answers, tmp_path: Path) -> None:
    path = group_file(tmp_path)
    path.write_text(path.read_text().replace('kit = "03"', 'kit = "02"'))
    user.window.files.open_path(path)
    assert user.window.views.groups.window is None
    assert any("each needs its own" in line for line in answers.said)


def test_the_keyboard_types_in_a_cell(group: GroupWindow, qtbot: QtBot) -> None:
    group.posts.table.choose(2, 1)
    qtbot.keyClick(group.posts.table, Qt.Key.Key_Return)
    editor = group.posts.table.indexWidget(group.posts.table.currentIndex())
    assert editor is not None
    qtbot.keyClicks(editor, "x")
    qtbot.keyClick(editor, Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: group.document.group.posts[2].role == "x")


def test_spares_are_added_allotted_and_removed(group: GroupWindow) -> None:
    assert "last" in group.spares.lines.text()
    group.spares.slot.setCurrentIndex(0)
    group.spares.post.setCurrentIndex(1)
    group.spares.add_button.click()
    kit = dict(group.document.whole.scenarios)["kits.toml"].stations[1]
    assert group.document.group.spares[1].battery == kit.battery
    assert group.document.group.spares[1].where == "Hill"
    group.spares.table.choose(0)
    group.spares.remove_button.click()
    assert len(group.document.group.spares) == 1


def test_each_cell_of_the_matrix_says_what_the_model_says(group: GroupWindow) -> None:
    whole = group.document.whole
    found = power_matrix(whole.group, kits_of(whole))
    texts = group.matrix.table.texts
    assert (texts.rowCount(), texts.columnCount()) == (len(found), 3)
    for at, row in enumerate(found):
        for to, told in enumerate(row):
            spoken = texts.index(at, to).data(Qt.ItemDataRole.AccessibleTextRole)
            assert all(each.words.lower() in spoken.lower() for each in told.refusals)
            assert texts.index(at, to).data().startswith("✕") == (not told.can_power)


def test_a_drill_takes_away_what_several_posts_rest_on(group: GroupWindow) -> None:
    group.points.list.setCurrentRow(1)
    assert "leader" in group.points.list.item(1).text()
    group.points.button.click()
    assert group.tabs.currentWidget() is group.drill
    assert group.drill.without == ("post01", "post02")
    settle(group)
    assert "post01 and post02" in group.drill.says.text()
    group.drill.back_button.click()
    settle(group)
    assert group.drill.without == ()
    assert group.drill.table.isHidden()


def test_a_report_restarts_its_post_and_outlasts_the_window(group: GroupWindow) -> None:
    model = group.board.model
    midnight = model.heads().index("Midnight\nreported Ah")
    assert model.setData(model.index(1, midnight), "1.5 Ah")
    reported = model.board.rows[1]
    assert reported.reports[0].left_ah == 1.5
    assert reported.run is not None
    assert reported.end is not None
    assert "02" in group.board.says.text()
    assert not model.setData(model.index(1, midnight), "900")
    assert "at most" in group.board.says.text()
    disk.get(lambda: None)
    assert GroupReports(group.document.path).all == reported.reports
    group.board.clear_button.click()
    disk.get(lambda: None)
    assert GroupReports(group.document.path).all == ()


def test_the_printed_set_is_saved_from_the_window(
    group: GroupWindow, answers: Answers, tmp_path: Path
) -> None:
    answers.page = tmp_path / "set.pdf"
    group.actions_by_key["pdf"].trigger()
    settle(group)
    assert answers.page.read_bytes().startswith(b"%PDF")
    assert "pages saved" in group.says.text()


def test_odds_can_be_stopped_and_begun_again(group: GroupWindow) -> None:
    group.posts.model.setData(cell(group, 0, "Role"), "leader")
    begun: list[str] = []
    group.work.began.connect(lambda key, _words: begun.append(key))
    while "odds" not in begun:
        QApplication.processEvents()
    group.bar.cancel_wanted.emit()
    assert group.says.text() == "Stopped."
    settle(group)
    assert text(group, 0, "Odds") == "–"
    group.bar.again_wanted.emit()
    settle(group, odds=True)
    assert "in 10" in text(group, 0, "Odds")


def test_words_of_the_roster_leave_the_odds_as_they_are(group: GroupWindow) -> None:
    group.bar.again_wanted.emit()
    settle(group, odds=True)
    before, begun = text(group, 1, "Odds"), list[str]()
    assert "in 10" in before
    group.work.began.connect(lambda key, _words: begun.append(key))
    heads = [column.head for column in group.roster.model.columns]
    shift = group.roster.model.index(1, heads.index("Shift"))
    assert group.roster.model.setData(shift, "all night")
    settle(group)
    assert (text(group, 1, "Odds"), "odds" in begun) == (before, False)
    group.posts.model.setData(cell(group, 0, "Role"), "leader")
    settle(group)
    assert "odds" in begun


def test_what_the_posts_share_is_typed_and_taken_back(group: GroupWindow) -> None:
    shared, before = group.shared, group.document.group
    heads = [column.head for column in shared.shared.columns]
    assert shared.shared.setData(shared.shared.index(0, heads.index("Days")), "3")
    assert group.document.group.day.days == 3
    assert shared.dates.rowCount() == len(dates_of(group.document.whole))
    assert shared.dates.setData(shared.dates.index(1, 1), "rain")
    assert group.document.group.day.sky[1] == "rain"
    assert not shared.dates.setData(shared.dates.index(0, 1), "foggy")
    assert "foggy" in shared.says.text()
    shared.buttons["add place"].click()
    place = shared.places.rowCount() - 1
    assert shared.places.setData(shared.places.index(place, 1), "JO50jq")
    assert shared.places.index(place, 1).data() == "JO50jq"
    shared.buttons["remove place"].click()
    for _ in range(5):
        group.actions_by_key["undo"].trigger()
    assert group.document.group == before


def test_the_days_and_places_follow_the_units(group: GroupWindow) -> None:
    shared, display = group.shared, group.display
    shared.buttons["add place"].click()
    before = group.document.group
    assert at_head(shared.shared, "One weather within, km").data() == "150"
    assert at_head(shared.dates, "Low, °C").data() == "4"
    display.set_us(True)
    # By the definitions of mile, mile an hour and Fahrenheit: 93.2 mi, 4.5 mph, 39.2 and 53.6 °F.
    assert at_head(shared.shared, "One weather within, mi").data() == "93"
    assert at_head(shared.shared, "Wind, mph").data() == "4.5"
    assert at_head(shared.dates, "Low, °F").data() == "39"
    assert at_head(shared.dates, "High, °F").data() == "54"
    assert at_head(shared.places, "Latitude, °").isValid()
    # What is shown and typed back changes nothing.
    for index in (at_head(shared.shared, "Wind, mph"), at_head(shared.dates, "Low, °F")):
        assert index.model().setData(index, index.data())
    assert group.document.group == before
    assert shared.dates.setData(at_head(shared.dates, "Low, °F"), "32")
    assert group.document.group.day.low_c[0] == 0.0
    assert shared.dates.setData(at_head(shared.dates, "High, °F"), "20 °C")
    assert group.document.group.day.high_c[0] == 20.0
    # A foot is 0.3048 m.
    assert shared.places.setData(at_head(shared.places, "Elevation, ft"), "1000")
    assert group.document.group.places[0].elevation_m == pytest.approx(304.8)
    display.set_us(False)
    assert at_head(shared.places, "Elevation, m").data() == "304.8"
    assert at_head(shared.dates, "Low, °C").data() == "0"


def test_a_number_out_of_bounds_is_refused_in_the_units_shown(group: GroupWindow) -> None:
    shared, display = group.shared, group.display
    display.set_us(True)
    wind = at_head(shared.shared, "Wind, mph")
    assert not shared.shared.setData(wind, "400")
    # 60 m/s / 0.44704 = 134.2 mph.
    assert plain(shared.says.text()) == "The group, wind: must be at most 134.2 mph, got 400."
    assert wind.data() == "400"
    assert not shared.shared.setData(at_head(shared.shared, "Days"), "many")
    display.set_us(False)
    # What was refused in miles an hour is no number of metres a second.
    assert at_head(shared.shared, "Wind, m/s").data() == "2"
    assert at_head(shared.shared, "Days").data() == "many"


def at_head(model: QAbstractItemModel, head: str) -> QModelIndex:
    """Return the first cell under a head, which must be there."""
    across = Qt.Orientation.Horizontal
    heads = [model.headerData(at, across) for at in range(model.columnCount())]
    return model.index(0, heads.index(head))


def test_a_plan_of_a_role_comes_from_the_main_window_and_goes_there(
    user: User, beside: GroupWindow
) -> None:
    document, shared = user.window.document, beside.shared
    shared.tables["roles"].choose(0)
    shared.buttons["take plan"].click()
    role = beside.document.group.roles[0]
    (plan,) = (each.blocks for each in beside.document.group.plans if each.role == role)
    assert plan == document.scenario.plan
    document.edit("plan", plan[:1])
    shared.buttons["give plan"].click()
    assert document.scenario.plan == plan
    shared.buttons["drop plan"].click()
    assert role not in [each.role for each in beside.document.group.plans]


def test_a_new_group_has_the_stations_of_the_open_scenario(
    user: User, tmp_path: Path, answers: Answers
) -> None:
    stations = user.window.document.scenario.stations
    (tmp_path / "club").mkdir()
    answers.choice = None
    user.window.commands.by_key["file.new_group"].trigger()
    assert user.window.views.groups.window is None
    answers.save = tmp_path / "kit.toml"
    assert user.window.files.save()
    answers.save = tmp_path / "club" / "net.toml"
    user.window.commands.by_key["file.new_group"].trigger()
    window = user.window.views.groups.window
    assert window is not None
    settle(window)
    assert [post.station for post in window.document.group.posts] == [1, 2][: len(stations)]
    assert window.document.path == answers.save
    assert (tmp_path / "club" / "kit.toml").exists()
    assert [row.kit.station for row in run_group(window.document.whole).posts] == list(stations)
    user.window.views.groups.end()


def test_a_new_group_named_as_its_kit_does_not_take_its_place(
    user: User, tmp_path: Path, answers: Answers
) -> None:
    answers.save = tmp_path / "net.toml"
    assert user.window.files.save()
    (tmp_path / "club").mkdir()
    answers.save = tmp_path / "club" / "net.toml"
    user.window.commands.by_key["file.new_group"].trigger()
    window = user.window.views.groups.window
    assert window is not None
    assert window.document.group.posts[0].scenario == "net-2.toml"
    assert window.document.whole.scenarios[0][1] == user.window.document.scenario
    user.window.views.groups.end()
