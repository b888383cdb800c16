"""The leads of a station as a person sees and mends them."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from PySide6.QtGui import QFont, QFontMetrics
from pytestqt.qtbot import QtBot

from app.pages.wiring.chain_sketch import HEADS
from app.pages.wiring.measuring import AT_THE_BATTERY
from app.pages.wiring.view import AT_THE_END, CHARGE, FIRST_SENT, POINTED, LeadsView
from app.state.display import Display
from app.state.settings import Settings
from model.editing.paths import with_value
from model.engine.comparison import simulate
from model.engine.run import StationRun
from model.files.scenario_file import read_scenario
from model.results.voltage_drop import chain_at
from tests.plain import plain

RIDGE = Path(__file__).resolve().parents[2] / "scenarios" / "ridge-weekend.toml"


def run_of(index: int, **lead: float | None) -> StationRun:
    given = read_scenario(RIDGE)
    for field, value in lead.items():
        given = with_value(given, f"stations.{index}.leads.1.{field}", value)
    run = simulate(given).runs[index]
    assert run is not None
    return run


@pytest.fixture
def thin() -> StationRun:
    return run_of(1, fuse_a=None, size_mm2=2.5, one_way_m=3.0)


@pytest.fixture
def display() -> Display:
    return Display(Settings())


@pytest.fixture
def view(qtbot: QtBot, display: Display) -> Iterator[LeadsView]:
    shown = LeadsView(display)
    qtbot.addWidget(shown)
    shown.resize(560, 900)
    shown.show()
    yield shown
    shown.stop()


def test_the_chain_is_told_in_words(view: LeadsView, thin: StationRun) -> None:
    view.show_run(thin, 1)
    view.moment.setCurrentText(AT_THE_END)
    words = plain(view.sketch.accessibleDescription())
    assert "weakest: radio lead: 3 m of 2.5 mm²" in words
    assert "at the radio: receive 13.05 V, key down 11.50 V" in words
    assert plain(view.weakest.text()).startswith("Weakest link: radio lead: 3 m of 2.5 mm²")
    assert "is not possible now" in plain(view.now.text())
    assert "36 % charge" in plain(view.end.text())


def test_another_moment_shows_other_volts(view: LeadsView, thin: StationRun) -> None:
    view.show_run(thin, 1)
    at_the_start = plain(view.sketch.in_words())
    view.moment.setCurrentText(FIRST_SENT)
    assert plain(view.sketch.in_words()) != at_the_start
    view.moment.setCurrentText(CHARGE)
    assert view.charge.isVisible()
    view.charge.setValue(20)
    assert view.chain().fraction == pytest.approx(0.2)
    view.moment.setCurrentText(POINTED)
    view.show_step(600)
    assert view.chain() == chain_at(thin, 600)


def test_a_moment_that_never_comes_is_said(view: LeadsView) -> None:
    silent = simulate(read_scenario(RIDGE).model_copy(update={"plan": ()})).runs[1]
    view.show_run(silent, 1)
    view.moment.setCurrentText(FIRST_SENT)
    assert view.missing.isVisible()
    assert "No transmission" in view.missing.text()
    assert "The 100 W this station can give" in plain(view.now.text())


def test_a_cure_asks_for_its_edit(qtbot: QtBot, view: LeadsView, thin: StationRun) -> None:
    view.show_run(thin, 1)
    qtbot.waitUntil(lambda: bool(view.cures.cures), timeout=20_000)
    buttons = view.cures.findChildren(type(view.measuring.enter))
    with qtbot.waitSignal(view.edit_requested) as asked:
        buttons[0].click()
    path, value = view.cures.cures[0].edit
    assert asked.args == [f"stations.1.{path}", value]
    assert view.cures.state.isHidden()


def test_sound_leads_need_no_cure(qtbot: QtBot, view: LeadsView) -> None:
    view.show_run(run_of(0), 0)
    qtbot.waitUntil(lambda: view.cures.state.text().startswith("No change"), timeout=20_000)
    assert view.cures.cures == ()


def test_a_hidden_view_does_not_search(qtbot: QtBot, view: LeadsView, thin: StationRun) -> None:
    view.hide()
    view.show_run(thin, 1)
    qtbot.wait(700)
    assert view.cures.cures == ()
    view.show()
    qtbot.waitUntil(lambda: bool(view.cures.cures), timeout=20_000)


def test_fuses_are_advised_and_faults_named(view: LeadsView) -> None:
    view.show_run(run_of(1), 1)
    assert "30 A at the battery carries the 20.5 A" in plain(view.fuses.text())
    assert "Fault" not in view.fuses.text()


def test_a_withheld_station_says_so(view: LeadsView, thin: StationRun) -> None:
    view.show_run(thin, 1)
    assert view.withheld.isHidden()
    view.show_run(None, 1)
    assert view.withheld.isVisible()
    assert not view.inside.isVisible()


def enter(view: LeadsView, *readings: float | str) -> None:
    for line, value in zip(view.measuring.lines.values(), readings, strict=True):
        line.setText(str(value))


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ("13,10", "Measured 100.0 mΩ"),
        ("13100 mV", "Measured 100.0 mΩ"),
        ("1,310", "can be read two ways"),
        ("131", "A voltage is from 0 to 60 V"),
        ("high", "is not understood"),
    ],
)
def test_a_reading_is_read_as_typed_or_refused(view: LeadsView, typed: str, said: str) -> None:
    view.show_run(run_of(1), 1)
    enter(view, typed, "1,0", "11,20", "20,0")
    assert said in plain(view.measuring.outcome.text())
    assert view.measuring.enter.isEnabled() == said.startswith("Measured")


def test_readings_find_the_bad_joint(qtbot: QtBot, view: LeadsView) -> None:
    view.show_run(run_of(1), 1)
    assert not view.measuring.enter.isEnabled()
    enter(view, 13.10, 1.0, 11.20, 20.0)
    assert plain(view.measuring.outcome.text()).startswith("Measured 100.0 mΩ")
    with qtbot.waitSignal(view.edit_requested) as asked:
        view.measuring.enter.click()
    path, mohm = asked.args
    assert path == "stations.1.leads.1.joints_mohm"
    # 100 mΩ less 26 in the battery and 9.1 of copper and joints counted beside.
    assert mohm == pytest.approx(64.9, abs=0.3)


def test_readings_at_the_terminals_measure_the_battery(qtbot: QtBot, view: LeadsView) -> None:
    view.show_run(run_of(1), 1)
    view.measuring.place.setCurrentText(AT_THE_BATTERY)
    enter(view, 13.10, 1.0, 12.53, 20.0)
    with qtbot.waitSignal(view.edit_requested) as asked:
        view.measuring.enter.click()
    assert asked.args == ["stations.1.battery.resistance_ohm", pytest.approx(0.030)]


def test_readings_that_tell_nothing_are_explained(view: LeadsView) -> None:
    view.show_run(run_of(1), 1)
    enter(view, 12.0, 1.0, 12.5, 20.0)
    assert "voltage rose" in plain(view.measuring.outcome.text())
    assert not view.measuring.enter.isEnabled()


def test_lengths_follow_the_units(view: LeadsView, display: Display, thin: StationRun) -> None:
    view.show_run(thin, 1)
    display.set_us(True)
    assert "9.8 ft of AWG 13" in plain(view.sketch.in_words())
    display.set_us(False)
    assert "3 m of 2.5 mm²" in plain(view.sketch.in_words())


def test_a_name_is_never_markup(view: LeadsView) -> None:
    given = with_value(read_scenario(RIDGE), "stations.1.leads.1.name", "<b>bold</b>")
    view.show_run(simulate(given).runs[1], 1)
    assert "<b>bold</b>" in view.fuses.text()
    assert view.fuses.textFormat().name == "PlainText"


def test_a_charging_current_stands_apart_from_the_column_before_it(view: LeadsView) -> None:
    font = QFont(view.sketch.font())
    font.setBold(True)
    bold = QFontMetrics(font)
    widths = dict(zip(HEADS[1:], view.sketch._columns(), strict=True))
    # Bold is what stands at a joint, and at the weakest link.
    assert bold.horizontalAdvance("\N{MINUS SIGN}10.59 A") < widths["receive"]
