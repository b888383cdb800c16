"""The field check as a person uses it on the trip."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QLabel, QLineEdit, QPushButton
from pytestqt.qtbot import QtBot

from app.pages.field.check.meters_form import MetersForm
from app.pages.field.check.view import FieldCheckView
from app.resources import resource
from app.state.display import Display
from app.state.document import Document
from app.state.edit_context import Desk
from app.state.settings import Settings
from app.widgets import dialogs
from model.engine.comparison import simulate
from model.library.new_station import new_station
from model.library.store import load
from model.scenario.scenario import Block, Day, Scenario, Site
from model.scenario.station import Battery, Radio, Station
from model.support.figures import NBSP, percent


@pytest.fixture
def document() -> Document:
    library = load(resource("assets/parts"))
    stations = tuple(
        new_station(name, radio, "LFP 15 Ah", library)
        for name, radio in (("Light", "Screen all-mode, 10 W"), ("Heavy", "Manpack, 20 W"))
    )
    return Document(
        Scenario(
            site=Site(latitude_deg=46.0, longitude_deg=11.0),
            day=Day(date=date(2027, 3, 1)),
            plan=(Block(start="00:00", end="24:00", activity="watch"),),
            stations=stations,
        )
    )


class Session:
    """Runs the scenario after every change, as the window does."""

    def __init__(self, document: Document, view: FieldCheckView, qtbot: QtBot) -> None:
        self.document, self.view, self.qtbot = document, view, qtbot
        document.scenario_changed.connect(self.run)
        self.run()

    def run(self) -> None:
        self.view.show_comparison(simulate(self.document.scenario))
        self.qtbot.waitUntil(lambda: self.view.is_settled, timeout=20_000)


@pytest.fixture
def view(document: Document, qtbot: QtBot) -> Iterator[FieldCheckView]:
    settings = Settings()
    made = FieldCheckView(Desk(document, Display(settings)), settings)
    qtbot.addWidget(made)
    session = Session(document, made, qtbot)
    made.resize(800, 800)
    made.show()
    qtbot.waitExposed(made)
    yield made
    assert session.view is made
    made.stop()


def type_in(view: FieldCheckView, **texts: str) -> None:
    form = view._form
    for name, text in texts.items():
        if name == "on":
            form._day.setCurrentText(text)
            continue
        {"at": form._time, "note": form._note, **form._lines}[name].setText(text)


def add(view: FieldCheckView, **texts: str) -> None:
    type_in(view, **texts)
    view._form.add_button.click()


def words_on(view: FieldCheckView) -> str:
    QApplication.processEvents()
    return "\n".join(each.text() for each in view.findChildren(QLabel) if each.isVisible())


def press(view: FieldCheckView, start: str) -> None:
    QApplication.processEvents()
    found = [
        each
        for each in view.findChildren(QPushButton)
        if each.isVisible() and each.accessibleName().startswith(start)
    ]
    found[0].click()


def test_the_band_is_shown_before_the_reading_is_added(view: FieldCheckView) -> None:
    # Receive 0.38 A for 12 h and 5 % missing at the start of 13.5 Ah: 5.235 Ah.
    type_in(view, at="12:00", used_ah="5.2 Ah")
    said = words_on(view)
    assert f"measured 5.2{NBSP}Ah, predicted 5.24{NBSP}Ah" in said
    assert "As predicted" in said
    assert view._desk.document.scenario.stations[0].readings == ()


def test_a_reading_is_kept_with_the_scenario_and_undone(view: FieldCheckView) -> None:
    document = view._desk.document
    add(view, at="7:05", used_ah="3,4", note="cold night")
    [reading] = document.scenario.stations[0].readings
    assert (reading.at, reading.used_ah, reading.note) == ("07:05", 3.4, "cold night")
    assert "cold night" in words_on(view)
    document.undo_stack.undo()
    assert document.scenario.stations[0].readings == ()
    assert "No readings yet" in words_on(view)


def test_what_was_read_changes_what_is_left(view: FieldCheckView, qtbot: QtBot) -> None:
    with qtbot.waitSignal(view.outlook_changed) as told:
        add(view, at="12:00", used_ah="7.5")
    index, check = told.args
    assert index == 0
    assert check.found.outlook.fraction[-1] < check.predicted.end_fraction - 0.1
    said = words_on(view)
    planned = percent(check.predicted.end_fraction)
    assert f"predicted was {planned}." in said
    assert "What explains the readings" in said
    assert "These readings cannot tell the battery's capacity" in said
    assert "More charge has been used than predicted" in said


def test_an_end_makes_the_battery_the_first_suspect_and_its_number_is_kept(
    view: FieldCheckView,
) -> None:
    document = view._desk.document
    document.edit("stations.0.battery.capacity_ah", 8.0, "smaller")
    # 0.38 A as entered, from 0.36 Ah missing; gone after 5.4 Ah where 6.84 were to be had.
    for at, used in (("06:00", "2.64"), ("12:00", "4.92")):
        add(view, at=at, used_ah=used)
    view._form._seen.setCurrentIndex(1)
    add(view, at="13:00")
    [_, _, last] = document.scenario.stations[0].readings
    assert (last.at, last.event) == ("13:00", "off")
    said = words_on(view)
    assert "The battery gives about" in said
    assert "Off the air from 13:00." in said
    press(view, "update: LFP")
    battery = document.scenario.stations[0].battery
    assert battery.tested_fraction < 0.85
    source = battery.source_of("tested_fraction")
    assert (source.origin, source.on) == ("measured", date(2027, 3, 1))
    assert source.spread is not None
    assert "Corrections that the readings suggest" not in words_on(view)


def test_an_offered_number_is_taken_over(view: FieldCheckView) -> None:
    document = view._desk.document
    before = document.scenario.stations[0].radio.receive_a
    # The 5 % missing at the start and 0.475 A, a quarter more than the 0.38 A entered.
    for at, used in (("06:00", "3.5"), ("12:00", "6.4"), ("18:00", "9.2")):
        add(view, at=at, used_ah=used)
    assert "receive current seems" in words_on(view)
    press(view, "update: ")
    radio = document.scenario.stations[0].radio
    assert radio.receive_a > before * 1.1
    assert radio.source_of("receive_a").origin == "measured"
    assert radio.source_of("receive_a").on == date(2027, 3, 1)
    assert "Corrections that the readings suggest" not in words_on(view)


def test_a_reading_is_removed(view: FieldCheckView) -> None:
    add(view, at="06:00", used_ah="3")
    add(view, at="12:00", used_ah="5")
    press(view, "remove the reading of Mon 1 Mar, 06:00")
    [left] = view._desk.document.scenario.stations[0].readings
    assert left.at == "12:00"


def test_volts_that_say_nothing_are_not_believed(view: FieldCheckView) -> None:
    type_in(view, at="12:00", battery_v="13.1")
    assert f"after 30{NBSP}min" in words_on(view)
    view._form._rested.setChecked(True)
    assert "trust the counted Ah" in words_on(view)


@pytest.mark.parametrize(
    ("texts", "words"),
    [
        ({"at": "25:00", "used_ah": "3"}, "Must be a time"),
        ({"at": "12:00", "used_ah": "lots"}, "is not understood"),
        ({"at": "12:00", "panel_a": "-3"}, "Must be at least 0"),
    ],
)
def test_a_reading_that_cannot_be_is_said_at_once(
    view: FieldCheckView, texts: dict[str, str], words: str
) -> None:
    type_in(view, **texts)
    assert words in words_on(view)


def test_the_dates_of_the_run_are_offered_and_hours_before_it_are_outside(
    view: FieldCheckView,
) -> None:
    view._desk.document.edit("day.start_hour", 8.0, "start")
    dates = view._form._day
    assert [dates.itemText(row) for row in range(dates.count())] == ["Mon 1 Mar", "Tue 2 Mar"]
    type_in(view, at="07:00", used_ah="3")
    outside = "Mon 1 Mar 07:00 is outside the run, which goes from Mon 1 Mar 08:00 to Tue 2 Mar"
    assert outside in words_on(view)
    add(view, on="Tue 2 Mar", at="07:00", used_ah="8")
    [reading] = view._desk.document.scenario.stations[0].readings
    assert (reading.day, reading.at) == (2, "07:00")
    # The next reading is of the same morning.
    assert dates.currentText() == "Tue 2 Mar"
    assert "Tue 07:00, used since full" in words_on(view)


def test_each_station_has_its_own_log(view: FieldCheckView) -> None:
    add(view, at="12:00", used_ah="5")
    view._stations.setCurrentIndex(1)
    view._stations.activated.emit(1)
    assert "No readings yet" in words_on(view)
    add(view, at="12:00", used_ah="6")
    logs = [station.readings for station in view._desk.document.scenario.stations]
    assert [log[0].used_ah for log in logs] == [5.0, 6.0]


def test_what_stands_in_the_form_outlives_an_edit_the_station_and_the_view(
    view: FieldCheckView, document: Document, qtbot: QtBot
) -> None:
    type_in(view, at="12:0", used_ah="5.2", note="windy")
    document.edit("stations.0.battery.capacity_ah", 8.0, "smaller")
    view._stations.setCurrentIndex(1)
    view._stations.activated.emit(1)
    assert view._form.typed() == {}
    settings = Settings()
    later = FieldCheckView(Desk(document, Display(settings)), settings)
    qtbot.addWidget(later)
    later.show_comparison(simulate(document.scenario))
    assert later._form.typed() == {"time": "12:0", "used_ah": "5.2", "note": "windy", "date": "0"}
    later.stop()
    view._stations.setCurrentIndex(0)
    view._stations.activated.emit(0)
    type_in(view, at="12:00")
    view._form.add_button.click()
    assert document.scenario.stations[0].readings[0].note == "windy"
    assert document.loose.is_empty


def test_a_withheld_station_is_said(view: FieldCheckView) -> None:
    document = view._desk.document
    broken = Station(
        radio=Radio(receive_a=0.2, key_down=((1.0, 1.0), (4.0, 2.0))),
        battery=Battery(chemistry="LFP", capacity_ah=10.0),
    )
    slots = Block(start="00:00", end="01:00", activity="slots", rf_w=4.0, transmit_share=0.9)
    document.start(document.scenario.model_copy(update={"stations": (broken,), "plan": (slots,)}))
    assert "cannot be run as entered" in words_on(view)
    assert not view._form.add_button.isEnabled()


def test_a_log_is_pasted_as_one_step_and_copied_the_same(view: FieldCheckView) -> None:
    document = view._desk.document
    text = "Time\tUsed\tSeen\n06:00\t2.6\t\n13:00\t\toff the air from\n"
    QApplication.clipboard().setText(text)
    view.paste_button.click()
    log = document.scenario.stations[0].readings
    assert [(each.at, each.used_ah, each.event) for each in log] == [
        ("06:00", 2.6, "none"), ("13:00", None, "off"),
    ]  # fmt: skip
    view.copy_button.click()
    copied = QApplication.clipboard().text()
    view.paste_button.click()
    assert document.scenario.stations[0].readings == log
    assert "in the log already" in words_on(view)
    document.undo_stack.undo()
    assert document.scenario.stations[0].readings == ()
    QApplication.clipboard().setText(copied + "Mon 1 Mar\t99:00\t1\n")
    view.paste_button.click()
    assert "Row 3: " in words_on(view)
    assert document.scenario.stations[0].readings == ()


def test_a_logger_s_table_becomes_readings_and_its_columns_are_remembered(
    view: FieldCheckView, qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    document = view._desk.document
    rows = "".join(f"2027-03-01 {minute // 60:02d}:{minute % 60:02d};0,38;13,1\n"
                   for minute in range(600))  # fmt: skip
    table = tmp_path / "logger.csv"
    table.write_text("when;first;second\n" + rows, encoding="utf-8")
    monkeypatch.setattr(dialogs, "ask_for_logger_to_open", lambda *_: table)
    view.logger_button.click()
    choices = view.logger.columns.choices
    qtbot.waitUntil(lambda: choices["time"].count() > 1)
    # Two columns of numbers without telling heads: a person says which.
    assert choices["amps"].currentData() == ""
    assert "Choose which column" in words_on(view)
    for key, head in (("time", "when"), ("amps", "first"), ("volts", "second")):
        choices[key].setCurrentIndex(choices[key].findData(head))
        choices[key].activated.emit(0)
    qtbot.waitUntil(view.logger.add_button.isVisible)
    view.logger.add_button.click()
    log = document.scenario.stations[0].readings
    assert [each.used_ah for each in log if each.used_ah is not None][-1] == pytest.approx(
        0.05 * 13.5 + 0.38 * 8, abs=0.02
    )
    assert any(each.load_a == pytest.approx(0.38) for each in log)
    view.logger_button.click()
    qtbot.waitUntil(view.logger.add_button.isVisible)
    assert choices["amps"].currentData() == "first"
    assert Settings().logger_columns == {
        "time": "when", "amps": "first", "volts": "second", "positive_is": "out",
    }  # fmt: skip
    # A table that lacks one of these columns is read by its own heads.
    table.write_text("time,amps\n2027-03-01 06:00,-0.4\n2027-03-01 08:00,-0.4\n", "utf-8")
    view.logger_button.click()
    qtbot.waitUntil(lambda: choices["amps"].currentData() == "amps")
    assert choices["volts"].currentText() == "none"


def cell_typed(view: FieldCheckView, row: int, column: int, text: str) -> None:
    """Type into a cell of the table as a person does: choose it, type, press Enter."""
    table = view.table
    table.setFocus()
    table.setCurrentIndex(table.model().index(row, column))
    QTest.keyClicks(table, text[0])
    [editor] = [each for each in table.findChildren(QLineEdit) if each.isVisible()]
    editor.setText(text)
    QTest.keyClick(editor, Qt.Key.Key_Return)
    # The editor closes in one turn, and what was typed is told in the next.
    for _ in range(3):
        QApplication.processEvents()


def test_readings_are_typed_into_the_table_changed_and_removed_by_keys(
    view: FieldCheckView,
) -> None:
    document = view._desk.document
    cell_typed(view, 0, 2, "2.6")
    # Without a time it is no reading yet, and it is not lost.
    assert document.scenario.stations[0].readings == ()
    assert view.table.drafts == {"used_ah": "2.6"}
    assert list(document.loose.typed.values()) == [{"used_ah": "2.6"}]
    view.show_comparison(simulate(document.scenario))
    assert view.table.drafts == {"used_ah": "2.6"}
    cell_typed(view, 0, 1, "6:05")
    [reading] = document.scenario.stations[0].readings
    assert (reading.at, reading.used_ah) == ("06:05", 2.6)
    assert view.table.drafts == {}
    assert document.loose.is_empty
    cell_typed(view, 0, 2, "2,8")
    assert document.scenario.stations[0].readings[0].used_ah == 2.8
    cell_typed(view, 0, 2, "lots")
    assert "not understood" in words_on(view)
    assert document.scenario.stations[0].readings[0].used_ah == 2.8
    view.table.setCurrentIndex(view.table.model().index(0, 0))
    QTest.keyClick(view.table, Qt.Key.Key_Delete)
    assert document.scenario.stations[0].readings == ()
    document.undo_stack.undo()
    assert document.scenario.stations[0].readings[0].used_ah == 2.8


def test_the_accuracy_of_the_meters_is_an_input(document: Document, qtbot: QtBot) -> None:
    form = MetersForm(Desk(document, Display(Settings())))
    qtbot.addWidget(form)
    form.show_station(0)
    assert form.lines["counter_share"].text() == "2\N{NO-BREAK SPACE}%"
    assert form.lines["volts_v"].text() == "0.1\N{NO-BREAK SPACE}V"
    for key, text in (("counter_share", "1,5 %"), ("counter_start_ah", "-0.4")):
        form.lines[key].setText(text)
        form.lines[key].editingFinished.emit()
    meters = document.scenario.stations[0].meters
    assert (meters.counter_share, meters.counter_start_ah) == (0.015, -0.4)
    form.lines["counter_start_ah"].clear()
    form.lines["counter_start_ah"].editingFinished.emit()
    assert document.scenario.stations[0].meters.counter_start_ah is None
    form.lines["volts_v"].setText("99 V")
    form.lines["volts_v"].editingFinished.emit()
    assert "at most 5" in " ".join(each.text() for each in form.findChildren(QLabel))
    assert document.scenario.stations[0].meters.volts_v == 0.1
