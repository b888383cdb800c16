"""The sheets about sizes as a person uses them: read, point, take, move, and stop."""

from __future__ import annotations

import csv
import gc
import time
import weakref
from collections.abc import Iterator
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QLabel, QPushButton, QWidget
from pytestqt.qtbot import QtBot

from app.pages.size.size_words import up_to_hold
from app.pages.size.sizes_part import SizesPart
from app.pages.size.view import SizingView
from app.state.display import Display
from app.state.document import Document
from app.state.settings import Settings
from app.widgets import dialogs
from model.editing.paths import with_value
from model.editing.resize import Pair, with_pair
from model.engine.comparison import simulate
from model.files.scenario_file import read_scenario
from model.scenario.scenario import Scenario
from model.sizing.smallest import smallest_battery, smallest_panel, smallest_trip_panel
from model.station.carried_mass import carried_total
from model.support.progress import Search
from tests.laws.sample_kits import one_box, question, small_kit
from tests.plain import plain
from tests.window.sizing_sheets import (
    EVEN,
    KIT_MAP,
    LEVERS,
    SIZES,
    TERMS,
    WORKED_MS,
    click,
    look_at,
    said,
)

MIDWINTER = Path(__file__).resolve().parents[2] / "scenarios" / "midwinter-relay.toml"


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


def test_the_smallest_kit_is_told_with_its_proof_and_taken_as_one_step(
    view: SizingView, qtbot: QtBot, pair_of_kits: Scenario
) -> None:
    document = Document(pair_of_kits)
    view.edit_requested.connect(document.replace)
    part = look_at(view, qtbot, SIZES, pair_of_kits)
    least = smallest_battery(pair_of_kits, 0)
    assert least.smaller_fails is not None
    assert least.size_ah is not None
    assert least.smaller_fails.words in said(part)
    [button] = [
        button
        for button in part.findChildren(QPushButton)
        if button.accessibleName().endswith("Ah for small")
    ]
    QTest.mouseClick(button, Qt.MouseButton.LeftButton)
    taken = document.scenario.stations[0].battery
    # What is taken can be bought: of the library's LFP, of 6, 10, 15, 24 and 30 Ah, the next.
    assert taken.capacity_ah == min(
        ah for ah in (6.0, 10.0, 15.0, 20.0, 24.0, 30.0) if ah >= 1.02 * least.size_ah
    )
    assert taken.mass_kg == pytest.approx(2.6 * taken.capacity_ah / 20)
    document.undo_stack.undo()
    assert document.scenario == pair_of_kits
    assert not document.undo_stack.canUndo()


def test_the_numbers_stand_in_a_table_that_can_be_written(
    view: SizingView,
    qtbot: QtBot,
    pair_of_kits: Scenario,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    part = look_at(view, qtbot, SIZES, pair_of_kits)
    file = tmp_path / "sizes.csv"
    monkeypatch.setattr(dialogs, "ask_for_export", lambda *_: file)
    click(part, "smallest kits: write the table")
    rows = list(csv.DictReader(file.read_text().splitlines()))
    least = smallest_panel(pair_of_kits, 1)
    assert least.size_w is not None
    assert float(rows[1]["Panel to go on, W"]) == pytest.approx(least.size_w, abs=0.1)
    assert part.table.model().index(1, 9).data() == rows[1]["Panel to go on, W"]
    assert float(rows[1]["Then take, W"]) >= 1.02 * least.size_w


def test_a_bigger_panel_is_not_offered_against_frost(view: SizingView, qtbot: QtBot) -> None:
    part = look_at(view, qtbot, SIZES, read_scenario(MIDWINTER))
    assert "No panel is enough: frost stops charging. With the best, the charge" in said(part)
    offered = [button.accessibleName() for button in part.findChildren(QPushButton)]
    assert [name for name in offered if name.endswith("W for LFP kept warm")]
    assert not [name for name in offered if name.endswith("W for LFP left outside")]


def test_a_pair_on_the_map_reads_as_it_runs_and_only_one_that_holds_is_taken(
    view: SizingView, qtbot: QtBot, pair_of_kits: Scenario
) -> None:
    part = look_at(view, qtbot, KIT_MAP, pair_of_kits)
    least = smallest_battery(pair_of_kits, 0)
    assert least.size_ah is not None
    part.map.put_cursor(least.size_ah * 1.1, 60.0)
    assert ": meets the plan" in plain(part.reading.text())
    part.map.put_cursor(least.size_ah * 0.9, 60.0)
    assert ": fails" in plain(part.reading.text())
    part.map.setFocus()
    with qtbot.assertNotEmitted(view.edit_requested):
        QTest.keyClick(part.map, Qt.Key.Key_Return)
    assert "A kit that fails is not applied." in plain(part.reading.text())
    part.map.put_cursor(least.size_ah * 1.1, 60.0)
    with qtbot.waitSignal(view.edit_requested) as edit:
        QTest.keyClick(part.map, Qt.Key.Key_Return)
    changed = edit.args[1]
    assert Pair.of(changed.stations[0]).capacity_ah == pytest.approx(least.size_ah * 1.1, abs=0.01)
    assert "Ah with 60 W for small" in plain(edit.args[0])


def test_the_lightest_pair_can_be_bought_and_gets_through(
    view: SizingView, qtbot: QtBot, pair_of_kits: Scenario
) -> None:
    part = look_at(view, qtbot, KIT_MAP, pair_of_kits)
    # Sizes of the shipped parts, by hand from their files.
    assert {6.0, 10.0, 15.0, 20.0, 24.0, 30.0} <= set(part.map.shown.sold_across)
    assert {25.0, 30.0, 50.0, 60.0, 80.0, 100.0} <= set(part.map.shown.sold_up)
    with qtbot.waitSignal(view.edit_requested) as edit:
        click(part, "Use the lightest that can be bought")
    lighter = edit.args[1]
    assert (
        carried_total(lighter.stations[0]).mass_kg < carried_total(pair_of_kits.stations[0]).mass_kg
    )
    assert lighter.stations[0].battery.capacity_ah in (6.0, 10.0, 15.0, 20.0, 24.0, 30.0)
    panel = lighter.stations[0].panel
    assert panel is None or panel.rated_w in (25.0, 30.0, 50.0, 60.0, 80.0, 100.0)
    runs = simulate(with_value(lighter, "stations.0.start_fraction", 1.0)).runs
    assert runs[0] is not None
    assert runs[0].clocks.receive.until is None
    assert runs[0].reserve_crossed_at is None


def test_both_sheets_give_one_answer_for_one_question(
    view: SizingView, qtbot: QtBot, pair_of_kits: Scenario
) -> None:
    least_ah = smallest_battery(pair_of_kits, 0).size_ah
    least_w = smallest_trip_panel(pair_of_kits, 0).size_w
    assert least_ah is not None
    assert least_w is not None
    part = look_at(view, qtbot, KIT_MAP, pair_of_kits)
    # With the panel carried the map turns from failing to meeting the plan at the least battery.
    part.map.put_cursor(least_ah * 1.001, 60.0)
    assert ": meets the plan" in plain(part.reading.text())
    part.map.put_cursor(least_ah * 0.995, 60.0)
    assert ": fails" in plain(part.reading.text())
    # With the battery carried both name the same panel, and the same to take.
    part.map.put_cursor(20.0, 60.0)
    words = "no panel is needed" if least_w == 0 else f"a panel of {up_to_hold(least_w, 1):g} W"
    assert words in plain(part.reading.text()).replace("\N{NO-BREAK SPACE}", " ")
    sizes = look_at(view, qtbot, SIZES, pair_of_kits)
    first = said(sizes).replace("\N{NO-BREAK SPACE}", " ")
    assert "none is needed" in first if least_w == 0 else f"{up_to_hold(least_w, 1):g} W would do"


def test_every_station_stands_on_the_map_and_is_told_in_words(
    view: SizingView, qtbot: QtBot, pair_of_kits: Scenario
) -> None:
    part = look_at(view, qtbot, KIT_MAP, pair_of_kits)
    marks = part.map.shown.marks
    assert [(mark.x, mark.y) for mark in marks] == [(20.0, 60.0), (50.0, 100.0)]
    words = plain(part.map.accessibleDescription())
    assert "small: 20 Ah with 60 W" in words
    assert "one box: 50 Ah with 100 W" in words
    part.station.setCurrentIndex(1)
    assert plain(part.reading.text()).startswith("one box, 50 Ah with 100 W")


def test_a_station_without_a_panel_says_that_it_has_none(view: SizingView, qtbot: QtBot) -> None:
    bare = with_value(question(small_kit(), one_box()), "stations.0.panel", None)
    part = look_at(view, qtbot, KIT_MAP, bare)
    assert "this station has no panel to resize" in plain(part.reading.text())
    assert not part.lightest.isEnabled()


def test_a_pair_keeps_how_many_there_are_and_counts_as_measured_no_more() -> None:
    given = with_value(question(small_kit()), "stations.0.battery.count", 2)
    given = with_value(given, "stations.0.battery.sources", {"capacity_ah": {"from": "measured"}})
    changed = with_pair(given, 0, Pair(30.0, 0.0)).stations[0]
    assert changed.battery.count == 2
    assert changed.battery.capacity_ah == pytest.approx(15.0)
    assert changed.battery.source_of("capacity_ah").origin == "guess"
    assert changed.battery.name == "LFP, 15 Ah"
    assert changed.panel is None


def test_break_even_is_told_with_its_line_and_a_point_is_taken(
    view: SizingView, qtbot: QtBot, pair_of_kits: Scenario
) -> None:
    part = look_at(view, qtbot, EVEN, pair_of_kits)
    shown = part.map.shown
    assert shown.across.title.startswith("Receive current of small")
    words = plain(part.words.text())
    assert "both need the same with receive current of small at" in words
    even_a = float(words.split("receive current of small at ")[1].split(" A")[0])
    # At break-even the smallest batteries make both weigh the same, found here one by one.
    share = float(words.split("transmitting at ")[1].split(" %")[0]) / 100
    plan = tuple(
        block.model_copy(update={"transmit_share": share}) if block.sends else block
        for block in pair_of_kits.plan
    )
    at = with_value(with_value(pair_of_kits, "plan", plan), "stations.0.radio.receive_a", even_a)
    masses = [smallest_battery(at, index).station_kg for index in (0, 1)]
    assert masses[0] == pytest.approx(masses[1], rel=0.03)
    part.map.put_cursor(even_a / 2.5, share)
    with qtbot.waitSignal(view.edit_requested) as edit:
        QTest.keyClick(part.map, Qt.Key.Key_Enter)
    taken_a = edit.args[1].stations[0].radio.receive_a
    assert taken_a == pytest.approx(even_a / 2.5, rel=0.3)
    assert f"at {float(f'{taken_a:.3g}'):g} A" in plain(part.reading.text())


def test_break_even_of_one_station_or_one_input_says_what_is_missing(
    view: SizingView, qtbot: QtBot, pair_of_kits: Scenario
) -> None:
    part = look_at(view, qtbot, EVEN, question(small_kit()))
    assert "There is only one station: nothing to compare it with." in part.words.text()
    view.show_comparison(simulate(pair_of_kits))
    part.up.setCurrentIndex(part.across.currentIndex())
    qtbot.waitUntil(lambda: view.is_settled, timeout=WORKED_MS)
    assert part.words.text() == "Choose two different inputs."


def test_inputs_stand_largest_first_and_one_is_moved_by_hand(
    view: SizingView, qtbot: QtBot, pair_of_kits: Scenario
) -> None:
    part = look_at(view, qtbot, LEVERS, pair_of_kits)
    part.measure.setCurrentIndex(1)
    bars = part.bars.bars
    assert 1 < len(bars) <= 8
    reaches = [abs(bar.higher_share - bar.lower_share) for bar in bars]
    assert reaches == sorted(reaches, reverse=True)
    at = next(n for n, bar in enumerate(bars) if bar.path.endswith("receive_a"))
    part.bars.choose(at)
    hand = part.hand
    assert "receive current" in hand.title.text()
    hand.slider.setValue(hand.slider.maximum())
    qtbot.waitUntil(lambda: "Then 0.6 A: " in plain(hand.after.text()))
    assert hand.after.text().split(": ")[1] != hand.before.text().split(": ")[1]
    with qtbot.waitSignal(view.edit_requested) as edit:
        click(part, "Keep this value")
    assert edit.args[1].stations[0].radio.receive_a == pytest.approx(0.6)
    assert edit.args[1].stations[1] == pair_of_kits.stations[1]


def endless() -> Search[None]:
    """Work that is in the middle whenever one looks, however quick or slow the machine."""
    while True:
        yield 0.5
        time.sleep(0.002)


def test_work_that_takes_a_while_shows_progress_and_can_be_stopped_and_begun_again(
    view: SizingView,
    qtbot: QtBot,
    pair_of_kits: Scenario,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    view.sheets.show_at(SIZES)
    part = view.sizes
    with monkeypatch.context() as patch:
        patch.setattr(part, "work", lambda _: endless())
        view.show_comparison(simulate(pair_of_kits))
        qtbot.waitUntil(part.bar.cancel.isVisible, timeout=WORKED_MS)
        qtbot.waitUntil(lambda: part.bar.progress.value() > 0, timeout=WORKED_MS)
        assert part.bar.progress.isVisible()
        click(part, "Stop")
        assert part.is_settled
        assert "Stopped." in said(part)
    click(part, "Work it out")
    qtbot.waitUntil(part.table.isVisible, timeout=WORKED_MS)


def test_an_edit_leaves_the_old_result_and_says_so_until_the_new_one_is_there(
    view: SizingView, qtbot: QtBot, pair_of_kits: Scenario
) -> None:
    part = look_at(view, qtbot, KIT_MAP, pair_of_kits)
    heavier = with_value(pair_of_kits, "stations.0.radio.receive_a", 0.9)
    view.show_comparison(simulate(heavier))
    assert "\nOut of date.\n" in said(part)
    with qtbot.assertNotEmitted(view.edit_requested):
        QTest.keyClick(part.map, Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: view.is_settled, timeout=WORKED_MS)
    assert "Out of date" not in said(part)


def test_a_sheet_out_of_sight_is_not_worked_out(
    view: SizingView, qtbot: QtBot, pair_of_kits: Scenario
) -> None:
    look_at(view, qtbot, TERMS, pair_of_kits)
    assert not view.sizes.is_settled
    assert view.sizes.table.model().rowCount() == 0
    view.sheets.show_at(SIZES)
    qtbot.waitUntil(lambda: view.is_settled, timeout=WORKED_MS)
    assert view.sizes.table.model().rowCount() == 2


def test_masses_follow_the_units_shown(
    qtbot: QtBot, display: Display, view: SizingView, pair_of_kits: Scenario
) -> None:
    part = look_at(view, qtbot, SIZES, pair_of_kits)
    assert " kg" in plain(said(part))
    display.set_us(True)
    qtbot.waitUntil(lambda: " lb" in plain(said(part)))
    assert " kg" not in plain(said(part))


def test_nothing_is_clipped_and_everything_has_a_name(
    view: SizingView, qtbot: QtBot, pair_of_kits: Scenario
) -> None:
    for sheet in (SIZES, KIT_MAP, EVEN, LEVERS, TERMS):
        part = look_at(view, qtbot, sheet, pair_of_kits)
        qtbot.wait(20)
        for label in part.findChildren(QLabel):
            if label.isVisible() and label.text():
                assert label.height() >= label.heightForWidth(label.width()), label.text()
        for widget in part.findChildren(QWidget):
            reached = widget.focusPolicy() & Qt.FocusPolicy.TabFocus and widget.isVisible()
            if reached and widget.metaObject().className() != "QScrollArea":
                named = widget.accessibleName() or getattr(widget, "text", str)()
                assert named, f"{type(widget).__name__} on sheet {sheet} has no name"
        for button in part.findChildren(QPushButton):
            if button.isVisible():
                assert button.width() >= button.minimumSizeHint().width()


def test_a_view_that_is_closed_in_the_middle_of_work_waits_and_goes(
    qtbot: QtBot, fusion: None, pair_of_kits: Scenario, monkeypatch: pytest.MonkeyPatch
) -> None:
    view = SizingView(Display(Settings()))
    view.show()
    monkeypatch.setattr(SizesPart, "work", lambda *_: endless())
    view.show_comparison(simulate(pair_of_kits))
    qtbot.waitUntil(view.sizes.bar.cancel.isVisible, timeout=WORKED_MS)
    view.stop()
    view.close()
    gone = weakref.ref(view)
    view.deleteLater()
    del view
    QApplication.sendPostedEvents(None, 52)
    gc.collect()
    assert gone() is None
