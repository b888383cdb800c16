"""The parts library as a person uses it."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import (
    QAbstractButton,
    QApplication,
    QComboBox,
    QLabel,
    QLineEdit,
    QMenu,
    QPlainTextEdit,
    QPushButton,
    QScrollArea,
    QTableView,
    QWidget,
)
from pytestqt.qtbot import QtBot
from user import User

from app.pages.library.browser import LibraryBrowser
from app.pages.library.exchange import read_parts, write_parts
from app.pages.library.place import own_folder, own_shelf
from app.pages.library.shelf import Shelf
from app.resources import resource
from app.state.display import Display
from app.state.settings import Settings
from model.files.scenario_file import SaveError
from model.library import catalogue
from model.library.catalogue import Library, named
from model.library.store import load
from model.scenario.station import Part, Station
from tests.plain import plain

STARTER = resource("assets/parts")


@pytest.fixture
def shelf(tmp_path: Path, qtbot: QtBot) -> Iterator[Shelf]:
    made = Shelf(tmp_path / "parts", STARTER)
    yield made
    made.close()
    assert qtbot is not None


@pytest.fixture
def browser(shelf: Shelf, qtbot: QtBot) -> LibraryBrowser:
    made = LibraryBrowser(shelf, Display(Settings()))
    qtbot.addWidget(made)
    made.resize(1000, 700)
    made.show()
    qtbot.waitExposed(made)
    return made


def find(within: QWidget, name: str, kind: type[QWidget]) -> QWidget:
    # What was just put into a layout is shown on the next turn of the loop.
    QApplication.processEvents()
    found = [
        each
        for each in within.findChildren(kind)
        if each.isVisible()
        and (
            each.accessibleName() == name
            or (isinstance(each, QAbstractButton) and each.text() == name)
        )
    ]
    assert len(found) == 1, f"{name!r} is there {len(found)} times"
    return found[0]


def press(within: QWidget, name: str) -> None:
    QTest.mouseClick(find(within, name, QAbstractButton), Qt.MouseButton.LeftButton)


def fill(within: QWidget, name: str, text: str) -> None:
    line = find(within, name, QLineEdit)
    line.setFocus()
    QTest.keyClick(line, Qt.Key.Key_A, Qt.KeyboardModifier.ControlModifier)
    QTest.keyClicks(line, text)
    QTest.keyClick(line, Qt.Key.Key_Tab)


def pick(within: QWidget, name: str, words: str) -> None:
    box = find(within, name, QComboBox)
    assert isinstance(box, QComboBox)
    box.setCurrentText(words)
    box.activated.emit(box.currentIndex())


def words_on(within: QWidget) -> str:
    labels = [each.text() for each in within.findChildren(QLabel) if each.isVisible()]
    texts = [each.toPlainText() for each in within.findChildren(QPlainTextEdit) if each.isVisible()]
    return "\n".join(labels + texts)


def shown(browser: LibraryBrowser) -> list[str]:
    return [part.name for part in browser._parts]


def part(library: Library, kind: str, name: str) -> Part:
    return library.find(kind, name)


def test_the_library_is_kept_in_the_person_s_own_folder(fresh_home: Path, qtbot: QtBot) -> None:
    shelf = own_shelf()
    assert fresh_home in own_folder().parents
    assert load(own_folder()) == shelf.library == load(STARTER)
    assert qtbot is not None


def test_search_and_kind_narrow_what_is_shown(browser: LibraryBrowser) -> None:
    pick(browser, "kind of part", "Radio")
    assert len(shown(browser)) == 10
    fill(browser, "search the library", "one-box")
    assert len(shown(browser)) == 3
    fill(browser, "search the library", "one-box mobile")
    assert shown(browser) == ["Compact one-box, 100 W, mobile"]


def test_the_person_is_told_that_the_parts_are_invented(browser: LibraryBrowser) -> None:
    assert "invented" in words_on(browser)


def test_a_number_is_edited_saved_and_undone_in_one_step(
    browser: LibraryBrowser, shelf: Shelf, tmp_path: Path
) -> None:
    before = shelf.library
    browser.select(part(before, "radio", "Manpack, 20 W"))
    fill(browser, "receive current", "0.45")
    assert shelf.library.find("radio", "Manpack, 20 W").receive_a == 0.45
    shelf.close()
    assert load(tmp_path / "parts") == shelf.library
    press(browser, "Undo")
    assert shelf.library == before
    assert not browser.buttons["undo"].isEnabled()
    field = find(browser, "receive current", QLineEdit)
    assert isinstance(field, QLineEdit)
    assert field.text() == "0.4"


def test_copy_delete_and_undo(browser: LibraryBrowser, shelf: Shelf) -> None:
    before = shelf.library
    browser.select(part(before, "panel", "Folding, 60 W"))
    press(browser, "Copy")
    copy = browser.selected()
    assert copy is not None
    assert copy.name == "Folding, 60 W (2)"
    press(browser, "Delete")
    assert shelf.library == before
    press(browser, "Undo")
    press(browser, "Undo")
    assert shelf.library == before
    assert shelf.undo_words == ""


def test_a_name_that_is_taken_is_refused_beside_the_fields(
    browser: LibraryBrowser, shelf: Shelf
) -> None:
    browser.select(part(shelf.library, "tuner", "Latching tuner, 20 W"))
    fill(browser, "name", "Latching tuner, 100 W")
    assert "already has a tuner named" in words_on(browser)
    assert len({each.name for each in shelf.library.of("tuner")}) == 4


def test_a_part_is_renamed_and_stays_chosen(browser: LibraryBrowser, shelf: Shelf) -> None:
    browser.select(part(shelf.library, "tuner", "Latching tuner, 20 W"))
    fill(browser, "name", "My tuner")
    chosen = browser.selected()
    assert chosen is not None
    assert chosen.name == "My tuner"
    assert part(shelf.library, "tuner", "My tuner").mass_kg == 0.22


def test_a_new_part_is_of_the_kind_shown(browser: LibraryBrowser, shelf: Shelf) -> None:
    pick(browser, "kind of part", "Battery")
    press(browser, "New")
    chosen = browser.selected()
    assert chosen is not None
    assert chosen.name == "New battery"
    assert len(shelf.library.of("battery")) == 12


def test_what_a_part_would_change_is_shown_before_it_is_brought_in(
    browser: LibraryBrowser, shelf: Shelf, qtbot: QtBot
) -> None:
    library = shelf.library
    pick(browser, "kind of part", "Battery")
    carried = part(library, "battery", "LFP 15 Ah")
    browser.compare_with(Station(name="kit", radio=library.of("radio")[0], battery=carried))
    browser.select(part(library, "battery", "LFP 30 Ah"))
    assert "Rated capacity: 15 Ah → 30 Ah" in plain(words_on(browser))
    with qtbot.waitSignal(browser.part_wanted) as wanted:
        press(browser, "Put into the station")
    assert wanted.args == [part(library, "battery", "LFP 30 Ah")]
    browser.select(part(library, "battery", "LFP 15 Ah"))
    assert "carries this part as it is" in words_on(browser)


def test_a_part_of_a_station_is_kept_after_its_difference_was_shown(
    browser: LibraryBrowser, shelf: Shelf
) -> None:
    held = part(shelf.library, "battery", "LFP 15 Ah")
    worn = held.model_copy(update={"tested_fraction": 0.7})
    browser.keep(worn)
    assert "Tested capacity: 90 % → 70 %" in words_on(browser)
    press(browser, "Replace those of the same name")
    assert part(shelf.library, "battery", "LFP 15 Ah") == worn
    assert not browser.offer.isVisible()
    browser.keep(held)
    press(browser, "Add beside existing parts")
    assert part(shelf.library, "battery", "LFP 15 Ah (2)").tested_fraction == 0.9


@pytest.mark.parametrize("name", ["parts.csv", "parts.toml"])
def test_parts_go_to_a_file_and_come_back(
    browser: LibraryBrowser, shelf: Shelf, tmp_path: Path, qtbot: QtBot, name: str
) -> None:
    pick(browser, "kind of part", "Panel")
    with qtbot.waitSignal(browser.export_wanted) as wanted:
        press(browser, "Export…")
    [parts] = wanted.args
    write_parts(parts, tmp_path / name)
    assert read_parts(tmp_path / name) == (shelf.library.of("panel"), ())


def test_broken_lines_of_a_table_are_named_and_the_rest_is_offered(
    browser: LibraryBrowser, shelf: Shelf, tmp_path: Path
) -> None:
    path = tmp_path / "mine.csv"
    path.write_text("part,name,receive_a\nradio,Mine,0.2\nradio,Broken,lots\n", encoding="utf-8")
    browser.offer.show_parts(*read_parts(path))
    said = words_on(browser)
    assert "1 part to import; 1 line refused." in said
    assert "Radio: Mine (new)" in said
    assert "refused: line 3: receive_a:" in said
    press(browser, "Add")
    assert part(shelf.library, "radio", "Mine").receive_a == 0.2


def test_versions_that_saves_replaced_can_be_gone_back_to_and_that_undone(
    browser: LibraryBrowser, shelf: Shelf
) -> None:
    browser.versions.fill()
    (none,) = browser.versions.actions()
    assert "None yet" in none.text()
    before = shelf.library
    first, second = before.of("radio")[:2]
    shelf.delete(first)
    shelf.close()
    shelf.replace(second, second.model_copy(update={"mass_kg": 7.0}))
    shelf.close()
    browser.versions.fill()
    (radios,) = browser.versions.actions()
    assert radios.text() == "Radio"
    menu = radios.menu()
    assert isinstance(menu, QMenu)
    newer, older = menu.actions()
    assert newer.text().endswith(": 1 part differs")
    assert older.text().endswith(": 2 parts differ")
    older.trigger()
    assert shelf.library.of("radio") == before.of("radio")
    assert shelf.library.of("battery") == before.of("battery")
    press(browser, "Undo")
    assert first not in shelf.library.parts
    newest = shelf.versions()[0].backup.path
    newest.write_bytes(b"\0")
    browser.versions.fill()
    (again,) = browser.versions.actions()
    menu = again.menu()
    assert isinstance(menu, QMenu)
    assert menu.actions()[0].text().endswith(": cannot be read")
    assert not menu.actions()[0].isEnabled()


def test_leaving_an_offer_changes_nothing(browser: LibraryBrowser, shelf: Shelf) -> None:
    before = shelf.library
    browser.offer.show_parts((part(before, "radio", "Manpack, 20 W"),), ("line 1: broken",))
    press(browser, "Leave")
    assert shelf.library == before


def test_a_library_that_cannot_be_saved_says_so_and_keeps_the_change(
    browser: LibraryBrowser, shelf: Shelf, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refuse(*_: object) -> None:
        raise SaveError("radios.toml: the disk is full")

    monkeypatch.setattr("app.pages.library.shelf.save", refuse)
    browser.select(part(shelf.library, "radio", "Manpack, 20 W"))
    press(browser, "Delete")
    shelf.save()
    qtbot.waitUntil(lambda: "the disk is full" in words_on(browser))
    assert "the disk is full" in words_on(browser)
    assert len(shelf.library.of("radio")) == 9


def test_a_slip_made_by_hand_is_named(tmp_path: Path, qtbot: QtBot) -> None:
    folder = tmp_path / "parts"
    Shelf(folder, STARTER).close()
    (folder / "radios.toml").write_text('[[radio]]\nname = "A"\nrecieve_a = 1\n', encoding="utf-8")
    shelf = Shelf(folder, STARTER)
    browser = LibraryBrowser(shelf, Display(Settings()))
    qtbot.addWidget(browser)
    browser.show()
    assert "radios.toml" in words_on(browser)
    assert len(shelf.library.of("panel")) == 8


def test_nothing_typed_is_markup(browser: LibraryBrowser, shelf: Shelf) -> None:
    browser.keep(part(shelf.library, "radio", "Manpack, 20 W").model_copy(
        update={"name": "<b>bold</b>"}))  # fmt: skip
    assert "<b>bold</b>" in words_on(browser)
    labels = browser.findChildren(QLabel)
    assert all(
        label.textFormat() == Qt.TextFormat.PlainText or "<" not in label.text() for label in labels
    )


def test_everything_can_be_reached_and_is_named(browser: LibraryBrowser, shelf: Shelf) -> None:
    browser.select(part(shelf.library, "battery", "LFP 15 Ah"))
    nameless = [
        type(each).__name__
        for each in browser.findChildren(QWidget)
        if each.isVisible()
        and each.focusPolicy() & Qt.FocusPolicy.TabFocus
        and not each.accessibleName()
        and not (isinstance(each, QAbstractButton) and each.text())
        and each.parentWidget() is not None
        and not isinstance(each.parentWidget(), QComboBox)
    ]
    assert set(nameless) <= {"QScrollArea"}


@pytest.mark.parametrize("us", [False, True])
def test_masses_follow_the_units_shown(shelf: Shelf, qtbot: QtBot, us: bool) -> None:
    display = Display(Settings())
    browser = LibraryBrowser(shelf, display)
    qtbot.addWidget(browser)
    display.set_us(us)
    index = browser._model.index(0, 3)
    assert str(browser._model.data(index)).endswith("lb" if us else "kg")


def test_a_full_library_says_so_in_one_line_and_takes_nothing(
    browser: LibraryBrowser, shelf: Shelf, monkeypatch: pytest.MonkeyPatch
) -> None:
    limit = len(shelf.library.of("radio")) + 3
    monkeypatch.setattr(catalogue, "PARTS_LIMIT", limit)
    radio, room = shelf.library.of("radio")[0], 3
    more = tuple(named(radio, f"set {number}") for number in range(room))
    assert shelf.add_all(more, replacing=False)
    full = shelf.library
    said = f"A library holds at most {limit} parts of one kind."
    pick(browser, "kind of part", "Radio")
    browser.select(radio)
    for name in ("New", "Copy"):
        press(browser, name)
        assert f"✕ {said}" in words_on(browser), name
        assert shelf.library is full
    # One that is there already and one too many: neither is taken in, and both stay offered.
    browser.offer.show_parts((radio.model_copy(update={"receive_a": 0.9}), named(radio, "last")))
    press(browser, "Add beside existing parts")
    assert f"✕ {said} None of these was put in." in words_on(browser)
    assert browser.offer.isVisible()
    assert shelf.library is full
    press(browser, "Leave")
    browser.select(part(full, "radio", "set 0"))
    press(browser, "Delete")
    assert said not in words_on(browser)
    press(browser, "New")
    assert len(shelf.library.of("radio")) == limit


@pytest.mark.parametrize(("width", "height", "percent"), [(1024, 600, 100), (1366, 768, 200)])
def test_one_scroll_bar_is_enough_beside_the_fields(
    open_window: Callable[..., User], width: int, height: int, percent: int
) -> None:
    user = open_window()
    window = user.window
    window.display.set_text_percent(percent)
    window.resize(width, height)
    sheet = window.views.open_library().parentWidget()
    while not isinstance(sheet, QScrollArea):
        sheet = sheet.parentWidget()
    user.qtbot.wait(300)
    assert sheet.verticalScrollBar().maximum() == 0
    table = user.find("parts of the library", QTableView)
    assert isinstance(table, QTableView)
    assert table.horizontalScrollBar().maximum() == 0
    shown = [at for at in range(4) if not table.isColumnHidden(at)]
    assert shown[0] == 0
    assert sum(map(table.columnWidth, shown)) <= table.viewport().width()
    put = user.find("Put into the station", QPushButton)
    assert put.visibleRegion().boundingRect().height() == put.height()
    window.display.restore_text_size()
