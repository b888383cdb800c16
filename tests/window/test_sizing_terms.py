"""Equal terms and the year as a person uses them."""

from __future__ import annotations

import csv
from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from app.pages.size.view import SizingView
from app.state.display import Display
from app.state.settings import Settings
from app.widgets import dialogs
from model.editing.paths import with_value
from model.engine.comparison import simulate
from model.scenario.climate import Climate
from model.scenario.scenario import Scenario
from model.station.carried_mass import carried_total
from model.station.transmit_path import given_rf_w
from tests.laws.sample_kits import one_box, question, small_kit
from tests.window.sizing_sheets import TERMS, WORKED_MS, YEAR, click, look_at, said


@pytest.fixture(scope="module")
def pair_of_kits() -> Scenario:
    return question(small_kit(), one_box())


@pytest.fixture
def display(fusion: None) -> Display:
    return Display(Settings())


@pytest.fixture
def view(qtbot: QtBot, display: Display) -> Iterator[SizingView]:
    shown = SizingView(display)
    qtbot.addWidget(shown)
    shown.resize(1280, 800)
    shown.show()
    yield shown
    shown.stop()


def test_equal_power_says_what_changed(view: SizingView, qtbot: QtBot) -> None:
    plan = [
        {
            "start": "00:00",
            "end": "24:00",
            "activity": "voice",
            "rf_w": 100.0,
            "transmit_share": 0.1,
        }
    ]
    unequal = question(small_kit(), one_box(), plan=plan)
    part = look_at(view, qtbot, TERMS, unequal)
    with qtbot.waitSignal(view.edit_requested, timeout=WORKED_MS) as edit:
        click(part, "Same RF power")
    powers = {given_rf_w(one, edit.args[1].plan[0]) for one in edit.args[1].stations}
    assert powers == {50.0}
    assert "50\xa0W instead of 100\xa0W" in part.says.text()
    view.show_comparison(simulate(edit.args[1]))
    assert "50\xa0W instead of 100\xa0W" in part.says.text()
    view.show_comparison(simulate(unequal))
    assert part.says.text() == ""


def test_equal_terms_are_shown_before_they_are_taken(
    view: SizingView, qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    part = look_at(view, qtbot, TERMS, question(small_kit(), one_box()))
    model = part.table.model()
    heads = [model.headerData(column, Qt.Orientation.Horizontal) for column in range(6)]
    assert heads == ["Station", "What", "Now", "Same RF power", "Same mass", "Same time"]
    rows = [
        tuple(model.index(row, column).data() for column in range(6))
        for row in range(model.rowCount())
    ]
    monkeypatch.setattr(dialogs, "ask_for_export", lambda *_: tmp_path / "terms.csv")
    click(part, "Table…")
    with qtbot.waitSignal(view.edit_requested, timeout=WORKED_MS) as edit:
        click(part, "Same mass")
    # What was shown beforehand is what comes of it.
    masses = [carried_total(station).mass_kg for station in edit.args[1].stations]
    [changed] = [row for row in rows if row[1] == "Mass, kg" and row[4] != "the same"]
    assert float(changed[4]) == pytest.approx(masses[0], abs=0.01)
    with (tmp_path / "terms.csv").open(encoding="utf-8") as file:
        told = {(row["station"], row["when"]): row for row in csv.DictReader(file)}
    assert [name for name, _ in told] == ["small"] * 4 + ["one box"] * 4
    equal = [float(told[name, "same mass"]["mass_kg"]) for name in ("small", "one box")]
    assert equal[0] == pytest.approx(equal[1], rel=1e-4)
    # Another scenario: nothing of the old one can be taken over.
    view.show_comparison(simulate(edit.args[1]))
    assert not any(button.isEnabled() for button in part.buttons)


@pytest.mark.parametrize("words", ["Same mass", "Same time"])
def test_equal_mass_and_equal_time_change_a_battery_alone(
    view: SizingView, qtbot: QtBot, words: str
) -> None:
    weak = question(small_kit(), one_box(), days=3)
    for index, size in enumerate((4.0, 6.0)):
        weak = with_value(weak, f"stations.{index}.battery.capacity_ah", size)
        weak = with_value(weak, f"stations.{index}.panel", None)
    part = look_at(view, qtbot, TERMS, weak)
    with qtbot.waitSignal(view.edit_requested, timeout=WORKED_MS) as edit:
        click(part, words)
    after = edit.args[1]
    changed = [index for index in (0, 1) if after.stations[index] != weak.stations[index]]
    assert len(changed) == 1
    assert f"{'AB'[changed[0]]} now has" in part.says.text()
    if words == "Same mass":
        assert carried_total(after.stations[0]).mass_kg == pytest.approx(
            carried_total(after.stations[1]).mass_kg
        )


def test_a_pair_of_one_and_the_same_station_cannot_be_made_equal(
    view: SizingView, qtbot: QtBot, pair_of_kits: Scenario
) -> None:
    part = look_at(view, qtbot, TERMS, pair_of_kits)
    part.second.setCurrentIndex(0)
    assert not any(button.isEnabled() for button in part.buttons)


def seasonal() -> Scenario:
    months = [-5.0, -4.0, 0.0, 4.0, 9.0, 12.0, 14.0, 14.0, 10.0, 5.0, 0.0, -4.0]
    climate = Climate(
        low_c=tuple(months), high_c=tuple(low + 9 for low in months), clearness=(0.5,) * 12
    )
    weak = with_value(question(small_kit()), "stations.0.battery.capacity_ah", 11.0)
    return with_value(weak, "climate", climate)


def test_the_year_is_told_read_by_date_and_run_from_a_date(view: SizingView, qtbot: QtBot) -> None:
    part = look_at(view, qtbot, YEAR, seasonal())
    assert part.strip.isVisible()
    assert part.reading.text().startswith("15 June: small ")
    QTest.keyClick(part.strip, Qt.Key.Key_Right)
    assert part.reading.text().startswith("16 June: ")
    with qtbot.waitSignal(view.edit_requested) as edit:
        QTest.keyClick(part.strip, Qt.Key.Key_Return)
    day = edit.args[1].day
    assert day.date == date(2027, 6, 16)
    # The middle of June has its month's typical low, on the 16th all but exactly.
    assert day.low_c[0] == pytest.approx(12.0, abs=0.2)
    assert part.dates.text() == part.strip.accessibleDescription()


def test_without_a_climate_the_year_says_what_to_add(
    view: SizingView, qtbot: QtBot, pair_of_kits: Scenario
) -> None:
    part = look_at(view, qtbot, YEAR, pair_of_kits)
    assert "[climate]" in said(part)
    assert not part.strip.isVisible()
