"""What a person gets done in the windows beside the main one."""

from __future__ import annotations

from pathlib import Path

import pypdfium2
import pytest
from beside import fill, find, follow, leave, library, opened, pick, press, scenario_of, words_on
from PySide6.QtCore import Qt
from PySide6.QtPrintSupport import QPrinter
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QComboBox, QLineEdit, QPushButton, QTableView
from user import User

from app.pages.library.place import own_folder, own_library
from app.widgets import dialogs


def text_of(path: Path) -> list[str]:
    document = pypdfium2.PdfDocument(path)
    return [page.get_textpage().get_text_range() for page in document]


def test_pages_are_turned_by_keys_and_follow_what_is_chosen(user: User) -> None:
    window = opened(user, "kit_page")
    sheets = window.view.sheets  # type: ignore[attr-defined]
    assert "Page 1 of 5" in words_on(window)
    QTest.keyClick(window.focusWidget(), Qt.Key.Key_PageDown)
    assert "Page 2 of 5" in words_on(window)
    press(window, "Field log")
    follow(user, window)
    assert "Page 2 of 7" in words_on(window)
    pick(window, "stations on the pages", "One box")
    follow(user, window)
    assert "of 3" in words_on(window)
    a4 = sheets._pages[0].height
    pick(window, "paper", "Letter")
    follow(user, window)
    assert sheets._pages[0].height < a4


def test_pages_are_turned_and_saved_without_scrolling_in_the_largest_text(
    user: User,
) -> None:
    window = user.window
    window.display.set_text_percent(200)
    window.resize(1366, 768)
    lens = opened(user, "kit_page")
    choice = find(lens, "stations on the pages", QComboBox)
    save = find(lens, "Save PDF…", QPushButton)
    assert save.visibleRegion().boundingRect().size() == save.size()
    assert isinstance(choice, QComboBox)
    room = choice.width() - choice.height()
    assert choice.fontMetrics().horizontalAdvance(choice.currentText()) <= room
    window.display.restore_text_size()


def test_pages_follow_an_edit_in_the_main_window(user: User, answers: object) -> None:
    window = opened(user, "kit_page")
    before = window.view.sheets._pages  # type: ignore[attr-defined]
    user.fill("station 1, name", "Renamed kit")
    follow(user, window)
    assert window.view.sheets._pages != before  # type: ignore[attr-defined]


def test_pages_are_saved_with_blanks_for_a_class(
    user: User, answers: object, tmp_path: Path
) -> None:
    target = tmp_path / "kit.pdf"
    answers.page = target  # type: ignore[attr-defined]
    window = opened(user, "kit_page")
    press(window, "Save PDF…")
    assert user.sees(f"saved to {target}")
    printed = text_of(target)
    pick(window, "results on the pages", "left blank")
    # What is chosen anew is neither printed nor saved before it stands there.
    follow(user, window)
    press(window, "Save PDF…")
    assert len(text_of(target)) == len(printed)
    assert text_of(target) != printed


def test_pages_that_cannot_be_saved_are_told(user: User, answers: object, tmp_path: Path) -> None:
    answers.page = tmp_path / "no such folder" / "kit.pdf"  # type: ignore[attr-defined]
    press(opened(user, "kit_page"), "Save PDF…")
    assert any("not saved" in line for line in answers.said)  # type: ignore[attr-defined]


def test_pages_are_printed_as_they_are_shown(
    user: User, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    target = tmp_path / "printed.pdf"

    def ask_for_printer(_parent: object, _title: str, pages: int) -> QPrinter:
        printer = QPrinter(QPrinter.PrinterMode.HighResolution)
        printer.setOutputFileName(str(target))
        printer.setFromTo(2, pages)
        return printer

    monkeypatch.setattr(dialogs, "ask_for_printer", ask_for_printer)
    press(opened(user, "kit_page"), "Print…")
    assert len(text_of(target)) == 4
    assert user.sees("is printing")


def test_a_part_goes_into_the_station_chosen_as_one_step(user: User) -> None:
    before = scenario_of(user)
    window = library(user)
    pick(window, "station that parts go into and come from", "One box")
    fill(window, "search the library", "pocket morse")
    table = find(window, "parts of the library", QTableView)
    table.selectRow(0)
    assert f"Name: {before.stations[1].radio.name} → Pocket Morse radio, 5 W" in words_on(window)
    press(window, "Put into the station")
    after = scenario_of(user)
    assert after.stations[1].radio.name == "Pocket Morse radio, 5 W"
    assert after.stations[0] == before.stations[0]
    assert "The station carries this part as it is." in words_on(window)
    user.window.document.undo_stack.undo()
    assert scenario_of(user) == before


def test_a_part_of_a_station_comes_into_the_library_and_is_offered(user: User) -> None:
    own = scenario_of(user).stations[0].radio
    window = library(user)
    pick(window, "part of the station", f"Radio: {own.name}")
    press(window, "Save to library")
    assert f"Radio: {own.name} (new)" in words_on(window)
    press(window, "Add")
    assert user.window.sheet.doing.library.find("radio", own.name) == own
    leave(user)
    assert own_library()[0].find("radio", own.name) == own
    assert own_folder().is_dir()


@pytest.mark.qt_log_ignore("does not support grabbing the keyboard", extend=True)
def test_a_part_s_own_menu_offers_it_to_the_library(user: User) -> None:
    own = scenario_of(user).stations[1].battery
    user.cell_menu(2, "Battery", "Save to library…")
    window = user.window.lenses.made["library"]
    follow(user, window)
    assert f"Battery: {own.name} (new)" in words_on(window)
    assert "1 part to import" in words_on(window)
    station = find(window, "station that parts go into and come from", QComboBox)
    assert scenario_of(user).stations[1].name in station.currentText()  # type: ignore[attr-defined]
    before = scenario_of(user)
    press(window, "Add")
    assert scenario_of(user) is before
    assert window.view.shelf.library.find("battery", own.name) == own  # type: ignore[attr-defined]
    # What is held by now differs: the difference is shown first.
    user.window.document.edit("stations.1.battery.capacity_ah", 17.5)
    changed = scenario_of(user).stations[1].battery
    user.window.sheet.doing.keep_wanted.emit(1, changed)
    assert f"Rated capacity: {own.capacity_ah:g} Ah → 17.5 Ah" in words_on(window)
    press(window, "Replace those of the same name")
    assert window.view.shelf.library.find("battery", own.name) == changed  # type: ignore[attr-defined]


def test_parts_are_taken_out_and_brought_in(
    user: User, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    target = tmp_path / "parts.csv"
    monkeypatch.setattr(dialogs, "ask_for_export", lambda *_: target)
    monkeypatch.setattr(dialogs, "ask_for_parts_to_open", lambda *_: target)
    window = library(user)
    fill(window, "search the library", "pocket morse")
    press(window, "Export…")
    target.write_text(target.read_text().replace("Pocket Morse radio", "Pocket radio"))
    press(window, "Import…")
    assert "1 part to import" in words_on(window)
    press(window, "Add")
    view = window.view
    assert view.shelf.library.find("radio", "Pocket radio, 5 W")  # type: ignore[attr-defined]


def test_a_file_that_holds_no_parts_is_told(
    user: User, answers: object, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    target = tmp_path / "parts.toml"
    target.write_bytes(b"\xff\xfe\x00")
    monkeypatch.setattr(dialogs, "ask_for_parts_to_open", lambda *_: target)
    press(library(user), "Import…")
    assert any("could not be read" in line for line in answers.said)  # type: ignore[attr-defined]


def test_readings_typed_at_the_bench_wait_until_they_are_put_in(user: User) -> None:
    before = scenario_of(user)
    window = opened(user, "bench")
    radio = before.stations[0].radio
    mass = f"{radio.name}: mass"
    fill(window, mass, "655")
    leave(user)
    user.fill("station 1, reserve", "25")
    window = opened(user, "bench")
    assert find(window, mass, QLineEdit).text() == "655"
    press(window, "Put the readings into the station")
    changed = scenario_of(user).stations[0]
    assert changed.radio.mass_kg == pytest.approx(0.655)
    assert changed.reserve_fraction == pytest.approx(0.25)
    user.window.document.undo_stack.undo()
    assert scenario_of(user).stations[0].radio == radio


def test_another_scenario_begins_with_an_empty_bench(user: User) -> None:
    window = opened(user, "bench")
    radio = scenario_of(user).stations[0].radio
    fill(window, f"{radio.name}: mass", "655")
    user.choose("File", "New")
    follow(user, window)
    assert window.view._forms[0].typed() == {}  # type: ignore[attr-defined]


def test_the_bench_sheet_is_shown_to_be_printed(
    user: User, answers: object, tmp_path: Path
) -> None:
    answers.page = tmp_path / "bench.pdf"  # type: ignore[attr-defined]
    window = opened(user, "bench")
    press(window, "Print the sheet…")
    press(window, "Save PDF…")
    assert "Bench sheet: Low power and amplifier" in text_of(tmp_path / "bench.pdf")[0]


def test_a_reading_of_the_trip_is_kept_in_the_scenario(user: User) -> None:
    window = opened(user, "field_check")
    fill(window, "reading, time", "18:00")
    fill(window, "reading, used since full", "1.5")
    press(window, "Add to the log")
    follow(user, window)
    assert len(scenario_of(user).stations[0].readings) == 1
    assert "Measured and predicted" in words_on(window)
    user.window.document.undo_stack.undo()
    follow(user, window)
    assert "No readings yet" in words_on(window)


def test_equal_power_is_taken_over_as_one_step(user: User) -> None:
    before = scenario_of(user)
    window = opened(user, "sizing")
    sheets = window.view.sizing.sheets  # type: ignore[attr-defined]
    sheets.show_at(5)
    part = window.view.sizing.terms  # type: ignore[attr-defined]
    user.wait_for(lambda: part.is_settled and part.table.isVisible())
    press(window, "Same time")
    user.wait_for(lambda: part.is_settled and scenario_of(user) != before)
    follow(user, window)
    user.window.document.undo_stack.undo()
    assert scenario_of(user) == before


def test_what_was_worked_out_of_an_older_scenario_is_not_put_over_a_newer(user: User) -> None:
    window = opened(user, "sizing")
    old = scenario_of(user)
    user.window.document.edit("site.name", "Elsewhere")
    window.view._on_edit("too late", old)  # type: ignore[attr-defined]
    assert scenario_of(user).site.name == "Elsewhere"
    assert "has changed meanwhile" in words_on(window)
    user.wait_for(lambda: "has changed meanwhile" not in words_on(window))


def test_odds_are_said_in_words(user: User) -> None:
    window = opened(user, "odds")
    user.wait_for(lambda: "What drives the uncertainty" in words_on(window))
    assert "keep A receiving to the end" in words_on(window)
    assert "goes off the air" in words_on(window)
