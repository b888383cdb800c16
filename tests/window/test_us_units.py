"""Sentences of the model where the window shows US units, and as the units change."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest
from PySide6.QtWidgets import QLineEdit
from pytestqt.qtbot import QtBot

from app.editors.fields.build import editor_for
from app.editors.sheet.beside import Beside
from app.pages.day.chips import Chips
from app.pages.day.headline_bar import HeadlineBar
from app.pages.field.bench.sheet import held_words
from app.pages.library.difference import difference_lines
from app.pages.results.findings_list import FindingsList
from app.pages.results.words import WordsView
from app.pages.results.wrapped_button import WrappedButton
from app.printing.say import Say
from app.resources import resource
from app.state.display import Display
from app.state.document import Document
from app.state.edit_context import Desk
from app.state.settings import Settings
from model.advice.offers import offers
from model.editing.paths import with_value
from model.engine.comparison import simulate
from model.field.bench_sheet import bench_sheet
from model.files.scenario_file import read_scenario
from model.findings.finding import Finding
from model.findings.rules import find
from model.library.new_scenario import PLACE, new_scenario
from model.library.store import load
from model.scenario.scenario import Scenario
from model.scenario.station import Extra
from model.support.figures import NBSP
from model.verdict.table import verdict
from tests.plain import plain
from tests.unit.scenario_maker import BATTERY, scenario
from tests.window.day_scenes import block

RIDGE = read_scenario(Path(__file__).parents[2] / "scenarios" / "ridge-weekend.toml")
METRIC, US = (f"0{NBSP}°C", f"32{NBSP}°F")


@pytest.fixture
def display(qtbot: QtBot) -> Display:
    return Display(Settings())


@pytest.fixture(scope="module")
def frost() -> Scenario:
    """Return a station whose cells are too cold to charge, which ends it."""
    return scenario(
        day={
            "date": date(2027, 1, 16),
            "days": 3,
            "start_hour": 8.0,
            "low_c": -6.0,
            "high_c": -1.0,
        },
        plan=(block("00:00", "00:00"),),
        station={
            "start_fraction": 1.0,
            "panel": {"rated_w": 100.0, "mount": "fixed", "tilt_deg": 60.0},
            "battery": BATTERY | {"capacity_ah": 30.0},
        },
    )


def test_findings_follow_the_units(qtbot: QtBot, display: Display, frost: Scenario) -> None:
    shown = FindingsList(display)
    qtbot.addWidget(shown)
    found = find(frost)
    shown.show_findings(found)
    assert f"the cells are below {METRIC}, coldest" in texts_of(shown)
    display.set_us(True)
    assert f"the cells are below {US}, coldest" in texts_of(shown)
    assert "°C" not in texts_of(shown)
    beside = Beside(display)
    beside.findings = found
    said = beside.said(frost)[("battery.kept", 0)]
    assert any(US in each.sentence for each in said)


def test_how_far_off_the_climate_is_follows_the_units(qtbot: QtBot, display: Display) -> None:
    begun = new_scenario(date(2027, 6, 21), load(resource("assets/parts")))
    away = with_value(begun, "site.latitude_deg", PLACE.latitude_deg + 10)
    shown = FindingsList(display)
    qtbot.addWidget(shown)
    shown.show_findings(find(away))
    # Ten degrees of a meridian of 6371 km are 1112 km: 691 miles.
    assert "1112 km from here" in plain(texts_of(shown))
    display.set_us(True)
    assert "691 mi from here" in plain(texts_of(shown))


def texts_of(shown: FindingsList) -> str:
    buttons = shown.findChildren(WrappedButton)
    return "\n".join(each.words for each in buttons if not each.isHidden())


def test_what_a_variant_is_called_stays_as_it_was_written(display: Display) -> None:
    display.set_us(True)
    found = Finding("warning", "variants.0", "The variant mast of 6 m cannot be made: no mast.")
    assert display.finding(found) == f"The variant mast of 6{NBSP}m cannot be made: no mast."


def test_the_verdict_in_words_follows_the_units(
    qtbot: QtBot, display: Display, frost: Scenario
) -> None:
    comparison, words = simulate(frost), WordsView(display)
    qtbot.addWidget(words)
    words.show_verdict(comparison, verdict(comparison))
    assert f"cells below {METRIC}" in words.verdict.text()
    display.set_us(True)
    words.refresh_units()
    assert f"cells below {US}" in words.verdict.text()


def test_the_cause_under_the_headline_follows_the_units(qtbot: QtBot, display: Display) -> None:
    bare = with_value(RIDGE, "stations.0.leads.0.size_mm2", None)
    bar = HeadlineBar(display)
    qtbot.addWidget(bar)
    bar.show_comparison(simulate(bare))
    assert "This lead of 0.3 m has no conductor size" in plain(bar.cause.text())
    display.set_us(True)
    # 0.3 m / 0.3048 = 0.984 ft.
    assert "This lead of 0.98 ft has no conductor size" in plain(bar.cause.text())
    assert bar.accessibleDescription() == bar.cause.text()


def test_prices_of_offers_follow_the_units(qtbot: QtBot, display: Display) -> None:
    chips = Chips(display)
    qtbot.addWidget(chips)
    chips.resize(1600, 80)
    found = offers(simulate(RIDGE))
    chips.show_offers(found)
    (at,) = (at for at, each in enumerate(found) if each.key == "second_battery")
    assert found[at].price == f"2{NBSP}kg more"
    display.set_us(True)
    chip = chips.chips[at]
    # 1 lb is 0.45359237 kg by definition (international yard and pound agreement, 1959).
    price = f"4.4{NBSP}lb more"
    assert chip.accessibleName().endswith(price)
    assert price in chip.toolTip()
    chips.keep_short(True)
    assert any(action.text().endswith(price) for action in chips.menu.actions())


def test_a_difference_shows_no_more_digits_than_were_entered(display: Display) -> None:
    one, other = Extra(name="a", mass_kg=0.85), Extra(name="b", mass_kg=0.18)
    assert "b: Mass 0.85 kg → 0.18 kg" in map(plain, difference_lines(one, other, display))
    display.set_us(True)
    # 0.85 kg / 0.45359237 = 1.874 lb, 0.18 kg = 0.397 lb.
    assert "b: Mass 1.9 lb → 0.4 lb" in map(plain, difference_lines(one, other, display))


def test_the_bench_tells_a_mass_with_the_digits_it_has() -> None:
    # 0.85 kg / 0.45359237 = 1.874 lb.
    (weigh, *_) = bench_sheet(with_value(RIDGE, "stations.0.radio.mass_kg", 0.85).stations[0])
    (radio,) = (each for each in weigh.items if each.path == "radio.mass_kg")
    assert plain(held_words(radio, "us")) == "1.9 lb"
    assert plain(held_words(radio, "metric")) == "850 g"


def test_what_is_shown_and_typed_back_changes_nothing(qtbot: QtBot, display: Display) -> None:
    document = Document(with_value(RIDGE, "stations.0.battery.mass_kg", 2.15))
    display.set_us(True)
    editor = editor_for(Desk(document, display), "stations.0.battery.mass_kg")
    qtbot.addWidget(editor)
    editor.refresh()
    line = editor.findChild(QLineEdit)
    shown = line.text()
    for text in ("1", shown):
        line.setText(text)
        line.textEdited.emit(text)
    assert document.scenario.stations[0].battery.mass_kg == 2.15


def test_the_page_shows_sentences_in_its_units() -> None:
    said = f"cells below {METRIC}, not 2.5{NBSP}mm² of lead"
    assert Say("metric").words(said) == said
    assert Say("us").words(said) == f"cells below {US}, not 2.5{NBSP}mm² of lead"
